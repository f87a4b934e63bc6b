// Pieces for the tests of the log.
#pragma once

#include <string>
#include <vector>

#include "app/records/inspection.h"
#include "app/records/piece_record.h"

namespace sample {

// Every field with a value of its own; `number` tells pieces apart.
inline app::PieceRecord piece(int number, const std::string& operator_name = "Mia \"Nadel\" Öz") {
  app::PieceRecord one;
  one.time_utc = "2026-01-31T12:00:" + std::to_string(10 + number % 50) + "Z";
  one.operator_name = operator_name;
  one.job = "Polo, left chest";
  one.hoop = "130 x 180";
  one.tolerance_mm = 2.5;
  one.tolerance_deg = 0.75;
  one.source = "Rendered station";
  one.live = true;
  app::HoopedPiece& p = one.piece;
  p.number = number;
  p.sticker = 17;
  p.reading.offset_x_mm = -1.0 / 3.0;
  p.reading.offset_y_mm = 0.1 * number;
  p.reading.rotation_deg = -2.0 / 7.0;
  p.reading.u_offset_mm = 0.04;
  p.reading.u_rotation_deg = 0.02;
  p.board_from_hoop = {{12.5, -7.25}, 0.03125};
  p.readings = 21;
  p.tries = 2;
  p.taken = true;
  p.notice = app::CycleNotice::cloth_slipped;
  p.started_s = 100.5;
  p.lifted_s = 131.25;
  for (int i = 0; i < app::kPhaseCount; ++i) p.phase_s[i] = 1.5 + i;
  one.station = "North window";
  one.garment = "polo, adult";
  one.cloth = "knit";
  one.garment_number = number;
  one.board = "mark 403 is out of its place";
  one.entered = {"Machine by the wall", 358.0, -0.4, 1.2, 0.15, -0.3, 4.75};
  one.stretch_percent = 0.6;
  one.u_stretch_percent = 0.2;
  return one;
}

inline app::Inspection inspection(const std::string& id, const std::string& piece, const std::string& time_utc,
                                  const std::string& operator_name = {}) {
  app::Inspection one;
  one.id = id;
  one.piece = piece;
  one.time_utc = time_utc;
  one.operator_name = operator_name;
  return one;
}

inline std::vector<int> numbers(const std::vector<app::PieceRecord>& pieces) {
  std::vector<int> out;
  for (const app::PieceRecord& one : pieces) out.push_back(one.piece.number);
  return out;
}

}  // namespace sample

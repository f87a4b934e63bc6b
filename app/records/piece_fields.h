// All that is kept of a piece, field by field: the one list behind the table's columns and the journal's keys.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

#include "app/records/piece_record.h"
#include "vision/geometry.h"

namespace app {

// As it stands on disk. Nothing for a name that this program does not know.
std::string_view notice_name(CycleNotice notice);
std::optional<CycleNotice> notice_called(std::string_view name);

inline constexpr std::string_view kPhaseFields[kPhaseCount] = {"set_hoop_s", "lay_cloth_s", "press_s", "enter_s",
                                                               "lift_s"};

// Fields that version 1 had not; a journal of that time has no keys for them, and they keep their defaults.
bool is_later_field(std::string_view name);

// visit(name, value) for each field, with values of std::string, int, double or bool. Of a record that may be changed
// the values may be, and are taken over.
template <typename Record, typename Visit>
requires std::is_same_v<std::remove_const_t<Record>, PieceRecord>
void each_field(Record& record, Visit&& visit) {
  constexpr bool kChanges = !std::is_const_v<Record>;
  auto& piece = record.piece;
  visit("id", record.id);
  visit("time_utc", record.time_utc);
  visit("operator", record.operator_name);
  visit("job", record.job);
  visit("hoop", record.hoop);
  visit("tolerance_mm", record.tolerance_mm);
  visit("tolerance_deg", record.tolerance_deg);
  visit("source", record.source);
  visit("live", record.live);
  visit("number", piece.number);
  visit("sticker", piece.sticker);
  visit("offset_x_mm", piece.reading.offset_x_mm);
  visit("offset_y_mm", piece.reading.offset_y_mm);
  visit("rotation_deg", piece.reading.rotation_deg);
  visit("u_offset_mm", piece.reading.u_offset_mm);
  visit("u_rotation_deg", piece.reading.u_rotation_deg);
  visit("hoop_x_mm", piece.board_from_hoop.origin_mm.x);
  visit("hoop_y_mm", piece.board_from_hoop.origin_mm.y);
  double hoop_angle_deg = piece.board_from_hoop.angle_rad * vision::kDegPerRad;
  visit("hoop_angle_deg", hoop_angle_deg);
  visit("readings", piece.readings);
  visit("tries", piece.tries);
  visit("taken", piece.taken);
  std::string notice(notice_name(piece.notice));
  visit("notice", notice);
  visit("started_s", piece.started_s);
  visit("lifted_s", piece.lifted_s);
  for (int i = 0; i < kPhaseCount; ++i) visit(kPhaseFields[i], piece.phase_s[i]);
  // Since version 2 of the schema.
  visit("station", record.station);
  visit("garment", record.garment);
  visit("cloth", record.cloth);
  visit("garment_number", record.garment_number);
  visit("board", record.board);
  visit("machine", record.entered.machine);
  visit("entered_rotation", record.entered.rotation);
  visit("jog_right_mm", record.entered.jog_right_mm);
  visit("jog_up_mm", record.entered.jog_up_mm);
  visit("left_over_mm", record.entered.left_over_mm);
  visit("left_over_deg", record.entered.left_over_deg);
  visit("fit_gap_mm", record.entered.fit_gap_mm);
  visit("stretch_percent", record.stretch_percent);
  visit("u_stretch_percent", record.u_stretch_percent);
  if constexpr (kChanges) {
    piece.board_from_hoop.angle_rad = hoop_angle_deg * vision::kRadPerDeg;
    piece.notice = notice_called(notice).value_or(CycleNotice::none);
  }
}

}  // namespace app

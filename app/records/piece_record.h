// What is kept of one hooped piece.
#pragma once

#include <string>

#include "app/cycle/hooping_cycle.h"

namespace app {

struct PieceRecord {
  std::string id;             // unique, made when the record is; the same piece is never kept twice
  std::string time_utc;       // of the lift: 2026-01-31T12:00:00Z
  std::string operator_name;  // empty: nobody was chosen
  std::string job, hoop;
  double tolerance_mm = 0.0, tolerance_deg = 0.0;
  std::string source;  // what delivered the frames; rendered pieces are told from real ones
  bool live = false;   // a camera's
  HoopedPiece piece;
};

}  // namespace app

// What is kept of one hooped piece.
#pragma once

#include <limits>
#include <string>

#include "app/cycle/hooping_cycle.h"

namespace app {

inline constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();

// What came of the reading at the machine. Numbers that were not there are kNotKnown.
struct EnteredRecord {
  std::string machine;              // empty: none was chosen
  double rotation = kNotKnown;      // as entered, in the machine's own sense and range
  double jog_right_mm = kNotKnown;  // likewise, as its screen shows it
  double jog_up_mm = kNotKnown;
  double left_over_mm = kNotKnown;  // wanted less entered, at the design's corner that is off most
  double left_over_deg = kNotKnown;
  double fit_gap_mm = kNotKnown;  // to the field's edge less the clearance; negative: it sticks out
};

struct PieceRecord {
  std::string id;             // unique, made when the record is; the same piece is never kept twice
  std::string time_utc;       // of the lift: 2026-01-31T12:00:00Z
  std::string operator_name;  // empty: nobody was chosen
  std::string job, hoop;
  double tolerance_mm = 0.0, tolerance_deg = 0.0;
  std::string source;  // what delivered the frames; rendered pieces are told from real ones
  bool live = false;   // a camera's
  HoopedPiece piece;
  std::string station;  // its name, where a shop has several; empty: not said
  std::string garment, cloth;
  int garment_number = 0;  // of the job, counts from 1; 0: without a job
  std::string board;       // what the check of the board said; empty: all was well
  EnteredRecord entered;
  double stretch_percent = kNotKnown, u_stretch_percent = kNotKnown;  // along the base line, k = 2
  bool set_aside = false;  // does not count; a correction says so, no field of its own
};

}  // namespace app

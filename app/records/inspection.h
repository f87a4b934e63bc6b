// What came of a piece: where its design was stitched, against where it was meant to be.
#pragma once

#include <string>

#include "app/records/piece_record.h"

namespace app {

// How the place was found.
enum class FoundBy {
  sticker,  // laid back on the stitched centre, and read
  basting,  // the stitched basting rectangle was read
  ruler,    // a person measured
  eye,      // nothing was measured
};
inline constexpr int kFoundByCount = 4;

enum class Outcome {
  good,
  mend,    // can be mended, or stitched again
  reject,  // cannot be sold
};
inline constexpr int kOutcomeCount = 3;

// Never changed once kept; of several for one piece the last counts, by time and then by id. Frame: the design where it
// was meant to be, x right, y to its top. What was not measured is kNotKnown.
struct Inspection {
  std::string id;        // unique, made when it is kept
  std::string piece;     // PieceRecord::id
  std::string time_utc;  // 2026-01-31T12:00:00Z
  std::string operator_name;
  FoundBy found_by = FoundBy::ruler;
  Outcome outcome = Outcome::good;
  double offset_x_mm = kNotKnown, offset_y_mm = kNotKnown;  // the stitched centre
  double rotation_deg = kNotKnown;                          // the stitched design's, counter-clockwise
  double u_offset_mm = kNotKnown;                           // expanded (k = 2), of x and of y
  double u_rotation_deg = kNotKnown;
  std::string note;
};

}  // namespace app

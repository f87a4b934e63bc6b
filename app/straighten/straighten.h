// How the cloth is to be turned and slid so that its line lies along the hoop's side, at a chosen distance.
#pragma once

#include <optional>

#include "app/nudge.h"
#include "app/straighten/line_look.h"
#include "vision/geometry.h"

namespace app {

// The side of the hoop along which the line is to run.
enum class AlongSide {
  north,  // from left to right in the hoop's field: parallel to its top
  east,   // up and down: parallel to its right side
};

struct StraightenAim {
  AlongSide along = AlongSide::north;
  // Of the line from the hoop's centre: towards the top for a line along it, towards the right for one along the right
  // side; negative to the other side.
  double distance_mm = 0.0;
};

// How the line lies to the aim. Uncertainties are expanded, k = 2.
struct LineAgainstAim {
  double turn_off_deg = 0.0;  // how far the line is turned off the side, counter-clockwise positive, (-90, 90]
  double u_turn_deg = 0.0;
  // Where it crosses the hoop's axis that is square to the side; nothing for a weave's direction.
  std::optional<double> distance_mm;
  double u_distance_mm = 0.0;
};
// Nothing where no line was found.
std::optional<LineAgainstAim> against_aim(const LineSeen& seen, const StraightenAim& aim);

// What the hands have to do: turn about the place where the line crosses the hoop's axis, then slide.
struct StraightenNudge {
  double turn_ccw_deg = 0.0;
  // Square to the side, in the operator's view: of the two the one that is larger holds the whole way.
  bool sideways = false;  // right or left, else away or toward
  double slide_mm = 0.0;  // to the right, or away
};
StraightenNudge straighten_nudge(const LineAgainstAim& line, const StraightenAim& aim,
                                 const vision::Pose2& board_from_hoop);

// Of what the last frames said while the cloth lies still: less noise, and numbers that hold. What every frame has in
// common stays in the uncertainty.
class LineAverage {
 public:
  // A frame without a line forgets after a few.
  void see(const std::optional<LineAgainstAim>& line);
  void forget() { *this = LineAverage(); }
  const std::optional<LineAgainstAim>& now() const { return mean_; }
  int frames() const { return frames_; }

 private:
  std::optional<LineAgainstAim> mean_;
  int frames_ = 0, missed_ = 0;
};

}  // namespace app

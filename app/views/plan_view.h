// Hoop, field, design and sticker to scale, as the operator sees the board: its far side is up.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/nudge.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "vision/station.h"

namespace app {

struct Plan {
  const vision::Hoop* hoop = nullptr;
  // Nothing: no hoop is known to lie there; it is drawn upright and dashed.
  std::optional<vision::Pose2> board_from_hoop;
  bool hidden = false;  // the hoop lies under the cloth: drawn pale, where it was set
  std::optional<vision::Pose2> hoop_from_sticker;
  int sticker = -1;                     // its number; -1: not known
  std::optional<cv::Size2d> design_mm;  // width, height; centred on the sticker, its top along the arrow
  Tolerance tolerance;
};

// Where points of the hoop's frame come on the screen: the hoop's centre in the middle of `area`, turned as it lies on
// the board, all of its ring inside. Steady while the hoop's angle trembles.
class PlanMap {
 public:
  PlanMap(const vision::Hoop& hoop, double hoop_angle_rad, const SDL_FRect& area, float pad_px);
  SDL_FPoint at(cv::Point2d p_in_hoop) const;
  double px_per_mm() const { return px_per_mm_; }

 private:
  SDL_FPoint middle_;
  double px_per_mm_, cos_, sin_;
};

// The design's corners in the hoop's frame: top left, top right, bottom right, bottom left.
std::vector<cv::Point2d> design_corners(cv::Size2d design_mm, const vision::Pose2& hoop_from_sticker);
// Whether a point of the hoop's frame lies in the field that the machine can sew.
bool in_field(const vision::Hoop& hoop, cv::Point2d p_in_hoop);
bool design_fits(const vision::Hoop& hoop, const std::vector<cv::Point2d>& corners_in_hoop);

void draw_plan(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Plan& plan);

}  // namespace app

// Hoop, field, design and sticker to scale, as the operator sees the board: its far side is up.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/design/design.h"
#include "app/fit/fit.h"
#include "app/nudge.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/settings.h"
#include "vision/station.h"

namespace app {

struct Plan {
  const vision::Hoop* hoop = nullptr;
  // Nothing: no hoop is known to lie there; it is drawn upright and dashed.
  std::optional<vision::Pose2> board_from_hoop;
  bool hidden = false;  // the hoop lies under the cloth: drawn pale, where it was set
  std::optional<vision::Pose2> hoop_from_sticker;
  int sticker = -1;                // its number; -1: not known
  const Design* design = nullptr;  // centred on the sticker, its top along the arrow
  // Where the machine's entry puts it instead; nothing: where the sticker is.
  std::optional<vision::Pose2> hoop_from_entered;
  const Fit* fit = nullptr;  // of the design as entered; null: nothing is said of it
  Tolerance tolerance;
  Units units = Units::mm;
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

void draw_plan(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Plan& plan);

}  // namespace app

// The design with its basting box and the points that are known on it, to scale and upright.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>
#include <vector>

#include "app/resume/resume.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"

namespace app {

// Where points of the design come on the screen: all of the basting box inside `area`, in its middle.
class DesignMap {
 public:
  DesignMap() = default;
  DesignMap(const Design& design, double margin_mm, const SDL_FRect& area, float pad_px);
  SDL_FPoint at(cv::Point2d p_in_design) const;
  cv::Point2d point(SDL_FPoint at) const;
  double px_per_mm() const { return px_per_mm_; }

 private:
  SDL_FPoint middle_{};
  double px_per_mm_ = 1.0;
};

void draw_known_points(Canvas& canvas, Text& text, const Scale& scale, const DesignMap& map, const Design& design,
                       double margin_mm, const std::vector<ResumePoint>& points, std::size_t selected);

}  // namespace app

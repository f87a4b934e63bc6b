#include "app/views/resume_drawing.h"

#include <algorithm>
#include <string>

namespace app {

DesignMap::DesignMap(const Design& design, double margin_mm, const SDL_FRect& area, float pad_px)
    : middle_{area.x + area.w / 2.0F, area.y + area.h / 2.0F} {
  const double width = design.size_mm.width + 2.0 * margin_mm, height = design.size_mm.height + 2.0 * margin_mm;
  const double w = std::max(1.0F, area.w - 2.0F * pad_px), h = std::max(1.0F, area.h - 2.0F * pad_px);
  px_per_mm_ = std::min(w / std::max(width, 1.0), h / std::max(height, 1.0));
}

SDL_FPoint DesignMap::at(cv::Point2d p) const {
  return {middle_.x + static_cast<float>(p.x * px_per_mm_), middle_.y - static_cast<float>(p.y * px_per_mm_)};
}

cv::Point2d DesignMap::point(SDL_FPoint at) const {
  return {(at.x - middle_.x) / px_per_mm_, (middle_.y - at.y) / px_per_mm_};
}

void draw_known_points(Canvas& canvas, Text& text, const Scale& scale, const DesignMap& map, const Design& design,
                       double margin_mm, const std::vector<ResumePoint>& points, std::size_t selected) {
  std::vector<std::vector<cv::Point2d>> outlines = design.outlines_mm;
  if (outlines.empty()) outlines.push_back(design.hull_mm);
  std::vector<SDL_FPoint> line;
  for (const std::vector<cv::Point2d>& outline : outlines) {
    line.clear();
    for (const cv::Point2d& p : outline) line.push_back(map.at(p));
    canvas.polyline(line, true, scale.mm(0.35), theme::kText);
  }
  const std::vector<cv::Point2d> box = basting_corners(design, margin_mm);
  for (std::size_t i = 0; i < box.size(); ++i)
    canvas.dashed_line(map.at(box[i]), map.at(box[(i + 1) % box.size()]), scale.mm(0.3), scale.mm(1.6),
                       theme::kTextQuiet);
  // The centre, and the design's top.
  const SDL_FPoint centre = map.at({0.0, 0.0});
  const float arm = scale.mm(2.0);
  canvas.line({centre.x - arm, centre.y}, {centre.x + arm, centre.y}, scale.mm(0.3), theme::kTextQuiet);
  canvas.arrow({centre.x, centre.y + arm}, {centre.x, centre.y - 3.0F * arm}, scale.mm(0.4), scale.mm(1.8),
               theme::kTextQuiet);
  const float radius = scale.mm(2.6);
  const TextStyle style{Weight::bold, scale.text_mm(2.0)};
  for (std::size_t i = 0; i < points.size(); ++i) {
    const SDL_FPoint at = map.at(points[i].at_mm);
    if (i == selected) canvas.circle(at, radius + scale.mm(1.1), scale.mm(0.5), theme::kText);
    canvas.disc(at, radius, theme::kSticker);
    text.draw_centred(style, {at.x, at.y + 0.5F * static_cast<float>(style.height_px)}, std::to_string(i + 1),
                      theme::kGround);
  }
}

}  // namespace app

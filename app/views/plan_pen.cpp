#include "app/views/plan_pen.h"

#include <cmath>

namespace app {

std::vector<SDL_FPoint> PlanPen::on_screen(const std::vector<cv::Point2d>& points) const {
  std::vector<SDL_FPoint> out;
  out.reserve(points.size());
  // Points closer than this cannot be told apart, and each costs a stretch of line.
  constexpr float kClose_px = 2.0F;
  for (const cv::Point2d& p : points) {
    const SDL_FPoint at = map.at(p);
    if (out.empty() || std::hypot(at.x - out.back().x, at.y - out.back().y) >= kClose_px) out.push_back(at);
  }
  return out;
}

void PlanPen::outline(const std::vector<cv::Point2d>& points, double width_mm, Colour colour) const {
  canvas.polyline(on_screen(points), true, scale.mm(width_mm), colour);
}

void PlanPen::dashed(const std::vector<cv::Point2d>& points, double width_mm, Colour colour) const {
  const std::vector<SDL_FPoint> p = on_screen(points);
  const float dash = scale.mm(1.4);
  float gone = 0.0F;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const SDL_FPoint a = p[i], b = p[(i + 1) % p.size()];
    const float length = std::hypot(b.x - a.x, b.y - a.y);
    if (length > 2.0F * dash) {
      canvas.dashed_line(a, b, scale.mm(width_mm), dash, colour);
    } else if (std::fmod(gone, 2.0F * dash) < dash) {
      canvas.line(a, b, scale.mm(width_mm), colour);
    }
    gone += length;
  }
}

}  // namespace app

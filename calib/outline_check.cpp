#include "calib/outline_check.h"

namespace calib {
namespace {

constexpr std::size_t kMostPoints = 2000;
constexpr double kSamePoint_mm = 1e-6;

double cross(cv::Point2d a, cv::Point2d b, cv::Point2d c) { return (b - a).cross(c - a); }

bool segments_cross(cv::Point2d a, cv::Point2d b, cv::Point2d c, cv::Point2d d) {
  const double abc = cross(a, b, c), abd = cross(a, b, d), cda = cross(c, d, a), cdb = cross(c, d, b);
  return ((abc > 0) != (abd > 0)) && ((cda > 0) != (cdb > 0));
}

// The index of a side that another one crosses, or the number of sides.
std::size_t crossed_side(const std::vector<cv::Point2d>& p) {
  const std::size_t n = p.size();
  for (std::size_t i = 0; i + 2 < n; ++i) {
    const std::size_t last = i == 0 ? n - 1 : n;  // the last side touches the first by right
    for (std::size_t j = i + 2; j < last; ++j)
      if (segments_cross(p[i], p[i + 1], p[j], p[(j + 1) % n])) return j;
  }
  return n;
}

}  // namespace

double signed_area(const std::vector<cv::Point2d>& outline) {
  double twice = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) twice += outline[i].cross(outline[(i + 1) % outline.size()]);
  return 0.5 * twice;
}

bool is_inside(cv::Point2d p, const std::vector<cv::Point2d>& outline) {
  bool inside = false;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const cv::Point2d a = outline[i], b = outline[(i + 1) % outline.size()];
    const double turn = cross(a, b, p);
    if (turn == 0.0 && (a - p).dot(b - p) <= 0.0) return false;
    if ((a.y > p.y) != (b.y > p.y) && (turn > 0.0) == (b.y > a.y)) inside = !inside;
  }
  return inside;
}

OutlineFault fault_of_outline(const std::vector<cv::Point2d>& outline) {
  const std::size_t n = outline.size();
  if (n < 3) return {"has " + std::to_string(n) + " points; write three or more, as [[x, y], ...]", 0};
  if (n > kMostPoints) return {"has " + std::to_string(n) + " points; write 2000 or fewer", kMostPoints};
  for (std::size_t i = 0; i < n; ++i)
    if (!(cv::norm(outline[(i + 1) % n] - outline[i]) > kSamePoint_mm))
      return {"has the same point twice in a row, or its first again at its end; leave the second out",
              i + 1 < n ? i + 1 : i};
  const double area_mm2 = signed_area(outline);
  if (const std::size_t side = crossed_side(outline); side < n)
    return {"crosses itself; write its points in the order in which they follow one another", side};
  if (!(area_mm2 != 0.0)) return {"encloses no area; write the rim's outline", 0};
  if (!(area_mm2 > 0.0)) return {"runs clockwise; write its points in the opposite order, counter-clockwise", 0};
  return {};
}

OutlineFault fault_of_ring(const std::vector<cv::Point2d>& inner, const std::vector<cv::Point2d>& outer) {
  for (std::size_t i = 0; i < inner.size(); ++i)
    if (!is_inside(inner[i], outer))
      return {"does not lie inside 'outer_mm'; write the opening as inner_mm and the ring's outer edge as outer_mm", i};
  for (const cv::Point2d& p : outer)
    if (is_inside(p, inner)) return {"is cut by 'outer_mm'; write two outlines that do not touch", 0};
  return {};
}

}  // namespace calib

#include "app/design/convex_hull.h"

#include <algorithm>

namespace app {
namespace {

using Points = std::vector<cv::Point2d>;

// One side of the hull, from the first of the sorted points to the last, without the last (Andrew's monotone chain).
template <class Iterator>
void chain(Iterator first, Iterator last, Points& hull) {
  const std::size_t start = hull.size();
  for (; first != last; ++first) {
    const cv::Point2d p = *first;
    while (hull.size() >= start + 2 && (hull.back() - hull[hull.size() - 2]).cross(p - hull.back()) <= 0.0)
      hull.pop_back();
    hull.push_back(p);
  }
  hull.pop_back();
}

}  // namespace

Points convex_hull(Points points) {
  std::sort(points.begin(), points.end(),
            [](const cv::Point2d& a, const cv::Point2d& b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  Points hull;
  chain(points.begin(), points.end(), hull);
  chain(points.rbegin(), points.rend(), hull);
  return hull;
}

}  // namespace app

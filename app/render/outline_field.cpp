#include "app/render/outline_field.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace app {
namespace {

constexpr double kCellMm = 0.25;
constexpr double kMarginMm = 32.0;
constexpr int kBlock = 16;  // cells

struct Segment {
  cv::Point2d from, to;
};

double distance_squared(const Segment& segment, cv::Point2d p) {
  const cv::Point2d along = segment.to - segment.from, d = p - segment.from;
  const double length2 = along.dot(along);
  const double t = length2 > 0.0 ? std::clamp(d.dot(along) / length2, 0.0, 1.0) : 0.0;
  const cv::Point2d off = d - along * t;
  return off.dot(off);
}

bool crosses_ray(const Segment& segment, cv::Point2d p) {
  const auto& [a, b] = segment;
  return (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x;
}

std::vector<Segment> segments_of(const std::vector<cv::Point2d>& polygon) {
  if (polygon.size() < 3) throw std::invalid_argument("an outline needs three points or more");
  std::vector<Segment> segments;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    if (!std::isfinite(polygon[i].x) || !std::isfinite(polygon[i].y))
      throw std::invalid_argument("an outline's points must be finite");
    segments.push_back({polygon[i], polygon[(i + 1) % polygon.size()]});
  }
  return segments;
}

double distance_to(const std::vector<Segment>& segments, cv::Point2d p) {
  double nearest = 1e18;
  for (const Segment& segment : segments) nearest = std::min(nearest, distance_squared(segment, p));
  return std::sqrt(nearest);
}

bool is_inside(const std::vector<Segment>& segments, cv::Point2d p) {
  bool inside = false;
  for (const Segment& segment : segments) inside ^= crosses_ray(segment, p);
  return inside;
}

// The segments that can be the nearest one somewhere within `reach` of `middle`.
std::vector<Segment> candidates(const std::vector<Segment>& segments, cv::Point2d middle, double reach) {
  const double limit = distance_to(segments, middle) + 2.0 * reach;
  std::vector<Segment> near;
  for (const Segment& segment : segments)
    if (distance_squared(segment, middle) <= limit * limit) near.push_back(segment);
  return near;
}

// Fills one channel with the distance, positive inside when `sign` is 1.
void tabulate(const std::vector<Segment>& segments, cv::Point2d origin, float sign, int channel, cv::Mat2f& table) {
  for (int block_y = 0; block_y < table.rows; block_y += kBlock) {
    for (int block_x = 0; block_x < table.cols; block_x += kBlock) {
      const double half = kBlock * kCellMm / 2.0;
      const cv::Point2d middle = origin + cv::Point2d(block_x * kCellMm + half, block_y * kCellMm + half);
      const std::vector<Segment> near = candidates(segments, middle, half * 1.5);
      const bool all_on_one_side = distance_to(near, middle) > half * 1.5;
      const bool middle_inside = is_inside(segments, middle);
      for (int y = block_y; y < std::min(block_y + kBlock, table.rows); ++y) {
        for (int x = block_x; x < std::min(block_x + kBlock, table.cols); ++x) {
          const cv::Point2d p = origin + cv::Point2d(x * kCellMm, y * kCellMm);
          const bool inside = all_on_one_side ? middle_inside : is_inside(segments, p);
          const double distance = distance_to(near, p);
          table(y, x)[channel] = sign * static_cast<float>(inside ? distance : -distance);
        }
      }
    }
  }
}

}  // namespace

double signed_distance(const std::vector<cv::Point2d>& polygon, cv::Point2d p) {
  const std::vector<Segment> segments = segments_of(polygon);
  const double distance = distance_to(segments, p);
  return is_inside(segments, p) ? distance : -distance;
}

OutlineField::OutlineField(const std::vector<cv::Point2d>& inner_mm, const std::vector<cv::Point2d>& outer_mm) {
  const std::vector<Segment> inner = segments_of(inner_mm), outer = segments_of(outer_mm);
  cv::Point2d low = outer_mm.front(), high = low;
  for (const cv::Point2d& p : outer_mm) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  if (high.x - low.x > 1000.0 || high.y - low.y > 1000.0)
    throw std::invalid_argument("an outline larger than 1000 mm cannot be rendered");
  const cv::Point2d margin(kMarginMm, kMarginMm);
  extent_mm_ = cv::Rect2d(low - margin, high + margin);
  table_.create(static_cast<int>(extent_mm_.height / kCellMm) + 2, static_cast<int>(extent_mm_.width / kCellMm) + 2);
  tabulate(inner, extent_mm_.tl(), -1.0F, 0, table_);
  tabulate(outer, extent_mm_.tl(), 1.0F, 1, table_);
}

OutlineDistances OutlineField::at(cv::Point2f p) const {
  constexpr float kPerMm = static_cast<float>(1.0 / kCellMm);
  const float gx =
      std::clamp((p.x - static_cast<float>(extent_mm_.x)) * kPerMm, 0.0F, static_cast<float>(table_.cols) - 1.001F);
  const float gy =
      std::clamp((p.y - static_cast<float>(extent_mm_.y)) * kPerMm, 0.0F, static_cast<float>(table_.rows) - 1.001F);
  const int x = static_cast<int>(gx), y = static_cast<int>(gy);
  const float fx = gx - static_cast<float>(x), fy = gy - static_cast<float>(y);
  const cv::Vec2f *row = table_[y] + x, *next = table_[y + 1] + x;
  OutlineDistances result;
  float value[2];
  cv::Point2f gradient[2];
  for (int c = 0; c < 2; ++c) {
    const float a = row[0][c], b = row[1][c], d = next[0][c], e = next[1][c];
    const float above = a + (b - a) * fx, below = d + (e - d) * fx;
    value[c] = above + (below - above) * fy;
    gradient[c] = {((b - a) * (1.0F - fy) + (e - d) * fy) * kPerMm, (below - above) * kPerMm};
  }
  result.inner = value[0], result.outer = value[1];
  result.inner_gradient = gradient[0], result.outer_gradient = gradient[1];
  return result;
}

}  // namespace app

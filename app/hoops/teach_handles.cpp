#include "app/hoops/teach_handles.h"

#include <cmath>
#include <span>

namespace app {
namespace {

float distance(SDL_FPoint a, SDL_FPoint b) { return std::hypot(a.x - b.x, a.y - b.y); }

std::vector<SDL_FPoint> on_screen(std::span<const cv::Point2d> points, const PictureRegion& region) {
  std::vector<SDL_FPoint> out;
  for (const cv::Point2d& p : points) out.push_back(region.to_screen(p));
  return out;
}

SDL_FPoint middle(std::span<const SDL_FPoint> points) {
  SDL_FPoint sum{0.0F, 0.0F};
  for (const SDL_FPoint& p : points) sum = {sum.x + p.x, sum.y + p.y};
  const auto n = static_cast<float>(points.size());
  return n > 0.0F ? SDL_FPoint{sum.x / n, sum.y / n} : sum;
}

// `away_px` from the point, away from the centre, or towards it when negative.
SDL_FPoint beside(SDL_FPoint point, SDL_FPoint centre, float away_px) {
  const float length = std::max(1.0F, distance(point, centre));
  return {point.x + (point.x - centre.x) * away_px / length, point.y + (point.y - centre.y) * away_px / length};
}

// Points at the shares (i + start) / kOutlineHandles of a closed line's length.
std::vector<SDL_FPoint> evenly(const std::vector<SDL_FPoint>& line, double start) {
  std::vector<SDL_FPoint> out;
  double length = 0.0;
  const std::size_t n = line.size();
  for (std::size_t i = 0; i < n; ++i) length += static_cast<double>(distance(line[i], line[(i + 1) % n]));
  double passed = 0.0;
  for (std::size_t i = 0; i < n && out.size() < kOutlineHandles; ++i) {
    const SDL_FPoint a = line[i], b = line[(i + 1) % n];
    const auto side = static_cast<double>(distance(a, b));
    while (out.size() < kOutlineHandles) {
      const double wanted = (static_cast<double>(out.size()) + start) / kOutlineHandles * length;
      if (wanted > passed + side) break;
      const auto share = static_cast<float>(side > 0.0 ? (wanted - passed) / side : 0.0);
      out.push_back({a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)});
    }
    passed += side;
  }
  return out;
}

void add_outline(std::vector<Handle>& handles, Handle::Kind kind, const std::vector<cv::Point2d>& outline_px,
                 const PictureRegion& region, double start, float away_px) {
  if (outline_px.size() < 3) return;
  const std::vector<SDL_FPoint> line = on_screen(outline_px, region);
  const std::vector<SDL_FPoint> points = evenly(line, start);
  const SDL_FPoint centre = middle(points);
  for (std::size_t i = 0; i < points.size(); ++i)
    handles.push_back({kind, i, points[i], beside(points[i], centre, away_px)});
}

}  // namespace

std::vector<Handle> outline_handles(const calib::RingPicture& picture, const PictureRegion& region, float away_px) {
  std::vector<Handle> handles;
  add_outline(handles, Handle::Kind::inner, picture.inner_px, region, 0.0, -away_px);
  add_outline(handles, Handle::Kind::outer, picture.outer_px, region, 0.5, away_px);
  return handles;
}

std::vector<Handle> notch_handles(const calib::RingPicture& picture, const PictureRegion& region, float away_px) {
  const std::vector<SDL_FPoint> points = on_screen(picture.notch_px, region);
  const SDL_FPoint centre = middle(points);
  std::vector<Handle> handles;
  for (std::size_t i = 0; i < points.size(); ++i)
    handles.push_back({Handle::Kind::notch, i, points[i], beside(points[i], centre, away_px)});
  return handles;
}

std::optional<std::size_t> hit_handle(const std::vector<Handle>& handles, SDL_FPoint at, float reach_px) {
  std::optional<std::size_t> best;
  float nearest = reach_px;
  for (std::size_t i = 0; i < handles.size(); ++i)
    if (const float d = distance(handles[i].knob, at); d <= nearest) best = i, nearest = d;
  if (best) return best;
  for (std::size_t i = 0; i < handles.size(); ++i)
    if (const float d = distance(handles[i].point, at); d <= nearest) best = i, nearest = d;
  return best;
}

bool HandleDrag::meant(float least_px) const { return distance(start_, now_) >= least_px; }

}  // namespace app

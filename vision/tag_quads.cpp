#include "vision/tag_quads.h"

#include <algorithm>
#include <cmath>

namespace vision {
namespace {

// Least side of a patch's upright box, px of the smaller picture: a tag 18 px wide at half size.
constexpr int kLeastBox = 7;
// Share of the hull that its largest quadrilateral fills: 0.64 for a disc, nearly 1 for a tag with blunt corners.
constexpr double kLeastFill = 0.80;
// Shorter side over longer side: tilted by 45 degrees with room for small tags' rounding.
constexpr double kLeastSideRatio = 0.5;

std::size_t size(int n) { return static_cast<std::size_t>(n); }

// Twice the signed area of the triangle; positive when a, b, c run clockwise as the viewer sees them (y is down).
int cross(cv::Point a, cv::Point b, cv::Point c) { return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x); }

}  // namespace

const std::vector<Quad>& QuadSearch::search(const cv::Mat& grey, int shrink) {
  quads_.clear();
  if (grey.cols < 16 * shrink || grey.rows < 16 * shrink) return quads_;
  binary_.make(grey, shrink);
  join_runs();
  measure_patches();
  outline_patches();
  const double centre = 0.5 * (shrink - 1);  // of the first averaged pixel
  for (const int run : chosen_) {
    hull_of(patches_[size(run)]);
    Quad quad;
    if (!quad_of_hull(quad)) continue;
    for (cv::Point2d& corner : quad) corner = corner * shrink + cv::Point2d{centre, centre};
    quads_.push_back(quad);
  }
  return quads_;
}

int QuadSearch::root(int run) {
  while (parent_[size(run)] != run) {
    parent_[size(run)] = parent_[size(parent_[size(run)])];
    run = parent_[size(run)];
  }
  return run;
}

void QuadSearch::join_runs() {
  const auto& runs = binary_.runs();
  const auto& starts = binary_.row_starts();
  parent_.resize(runs.size());
  for (std::size_t i = 0; i < runs.size(); ++i) parent_[i] = static_cast<int>(i);
  for (int row = 1; row < binary_.height(); ++row) {
    int above = starts[size(row - 1)];
    int here = starts[size(row)];
    const int above_end = starts[size(row)], here_end = starts[size(row + 1)];
    while (above < above_end && here < here_end) {
      const DarkRun& a = runs[size(above)];
      const DarkRun& b = runs[size(here)];
      if (a.first <= b.last + 1 && b.first <= a.last + 1) {
        const int ra = root(above), rb = root(here);
        parent_[size(std::max(ra, rb))] = std::min(ra, rb);
      }
      if (a.last < b.last)
        ++above;
      else
        ++here;
    }
  }
}

void QuadSearch::measure_patches() {
  const auto& runs = binary_.runs();
  patches_.resize(runs.size());
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const DarkRun& run = runs[i];
    const int to = root(static_cast<int>(i));
    Patch& patch = patches_[size(to)];
    if (size(to) == i) patch = {run.first, run.last, run.row, run.row, 0, -1};  // a root is its patch's first run
    patch.left = std::min(patch.left, run.first);
    patch.right = std::max(patch.right, run.last);
    patch.bottom = run.row;
    patch.area += run.last - run.first + 1;
  }
}

bool QuadSearch::may_be_tag(const Patch& patch) const {
  const int across = patch.right - patch.left + 1, down = patch.bottom - patch.top + 1;
  if (across < kLeastBox || down < kLeastBox || across > 3 * down || down > 3 * across) return false;
  if (patch.left == 0 || patch.top == 0) return false;  // cut off by the frame's edge
  if (patch.right == binary_.width() - 1 || patch.bottom == binary_.height() - 1) return false;
  // The black ring alone has more than this, whatever its angle.
  return 5 * patch.area > 6 * (across + down);
}

void QuadSearch::outline_patches() {
  const auto& runs = binary_.runs();
  chosen_.clear();
  int rows = 0;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (parent_[i] != static_cast<int>(i) || !may_be_tag(patches_[i])) continue;
    chosen_.push_back(static_cast<int>(i));
    patches_[i].outline = rows;
    rows += patches_[i].bottom - patches_[i].top + 1;
  }
  left_.assign(size(rows), INT16_MAX);
  right_.assign(size(rows), INT16_MIN);
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const Patch& patch = patches_[size(root(static_cast<int>(i)))];
    if (patch.outline < 0) continue;
    const std::size_t at = size(patch.outline + runs[i].row - patch.top);
    left_[at] = std::min(left_[at], runs[i].first);
    right_[at] = std::max(right_[at], runs[i].last);
  }
}

// Clockwise from the top: down the right side, then up the left one.
void QuadSearch::hull_of(const Patch& patch) {
  hull_.clear();
  for (int row = patch.top; row <= patch.bottom; ++row) {
    const cv::Point p{right_[size(patch.outline + row - patch.top)], row};
    while (hull_.size() >= 2 && cross(hull_[hull_.size() - 2], hull_.back(), p) <= 0) hull_.pop_back();
    hull_.push_back(p);
  }
  chain_.clear();
  for (int row = patch.bottom; row >= patch.top; --row) {
    const cv::Point p{left_[size(patch.outline + row - patch.top)], row};
    while (chain_.size() >= 2 && cross(chain_[chain_.size() - 2], chain_.back(), p) <= 0) chain_.pop_back();
    chain_.push_back(p);
  }
  hull_.insert(hull_.end(), chain_.begin(), chain_.end());
}

bool QuadSearch::quad_of_hull(Quad& quad) const {
  const auto farthest = [this](auto measure) {
    cv::Point best = hull_.front();
    auto most = measure(best);
    for (const cv::Point& p : hull_)
      if (const auto far = measure(p); far > most) most = far, best = p;
    return best;
  };
  // The hull's area and its centre.
  double twice_area = 0.0, sum_x = 0.0, sum_y = 0.0;
  const cv::Point o = hull_.front();
  for (std::size_t i = 1; i + 1 < hull_.size(); ++i) {
    const double part = cross(o, hull_[i], hull_[i + 1]);
    twice_area += part;
    sum_x += part * (o.x + hull_[i].x + hull_[i + 1].x);
    sum_y += part * (o.y + hull_[i].y + hull_[i + 1].y);
  }
  if (!(twice_area > 0.0)) return false;
  const double cx = sum_x / (3.0 * twice_area), cy = sum_y / (3.0 * twice_area);

  // A corner is farthest from the centre; its opposite farthest from it; the others farthest from that diagonal.
  cv::Point a = farthest([&](cv::Point p) { return (p.x - cx) * (p.x - cx) + (p.y - cy) * (p.y - cy); });
  cv::Point c = farthest([&](cv::Point p) { return (p.x - a.x) * (p.x - a.x) + (p.y - a.y) * (p.y - a.y); });
  const cv::Point b = farthest([&](cv::Point p) { return cross(c, a, p); });
  const cv::Point d = farthest([&](cv::Point p) { return cross(a, c, p); });
  a = farthest([&](cv::Point p) { return cross(b, d, p); });
  c = farthest([&](cv::Point p) { return cross(d, b, p); });
  const double quad_area = 0.5 * (cross(a, b, c) + cross(a, c, d));
  if (!(quad_area > kLeastFill * 0.5 * twice_area)) return false;

  // The hull runs through pixel centres, half a pixel inside the patch's edge.
  quad = {cv::Point2d(a), cv::Point2d(b), cv::Point2d(c), cv::Point2d(d)};
  double shortest = 1e9, longest = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    const double side = cv::norm(quad[(i + 1) % 4] - quad[i]);
    shortest = std::min(shortest, side);
    longest = std::max(longest, side);
  }
  if (!(shortest > kLeastSideRatio * longest) || !(quad_area > 0.6 * shortest * longest)) return false;
  const cv::Point2d middle = (quad[0] + quad[1] + quad[2] + quad[3]) * 0.25;
  const double grow = (longest + 1.0) / longest;
  for (cv::Point2d& corner : quad) corner = middle + (corner - middle) * grow;
  return true;
}

}  // namespace vision

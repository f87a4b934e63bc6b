#include "vision/tag_grid.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/small_solve.h"
#include "vision/tag_band.h"
#include "vision/tag_code.h"
#include "vision/tag_family.h"

namespace vision {
namespace {

constexpr int kLooks = 9;  // along a line across an edge
// As deep as two rows of edges along a side, and deeper where those hold too few.
constexpr int kUsualDepth = 2, kMostDepth = 5, kLeastEdges = 3;
constexpr int kMostEdges = kMostDepth * kTagBitsAcross;
// Sound tags stay below a third of this: blur and noise weigh more on small ones.
double most_off_px(double module_px) { return 0.05 * module_px + 0.25; }
// More spread than this is not spread.
double most_spread_px(double module_px) { return 0.12 * module_px + 0.3; }

std::size_t size(int n) { return static_cast<std::size_t>(n); }

struct BitEdge {
  double off_px = 0.0;  // inward from where the corners say
  // Of off_px, for a spread of 1 px: the edge's own shift, and that of the corners which it is measured from.
  double per_spread = 0.0;
};

struct SideEdges {
  std::array<BitEdge, kMostEdges> edges;
  int count = 0;
};

// The middle one; `values` is reordered.
template <std::size_t N>
double middle_of(std::array<double, N>& values, int count) {
  const auto middle = values.begin() + count / 2;
  std::nth_element(values.begin(), middle, values.begin() + count);
  return *middle;
}

// The tag's own picture near one edge, along a line across it: levels of whiteness from two modules before the edge
// to two behind it, blurred sideways already.
using Modules = std::array<double, 4>;

// Shift of the edge, in modules, that makes the blurred modules most like the levels seen, whatever the light.
// NaN where that cannot be told.
double edge_shift(const std::array<float, kLooks>& level, const Modules& white, double half, double blur) {
  double shift = 0.0;
  for (int step = 0; step < 2; ++step) {
    SmallSystem<3> system;  // level of black, contrast, shift times contrast
    for (int i = 0; i < kLooks; ++i) {
      const double x = half * (2.0 * i / (kLooks - 1) - 1.0) - shift;
      double value = white[0], slope = 0.0;
      for (int k = -1; k <= 1; ++k) {
        const BlurredStep edge = blurred_step(static_cast<float>((x - k) / blur));
        const double rise = white[size(k + 2)] - white[size(k + 1)];
        value += rise * static_cast<double>(edge.value);
        slope -= rise * static_cast<double>(edge.slope) / blur;
      }
      const std::array<double, 3> by{1.0, value, slope};
      for (std::size_t a = 0; a < 3; ++a) {
        system.right[a] += by[a] * static_cast<double>(level[size(i)]);
        for (std::size_t b = 0; b <= a; ++b) system.matrix[a][b] += by[a] * by[b];
      }
    }
    std::array<double, 3> fitted{};
    if (!system.solve(fitted) || !(fitted[1] > 1.0)) return NAN;
    shift += std::clamp(fitted[2] / fitted[1], -0.25, 0.25);
  }
  return shift;
}

// Looks at the edges near one side: 0 is the top, then clockwise.
class SideLook {
 public:
  SideLook(const cv::Mat& grey, const TagPlane& plane, int id, int side, double module_px, double blur_px)
      : grey_(grey), plane_(plane), id_(id), side_(side), module_px_(module_px), blur_(blur_px / module_px) {
    sideways_ = static_cast<double>(blurred_step(static_cast<float>(-0.5 / blur_)).value);
    half_ = std::clamp(2.8 * blur_, 0.25, 0.5);
  }

  SideEdges edges() const {
    SideEdges found;
    for (int depth = 1; depth <= kMostDepth && (depth <= kUsualDepth || found.count < kLeastEdges); ++depth) {
      for (int bit = 1; bit <= kTagBitsAcross; ++bit) {
        const bool before = white(depth - 1, bit), behind = white(depth, bit);
        if (before == behind) continue;
        const double off = look(depth, bit) * module_px_;
        if (std::isnan(off)) continue;
        const double own = behind ? -1.0 : 1.0;
        found.edges[size(found.count++)] = {off, own - (1.0 - 0.25 * depth)};
      }
    }
    return found;
  }

 private:
  // Modules by depth from the side, 0 in the ring and -1 in the border, and by place along it.
  bool white(int depth, int along) const {
    if (depth < 0) return true;
    const int across = side_ == 1 || side_ == 2 ? kTagModulesAcross - 1 - depth : depth;
    return side_ % 2 == 0 ? tag_module_is_white(id_, across, along) : tag_module_is_white(id_, along, across);
  }
  cv::Point2d image(double depth, double along) const {
    const double across = side_ == 1 || side_ == 2 ? kTagModulesAcross - depth : depth;
    return side_ % 2 == 0 ? plane_.image_px(along, across) : plane_.image_px(across, along);
  }
  double look(int depth, int along) const {
    Modules modules;
    for (int k = 0; k < 4; ++k) {
      const int at = depth - 2 + k;
      modules[size(k)] =
          (1.0 - 2.0 * sideways_) * white(at, along) + sideways_ * (white(at, along - 1) + white(at, along + 1));
    }
    const cv::Point2d from = image(depth - half_, along + 0.5), to = image(depth + half_, along + 0.5);
    std::array<float, kLooks> level{};
    for (int i = 0; i < kLooks; ++i) level[size(i)] = level_at(grey_, from + (to - from) * (i / (kLooks - 1.0)));
    return edge_shift(level, modules, half_, blur_);
  }

  const cv::Mat& grey_;
  const TagPlane& plane_;
  int id_, side_;
  double module_px_, blur_;  // blur in modules
  double sideways_ = 0.0;    // share of a neighbour along the side in the blurred middle of a module
  double half_ = 0.5;        // modules to either side of an edge that are looked at
};

// Middle one of what each edge says by itself; those that tell little are not asked.
std::optional<double> rough_spread(const std::array<SideEdges, 4>& sides) {
  std::array<double, 4 * kMostEdges> spreads;
  int count = 0;
  for (const SideEdges& side : sides)
    for (int i = 0; i < side.count; ++i)
      if (const BitEdge& edge = side.edges[size(i)]; std::abs(edge.per_spread) > 1.0)
        spreads[size(count++)] = edge.off_px / edge.per_spread;
  if (count < kLeastEdges) return std::nullopt;
  return middle_of(spreads, count);
}

// Least squares over the edges within `limit_px` of what `spread` says.
double fine_spread(const std::array<SideEdges, 4>& sides, double spread, double limit_px) {
  double product = 0.0, square = 0.0;
  for (const SideEdges& side : sides) {
    for (int i = 0; i < side.count; ++i) {
      const BitEdge& edge = side.edges[size(i)];
      if (!(std::abs(edge.off_px - edge.per_spread * spread) <= limit_px)) continue;
      product += edge.per_spread * edge.off_px;
      square += edge.per_spread * edge.per_spread;
    }
  }
  return square > 0.0 ? product / square : spread;
}

bool side_agrees(const SideEdges& side, double spread, double limit_px) {
  if (side.count < kLeastEdges) return false;
  std::array<double, kMostEdges> left;
  for (int i = 0; i < side.count; ++i)
    left[size(i)] = side.edges[size(i)].off_px - side.edges[size(i)].per_spread * spread;
  return std::abs(middle_of(left, side.count)) <= limit_px;
}

}  // namespace

std::optional<double> white_spread_px(const cv::Mat& grey, const Quad& corners_px, int id, double blur_px) {
  const TagPlane plane(corners_px);
  const double diagonals = cv::norm(corners_px[2] - corners_px[0]) + cv::norm(corners_px[3] - corners_px[1]);
  const double module_px = diagonals / (2.0 * std::sqrt(2.0) * kTagModulesAcross);
  std::array<SideEdges, 4> sides;
  for (int side = 0; side < 4; ++side) sides[size(side)] = SideLook(grey, plane, id, side, module_px, blur_px).edges();
  const auto rough = rough_spread(sides);
  if (!rough) return std::nullopt;
  const double limit_px = most_off_px(module_px);
  for (const SideEdges& side : sides)
    if (!side_agrees(side, *rough, limit_px)) return std::nullopt;
  const double spread = fine_spread(sides, *rough, limit_px);
  if (!(std::abs(spread) <= most_spread_px(module_px))) return std::nullopt;
  return spread;
}

}  // namespace vision

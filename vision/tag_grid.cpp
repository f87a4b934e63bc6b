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

constexpr double kMostBend = 0.6;

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

// The tag's own picture near one edge, along a line across it: whiteness of the modules from the second before the
// edge to the second behind it, blurred sideways already.
using Modules = std::array<double, 4>;

// A blurred step at each place looked at, for the edges one module before, at, and one module behind the middle.
struct StepTable {
  StepTable(double half, double blur) {
    for (int i = 0; i < kLooks; ++i) {
      for (int k = 0; k < 3; ++k) {
        const double x = half * (2.0 * i / (kLooks - 1) - 1.0) - (k - 1);
        const BlurredStep step = blurred_step(static_cast<float>(x / blur));
        value[size(i)][size(k)] = static_cast<double>(step.value);
        slope[size(i)][size(k)] = static_cast<double>(step.slope) / blur;
      }
    }
  }
  std::array<std::array<double, 3>, kLooks> value, slope;
};

// Shift of the edge, in modules, that makes the blurred modules most like the levels seen, whatever the light; to
// first order. NaN where that cannot be told.
double edge_shift(const std::array<float, kLooks>& level, const Modules& white, const StepTable& steps, double bend) {
  SmallSystem<3> system;  // level of black, contrast, shift times contrast
  for (std::size_t i = 0; i < kLooks; ++i) {
    double value = white[0], slope = 0.0;
    for (std::size_t k = 0; k < 3; ++k) {
      const double rise = white[k + 1] - white[k];
      value += rise * steps.value[i][k];
      slope -= rise * steps.slope[i][k];
    }
    const std::array<double, 3> by{1.0, value + bend * value * (1.0 - value),
                                   slope * (1.0 + bend - 2.0 * bend * value)};
    for (std::size_t a = 0; a < 3; ++a) {
      system.right[a] += by[a] * static_cast<double>(level[i]);
      for (std::size_t b = 0; b <= a; ++b) system.matrix[a][b] += by[a] * by[b];
    }
  }
  std::array<double, 3> fitted{};
  if (!system.solve(fitted) || !(fitted[1] > 1.0)) return NAN;
  return std::clamp(fitted[2] / fitted[1], -0.5, 0.5);
}

// Looks at the edges near one side: 0 is the top, then clockwise.
class SideLook {
 public:
  struct Picture {
    const cv::Mat& grey;
    const TagPlane& plane;
    const StepTable& steps;
    double module_px, bend;
    double half;      // modules to either side of an edge that are looked at
    double sideways;  // share of a neighbour along the side in the blurred middle of a module
  };
  SideLook(const Picture& picture, int id, int side) : picture_(picture), id_(id), side_(side) {}

  SideEdges edges() const {
    SideEdges found;
    for (int depth = 1; depth <= kMostDepth && (depth <= kUsualDepth || found.count < kLeastEdges); ++depth) {
      for (int bit = 1; bit <= kTagBitsAcross; ++bit) {
        const bool before = white(depth - 1, bit), behind = white(depth, bit);
        if (before == behind) continue;
        const double off = look(depth, bit) * picture_.module_px;
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
    return side_ % 2 == 0 ? picture_.plane.image_px(along, across) : picture_.plane.image_px(across, along);
  }
  double look(int depth, int along) const {
    Modules modules;
    for (int k = 0; k < 4; ++k) {
      const int at = depth - 2 + k;
      modules[size(k)] = (1.0 - 2.0 * picture_.sideways) * white(at, along) +
                         picture_.sideways * (white(at, along - 1) + white(at, along + 1));
    }
    const cv::Point2d from = image(depth - picture_.half, along + 0.5), to = image(depth + picture_.half, along + 0.5);
    std::array<float, kLooks> level{};
    for (int i = 0; i < kLooks; ++i)
      level[size(i)] = level_at(picture_.grey, from + (to - from) * (i / (kLooks - 1.0)));
    return edge_shift(level, modules, picture_.steps, picture_.bend);
  }

  const Picture& picture_;
  int id_, side_;
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

std::optional<double> white_spread_px(const cv::Mat& grey, const Quad& corners_px, int id, double blur_px,
                                      double bend) {
  const TagPlane plane(corners_px);
  const double diagonals = cv::norm(corners_px[2] - corners_px[0]) + cv::norm(corners_px[3] - corners_px[1]);
  const double module_px = diagonals / (2.0 * std::sqrt(2.0) * kTagModulesAcross);
  const double blur = blur_px / module_px, half = std::clamp(2.8 * blur, 0.25, 0.5);
  const double sideways = static_cast<double>(blurred_step(static_cast<float>(-0.5 / blur)).value);
  const StepTable steps(half, blur);
  const SideLook::Picture picture{grey, plane, steps, module_px, bend, half, sideways};
  std::array<SideEdges, 4> sides;
  for (int side = 0; side < 4; ++side) sides[size(side)] = SideLook(picture, id, side).edges();
  const auto rough = rough_spread(sides);
  if (!rough) return std::nullopt;
  const double limit_px = most_off_px(module_px);
  for (const SideEdges& side : sides)
    if (!side_agrees(side, *rough, limit_px)) return std::nullopt;
  const double spread = fine_spread(sides, *rough, limit_px);
  if (!(std::abs(spread) <= most_spread_px(module_px))) return std::nullopt;
  return spread;
}

// A symmetric model fitted to a step bent so is off by bend * blur * (integral of p (1 - p) times the normal density)
// over (integral of the density's square), p the normal distribution: 1/6 over 0.2821.
double bend_of_spread(double spread_px, double blur_px) {
  return std::clamp(spread_px / (0.591 * blur_px), -kMostBend, kMostBend);
}

}  // namespace vision

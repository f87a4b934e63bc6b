#include "vision/tag_code.h"

#include <algorithm>
#include <cmath>

#include "vision/sampling.h"

namespace vision {
namespace {

constexpr int kCells = 10;  // the black square's eight modules and the white border's one on each side
using Cells = std::array<std::array<float, kCells>, kCells>;

// Least difference of white and black, grey levels.
constexpr float kLeastContrast = 12.0F;
// A thread or a speck may cross the ring and the border here and there.
constexpr int kRingMayMiss = 1;
constexpr int kBorderMayMiss = 5;

bool in_border(int row, int column) { return row == 0 || row == kCells - 1 || column == 0 || column == kCells - 1; }
bool in_corner(int row, int column) { return in_border(row, row) && in_border(column, column); }
bool in_ring(int row, int column) {
  return !in_border(row, column) && (row == 1 || row == kCells - 2 || column == 1 || column == kCells - 2);
}

// A grey level that changes evenly across the tag.
struct Slope {
  float mean = 0.0F, along_x = 0.0F, along_y = 0.0F;
  float at(int row, int column) const {
    return mean + along_x * (static_cast<float>(column) - 4.5F) + along_y * (static_cast<float>(row) - 4.5F);
  }
};

// Least squares over the cells that `in` picks; they lie symmetrically, so the three sums do not mix.
template <typename In>
Slope slope_of(const Cells& cells, In in) {
  Slope slope;
  float count = 0.0F, square = 0.0F;
  for (int row = 0; row < kCells; ++row) {
    for (int column = 0; column < kCells; ++column) {
      if (!in(row, column)) continue;
      const float value = cells[static_cast<std::size_t>(row)][static_cast<std::size_t>(column)];
      const float x = static_cast<float>(column) - 4.5F, y = static_cast<float>(row) - 4.5F;
      count += 1.0F;
      square += x * x;
      slope.mean += value;
      slope.along_x += value * x;
      slope.along_y += value * y;
    }
  }
  slope.mean /= count;
  slope.along_x /= square;
  slope.along_y /= square;
  return slope;
}

Cells sample_cells(const cv::Mat& grey, const TagPlane& plane) {
  // Four places a cell against noise, well inside it against blur from its neighbours.
  constexpr double kOff = 0.17;
  Cells cells{};
  for (int row = 0; row < kCells; ++row) {
    for (int column = 0; column < kCells; ++column) {
      const double x = column - 0.5, y = row - 0.5;
      const float sum =
          level_at(grey, plane.image_px(x - kOff, y - kOff)) + level_at(grey, plane.image_px(x + kOff, y - kOff)) +
          level_at(grey, plane.image_px(x - kOff, y + kOff)) + level_at(grey, plane.image_px(x + kOff, y + kOff));
      cells[static_cast<std::size_t>(row)][static_cast<std::size_t>(column)] = 0.25F * sum;
    }
  }
  return cells;
}

// Against the level half way between black and white; one that is near it is first freed of what blur brought from its
// four neighbours.
bool is_white(const Cells& cells, int row, int column, float black, float white) {
  const auto cell = [&](int r, int c) { return cells[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)]; };
  constexpr float kShare = 0.25F;  // of a neighbour's difference
  constexpr float kDoubt = 0.25F;  // of the contrast
  const float off = cell(row, column) - 0.5F * (black + white);
  if (std::abs(off) > kDoubt * (white - black)) return off > 0.0F;
  const float neighbours =
      cell(row - 1, column) + cell(row + 1, column) + cell(row, column - 1) + cell(row, column + 1);
  return off + kShare * (4.0F * cell(row, column) - neighbours) > 0.0F;
}

// Whether the ring is black and the border white against the level half way between them; a quick look before the
// bits are sampled.
bool ring_and_border(const Cells& cells, const Slope& black, const Slope& white) {
  int ring_misses = 0, border_misses = 0;
  for (int row = 0; row < kCells; ++row) {
    for (int column = 0; column < kCells; ++column) {
      const float level = 0.5F * (black.at(row, column) + white.at(row, column));
      const float value = cells[static_cast<std::size_t>(row)][static_cast<std::size_t>(column)];
      if (in_ring(row, column) && !(value < level)) ++ring_misses;
      if (in_border(row, column) && !in_corner(row, column) && !(value > level)) ++border_misses;
    }
  }
  return ring_misses <= kRingMayMiss && border_misses <= kBorderMayMiss;
}

}  // namespace

float level_at(const cv::Mat& grey, cv::Point2d p) {
  // In this order NaN becomes 0.
  return sample_bilinear(grey, std::min(std::max(0.0, p.x), grey.cols - 1.001),
                         std::min(std::max(0.0, p.y), grey.rows - 1.001));
}

// The projective map of a square onto a quadrilateral (Heckbert 1989, section 2.2.3).
TagPlane::TagPlane(const Quad& q) {
  constexpr double kSide = kTagModulesAcross;
  const cv::Point2d d1 = q[1] - q[2], d2 = q[3] - q[2], s = q[0] - q[1] + q[2] - q[3];
  const double det = d1.x * d2.y - d2.x * d1.y;
  const double g = (s.x * d2.y - d2.x * s.y) / det, h = (d1.x * s.y - s.x * d1.y) / det;
  h_ = {(q[1].x - q[0].x + g * q[1].x) / kSide,
        (q[3].x - q[0].x + h * q[3].x) / kSide,
        q[0].x,
        (q[1].y - q[0].y + g * q[1].y) / kSide,
        (q[3].y - q[0].y + h * q[3].y) / kSide,
        q[0].y,
        g / kSide,
        h / kSide};
}

bool looks_like_tag(const cv::Mat& grey, const Quad& corners_px) {
  const TagPlane plane(corners_px);
  const auto look = [&](double x, double y) { return level_at(grey, plane.image_px(x, y)); };
  constexpr double kNear = 0.6, kFar = kTagModulesAcross - kNear;  // modules from the side, inside; and outside
  int darker = 0;
  float level = 0.0F;
  for (const double along : {1.5, 4.0, 6.5}) {
    const std::array<std::array<float, 2>, 4> sides{{{look(along, kNear), look(along, -kNear)},
                                                     {look(along, kFar), look(along, kTagModulesAcross + kNear)},
                                                     {look(kNear, along), look(-kNear, along)},
                                                     {look(kFar, along), look(kTagModulesAcross + kNear, along)}}};
    for (const auto& [inside, outside] : sides) {
      darker += outside > inside ? 1 : 0;
      level += (inside + outside) / 24.0F;
    }
  }
  if (darker < 10) return false;
  int bright = 0;
  for (int row = 1; row <= kTagBitsAcross; ++row)
    for (int column = 1; column <= kTagBitsAcross; ++column) bright += look(column + 0.5, row + 0.5) > level ? 1 : 0;
  return bright >= 3 && bright <= 34;
}

std::optional<TagWord> read_tag_word(const cv::Mat& grey, const Quad& corners_px) {
  const TagPlane plane(corners_px);
  const Cells cells = sample_cells(grey, plane);
  const Slope black = slope_of(cells, in_ring);
  const Slope white =
      slope_of(cells, [](int row, int column) { return in_border(row, column) && !in_corner(row, column); });
  if (!(white.mean - black.mean >= kLeastContrast)) return std::nullopt;
  if (!ring_and_border(cells, black, white)) return std::nullopt;
  TagWord word = 0;
  for (int row = 2; row < 2 + kTagBitsAcross; ++row)
    for (int column = 2; column < 2 + kTagBitsAcross; ++column)
      word = (word << 1) | (is_white(cells, row, column, black.at(row, column), white.at(row, column)) ? 1U : 0U);
  return word;
}

}  // namespace vision

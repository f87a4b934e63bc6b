#include "vision/ring_search.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <opencv2/imgproc.hpp>

#include "vision/plane_view.h"

namespace vision {
namespace {

constexpr double kPixelMm = 1.5;  // of the flat picture of the rim plane
constexpr int kCoarseCell = 4;    // pixels of it a cell
constexpr int kFineCell = 2;
constexpr int kSharpCell = 1;
constexpr double kAngleStepDeg = 5.0;
constexpr size_t kMostRough = 48;
constexpr size_t kPlacedClosely = 12;
constexpr double kReachMm = 330.0;  // no board is larger
constexpr int kNodeStep = 8;        // the map is exact at every eighth pixel, linear between

}  // namespace

// The frame, shrunk first so that no detail is skipped, then laid flat at rim height.
void RingSearch::rectify(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, double rim_height_mm) {
  const PlaneView view(lens, pose, rim_height_mm, Pose2{});
  const int shrink = std::max(1, static_cast<int>(view.px_per_mm({0.0, 0.0}) * kPixelMm * 0.85));
  if (shrink > 1) {
    const cv::Rect whole(0, 0, grey.cols / shrink * shrink, grey.rows / shrink * shrink);
    cv::resize(grey(whole), small_, cv::Size(whole.width / shrink, whole.height / shrink), 0, 0, cv::INTER_AREA);
  } else {
    small_ = grey;
  }
  double left = 1e9, right = -1e9, low = 1e9, high = -1e9;
  for (int k = 0; k < 8; ++k) {
    // The frame's corners and the middles of its sides.
    static constexpr std::array<std::array<double, 2>, 8> kRound{
        {{0, 0}, {0.5, 0}, {1, 0}, {1, 0.5}, {1, 1}, {0.5, 1}, {0, 1}, {0, 0.5}}};
    const auto& [u, v] = kRound[static_cast<size_t>(k)];
    const cv::Point2d p = view.plane({u * (grey.cols - 1), v * (grey.rows - 1)});
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) continue;
    left = std::min(left, p.x);
    right = std::max(right, p.x);
    low = std::min(low, p.y);
    high = std::max(high, p.y);
  }
  left = std::max(left, -kReachMm);
  right = std::min(right, kReachMm);
  low = std::max(low, -kReachMm);
  high = std::min(high, kReachMm);
  grid_ = {left, high, std::max(0, static_cast<int>((right - left) / kPixelMm)),
           std::max(0, static_cast<int>((high - low) / kPixelMm))};
  if (grid_.width < 2 * kNodeStep || grid_.height < 2 * kNodeStep) {
    grid_.width = grid_.height = 0;
    return;
  }
  map_x_.create(grid_.height, grid_.width, CV_32F);
  map_y_.create(grid_.height, grid_.width, CV_32F);
  const int nodes = grid_.width / kNodeStep + 2;
  std::vector<cv::Point2f> upper(static_cast<size_t>(nodes)), lower(upper.size());
  const auto fill = [&](std::vector<cv::Point2f>& row, int y) {
    for (int i = 0; i < nodes; ++i) {
      const cv::Point2d p = view.image({grid_.left_mm + i * kNodeStep * kPixelMm, grid_.top_mm - y * kPixelMm});
      // Pixel (0, 0) of the shrunk picture is the mean of the first block.
      row[static_cast<size_t>(i)] =
          cv::Point2f(static_cast<float>((p.x + 0.5) / shrink - 0.5), static_cast<float>((p.y + 0.5) / shrink - 0.5));
    }
  };
  fill(upper, 0);
  for (int y0 = 0; y0 < grid_.height; y0 += kNodeStep) {
    fill(lower, y0 + kNodeStep);
    for (int y = y0; y < std::min(y0 + kNodeStep, grid_.height); ++y) {
      const float fy = static_cast<float>(y - y0) / kNodeStep;
      float* mx = map_x_.ptr<float>(y);
      float* my = map_y_.ptr<float>(y);
      for (int x = 0; x < grid_.width; ++x) {
        const size_t i = static_cast<size_t>(x / kNodeStep);
        const float fx = static_cast<float>(x % kNodeStep) / kNodeStep;
        const cv::Point2f a = upper[i] + fx * (upper[i + 1] - upper[i]), b = lower[i] + fx * (lower[i + 1] - lower[i]);
        mx[x] = a.x + fy * (b.x - a.x);
        my[x] = a.y + fy * (b.y - a.y);
      }
    }
    std::swap(upper, lower);
  }
  cv::remap(small_, flat_, map_x_, map_y_, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
}

void RingSearch::EdgeCells::shape(const Grid& grid, int pixels_a_cell, int margin_cells) {
  cell_mm = pixels_a_cell * kPixelMm;
  const double middle = (0.5 * pixels_a_cell - 0.5) * kPixelMm;
  first_mm = {grid.left_mm + middle, grid.top_mm - middle};
  width = grid.width / pixels_a_cell;
  height = grid.height / pixels_a_cell;
  margin = margin_cells;
  stride = width + 2 * margin;
  for (auto& bin : bins) bin.assign(static_cast<size_t>(stride * (height + 2 * margin)), 0);
}

// An edge pixel stands out from its neighbourhood, so that weave and grain count less than the rim; it marks its cell
// and those it nearly touches, in the two nearest bins.
void RingSearch::mark_edges(double reach_mm) {
  cv::Sobel(flat_, gx_, CV_16S, 1, 0);
  cv::Sobel(flat_, gy_, CV_16S, 0, 1);
  magnitude_.create(flat_.size(), CV_32F);
  for (int y = 0; y < flat_.rows; ++y) {
    const short* gx = gx_.ptr<short>(y);
    const short* gy = gy_.ptr<short>(y);
    float* m = magnitude_.ptr<float>(y);
    for (int x = 0; x < flat_.cols; ++x) {
      m[x] = std::sqrt(static_cast<float>(gx[x] * gx[x] + gy[x] * gy[x]));
    }
  }
  cv::boxFilter(magnitude_, mean_, CV_32F, cv::Size(15, 15));
  fine_.shape(grid_, kFineCell, static_cast<int>(std::ceil(reach_mm / (kFineCell * kPixelMm))) + 3);
  sharp_.shape(grid_, kSharpCell, 0);
  coarse_.shape(grid_, kCoarseCell, static_cast<int>(std::ceil(reach_mm / (kCoarseCell * kPixelMm))) + 3);
  constexpr float kLeast = 12.0f;  // 1.5 grey levels a pixel, Sobel's weights summing to 8
  const auto mark = [](EdgeCells& cells, int pixels, int x, int y, size_t bin_a, size_t bin_b) {
    const int cx = x / pixels, cy = y / pixels;
    if (cx >= cells.width || cy >= cells.height) return;
    const size_t at = static_cast<size_t>((cy + cells.margin) * cells.stride + cx + cells.margin);
    cells.bins[bin_a][at] = 1;
    cells.bins[bin_b][at] = 1;
  };
  for (int y = 1; y + 1 < flat_.rows; ++y) {
    const short* gx = gx_.ptr<short>(y);
    const short* gy = gy_.ptr<short>(y);
    const float* m = magnitude_.ptr<float>(y);
    const float* mean = mean_.ptr<float>(y);
    for (int x = 1; x + 1 < flat_.cols; ++x) {
      if (m[x] < kLeast || m[x] < 1.2f * mean[x]) continue;
      // y falls down the flat picture.
      const float angle = cv::fastAtan2(static_cast<float>(-gy[x]), static_cast<float>(gx[x]));
      const float position = std::fmod(angle, 180.0f) * (kBins / 180.0f) - 0.5f;
      const size_t bin_a = static_cast<size_t>((static_cast<int>(std::floor(position)) + kBins) % kBins);
      const size_t bin_b = (bin_a + 1) % kBins;
      mark(sharp_, kSharpCell, x, y, bin_a, bin_b);
      for (const int dy : {-1, 1}) {
        for (const int dx : {-1, 1}) {
          mark(fine_, kFineCell, x + dx, y + dy, bin_a, bin_b);
          mark(coarse_, kCoarseCell, x + dx, y + dy, bin_a, bin_b);
        }
      }
    }
  }
}

namespace {

// The direction of a turned normal as a bin.
int bin_of(cv::Point2d away, double c, double s, int bins) {
  const double normal = std::atan2(s * away.x + c * away.y, c * away.x - s * away.y);
  return static_cast<int>(std::floor(std::fmod(normal + 2.0 * kPi, kPi) * (bins / kPi))) % bins;
}

}  // namespace

namespace {

// Eight counts at a time: none overflows, since a model has fewer than 255 points.
void add_bytes(uchar* to, const uchar* from, int count) {
  int i = 0;
  for (; i + 8 <= count; i += 8) {
    std::uint64_t a, b;
    std::memcpy(&a, to + i, 8);
    std::memcpy(&b, from + i, 8);
    a += b;
    std::memcpy(to + i, &a, 8);
  }
  for (; i < count; ++i) to[i] = static_cast<uchar>(to[i] + from[i]);
}

}  // namespace

void RingSearch::vote(const RimModel& model, double angle_rad) {
  const int width = last_x_ - first_x_, height = last_y_ - first_y_;
  votes_.assign(static_cast<size_t>(width * height), 0);
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  for (const OutlinePoint& point : model.points) {
    const double x = c * point.at_mm.x - s * point.at_mm.y, y = s * point.at_mm.x + c * point.at_mm.y;
    const int dx = static_cast<int>(std::lround(x / coarse_.cell_mm)) + first_x_ + coarse_.margin;
    const int dy = static_cast<int>(std::lround(-y / coarse_.cell_mm)) + first_y_ + coarse_.margin;
    const uchar* from =
        coarse_.bins[static_cast<size_t>(bin_of(point.away, c, s, kBins))].data() + dy * coarse_.stride + dx;
    uchar* to = votes_.data();
    for (int row = 0; row < height; ++row, from += coarse_.stride, to += width) add_bytes(to, from, width);
  }
}

void RingSearch::keep_peaks(double angle_rad) {
  const int width = last_x_ - first_x_, height = last_y_ - first_y_;
  const int least = std::max(1, static_cast<int>(0.8 * *std::max_element(votes_.begin(), votes_.end())));
  for (int y = 1; y + 1 < height; ++y) {
    for (int x = 1; x + 1 < width; ++x) {
      const uchar* v = votes_.data() + y * width + x;
      if (*v < least || *v < v[-1] || *v < v[1] || *v < v[-width] || *v < v[width]) continue;
      const cv::Point2d at{coarse_.first_mm.x + (first_x_ + x) * coarse_.cell_mm,
                           coarse_.first_mm.y - (first_y_ + y) * coarse_.cell_mm};
      rough_.push_back({Pose2{at, angle_rad}, static_cast<double>(*v)});
    }
  }
}

void RingSearch::turn_model(const RimModel& model, double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  turned_.clear();
  for (const OutlinePoint& point : model.points) {
    turned_.push_back({c * point.at_mm.x - s * point.at_mm.y, s * point.at_mm.x + c * point.at_mm.y,
                       bin_of(point.away, c, s, kBins)});
  }
}

double RingSearch::score(const EdgeCells& cells, cv::Point2d at_mm) const {
  const double x0 = at_mm.x - cells.first_mm.x, y0 = cells.first_mm.y - at_mm.y, scale = 1.0 / cells.cell_mm;
  int hits = 0;
  for (const TurnedPoint& point : turned_) {
    const int cx = static_cast<int>(std::floor((x0 + point.x_mm) * scale + 0.5));
    const int cy = static_cast<int>(std::floor((y0 - point.y_mm) * scale + 0.5));
    if (cx < 0 || cy < 0 || cx >= cells.width || cy >= cells.height) continue;
    const size_t at = static_cast<size_t>((cy + cells.margin) * cells.stride + cx + cells.margin);
    hits += cells.bins[static_cast<size_t>(point.bin)][at];
  }
  return static_cast<double>(hits) / static_cast<double>(std::max<size_t>(1, turned_.size()));
}

// The best of a small grid around a candidate; among equals their mean, where most of the neighbours are good too.
RingCandidate RingSearch::refined(const RimModel& model, const EdgeCells& cells, const RingCandidate& rough,
                                  double step_mm, double step_deg) {
  RingCandidate best{rough.board_from_hoop, -1.0};
  const int turns = model.symmetry == 0 ? 0 : 2;
  cv::Vec4d sum = cv::Vec4d::all(0.0);
  for (int turn = -turns; turn <= turns; ++turn) {
    const double angle_rad = rough.board_from_hoop.angle_rad + turn * step_deg * kRadPerDeg;
    turn_model(model, angle_rad);
    for (int dy = -2; dy <= 2; ++dy) {
      for (int dx = -2; dx <= 2; ++dx) {
        const cv::Point2d at = rough.board_from_hoop.origin_mm + cv::Point2d(dx * step_mm, dy * step_mm);
        const double value = score(cells, at);
        if (value > best.score + 1e-12) {
          best.score = value;
          sum = cv::Vec4d::all(0.0);
        }
        if (value > best.score - 1e-12) sum += cv::Vec4d(at.x, at.y, angle_rad, 1.0);
      }
    }
  }
  best.board_from_hoop = Pose2{{sum[0] / sum[3], sum[1] / sum[3]}, sum[2] / sum[3]};
  return best;
}

// A thin round ring fits nearly as well a rim's width off to any side: every good place around is a candidate of its
// own.
void RingSearch::spread_round(const RimModel& model, const RingCandidate& rough) {
  constexpr int kSteps = 6;
  constexpr double kStepMm = 1.5;
  turn_model(model, rough.board_from_hoop.angle_rad);
  for (int dy = -kSteps; dy <= kSteps; ++dy) {
    for (int dx = -kSteps; dx <= kSteps; ++dx) {
      const cv::Point2d at = rough.board_from_hoop.origin_mm + cv::Point2d(dx * kStepMm, dy * kStepMm);
      all_.push_back({Pose2{at, rough.board_from_hoop.angle_rad}, score(fine_, at)});
    }
  }
}

const std::vector<RingCandidate>& RingSearch::search(const cv::Mat& grey, const Lens& lens, const CameraPose& pose,
                                                     double rim_height_mm, const RimModel& model, int most) {
  all_.clear();
  best_.clear();
  rectify(grey, lens, pose, rim_height_mm);
  if (grid_.width == 0) return best_;
  mark_edges(model.reach_mm);
  // At least two thirds of the ring must lie in the picture.
  const int inset = std::max(0, static_cast<int>(0.66 * model.mean_radius_mm / coarse_.cell_mm));
  first_x_ = std::min(inset, coarse_.width / 2);
  last_x_ = coarse_.width - first_x_;
  first_y_ = std::min(inset, coarse_.height / 2);
  last_y_ = coarse_.height - first_y_;
  if (last_x_ - first_x_ < 3 || last_y_ - first_y_ < 3) return best_;
  rough_.clear();
  const double turn_deg = model.symmetry == 0 ? kAngleStepDeg : 360.0 / model.symmetry;
  const double first_deg = model.symmetry == 0 ? 0.0 : -0.5 * turn_deg;
  for (double angle = 0.0; angle < turn_deg - 1e-9; angle += kAngleStepDeg) {
    const double angle_rad = (first_deg + angle) * kRadPerDeg;
    vote(model, angle_rad);
    keep_peaks(angle_rad);
  }
  const auto better = [](const RingCandidate& a, const RingCandidate& b) { return a.score > b.score; };
  std::sort(rough_.begin(), rough_.end(), better);
  if (rough_.size() > kMostRough) rough_.resize(kMostRough);
  for (const RingCandidate& rough : rough_) {
    if (model.symmetry == 0) {
      spread_round(model, rough);
    } else {
      all_.push_back(refined(model, fine_, rough, 2.0, 1.5));
    }
  }
  std::sort(all_.begin(), all_.end(), better);
  const double period = model.symmetry == 0 ? 1e-9 : 2.0 * kPi / model.symmetry;
  for (const RingCandidate& candidate : all_) {
    if (best_.size() >= static_cast<size_t>(most)) break;
    const bool near_a_better = std::any_of(best_.begin(), best_.end(), [&](const RingCandidate& kept) {
      const double turn = std::remainder(candidate.board_from_hoop.angle_rad - kept.board_from_hoop.angle_rad, period);
      return cv::norm(candidate.board_from_hoop.origin_mm - kept.board_from_hoop.origin_mm) < 2.5 &&
             std::abs(turn) < 2.5 * kRadPerDeg;
    });
    if (!near_a_better) best_.push_back(candidate);
    if (candidate.score < 0.6 * all_.front().score) break;
  }
  // Only the likeliest are worth placing more closely; the others follow in their old order.
  const auto end = best_.begin() + static_cast<long>(std::min(kPlacedClosely, best_.size()));
  for (auto candidate = best_.begin(); candidate != end; ++candidate) {
    *candidate = refined(model, sharp_, *candidate, 1.2, 1.0);
  }
  std::sort(best_.begin(), end, better);
  return best_;
}

}  // namespace vision

#include "calib/ring_notches.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calib/contour.h"
#include "vision/notches.h"

namespace calib {
namespace {

constexpr double kFirstDepthMm = 0.7, kDepthStepMm = 0.35;
constexpr double kGrooveHalfMm = 4.5;  // of a doubled notch
constexpr double kRestMm = 12.0;       // the rim about it, to either side
constexpr double kAlongAxesMm = 10.0;  // how far from the middle of a side a notch may be
constexpr double kTurnStepDeg = 0.25;

double rim_width_at(cv::Point2d place, const std::vector<cv::Point2d>& outer) {
  double width = std::numeric_limits<double>::infinity();
  for (const cv::Point2d& p : outer) width = std::min(width, cv::norm(p - place));
  return width;
}

// Sums over a closed sequence, from any index to any later one.
class RunningSum {
 public:
  explicit RunningSum(const std::vector<float>& values) : n_(static_cast<int>(values.size())), sum_{0.0} {
    for (int i = 0; i < 3 * n_; ++i)
      sum_.push_back(sum_.back() + static_cast<double>(values[static_cast<size_t>(i % n_)]));
  }
  // Of first to last, both included, which may lie a turn beyond either end.
  double mean(int first, int last) const {
    return (sum_[static_cast<size_t>(last + 1 + n_)] - sum_[static_cast<size_t>(first + n_)]) / (last - first + 1);
  }

 private:
  int n_;
  std::vector<double> sum_;
};

int samples(double length_mm) { return static_cast<int>(std::lround(length_mm / kGrooveStepMm)); }

float median_around(const std::vector<float>& values, int middle, int reach, std::vector<float>& scratch) {
  const int n = static_cast<int>(values.size());
  scratch.clear();
  for (int k = -reach; k <= reach; ++k) scratch.push_back(values[static_cast<size_t>(((middle + k) % n + n) % n)]);
  const auto half = scratch.begin() + reach;
  std::nth_element(scratch.begin(), half, scratch.end());
  return *half;
}

// How far each place's grey differs from the rim's about it, row by row into the rim; then the mean over a notch's
// length.
std::vector<float> groove_signal(const cv::Mat& grey, const vision::PlaneView& view, const Contour& inner,
                                 double depth_mm) {
  constexpr float kFull = 14.0F, kNoise = 3.0F;  // grey levels
  const int n = static_cast<int>(inner.size());
  const Strip strip =
      unrolled(grey, view, inner, kFirstDepthMm, std::max(depth_mm, kFirstDepthMm + kDepthStepMm), kDepthStepMm);
  std::vector<float> signal(inner.size(), 0.0F), row(inner.size()), scratch;
  for (int c = 0; c < strip.grey.cols; ++c) {
    for (int i = 0; i < n; ++i) row[static_cast<size_t>(i)] = std::isfinite(strip.grey(i, c)) ? strip.grey(i, c) : 0.0F;
    for (int i = 0; i < n; ++i) {
      const float off = std::abs(row[static_cast<size_t>(i)] - median_around(row, i, samples(kRestMm), scratch));
      signal[static_cast<size_t>(i)] +=
          std::clamp((off - kNoise) / kFull, 0.0F, 1.0F) / static_cast<float>(strip.grey.cols);
    }
  }
  const RunningSum sums(signal);
  for (int i = 0; i < n; ++i)
    row[static_cast<size_t>(i)] = static_cast<float>(sums.mean(i - samples(kGrooveHalfMm), i + samples(kGrooveHalfMm)));
  return row;
}

// The index of the outline's point in a direction from the origin.
int towards(const Contour& inner, double angle_rad) {
  const cv::Point2d direction(std::cos(angle_rad), std::sin(angle_rad));
  int best = 0;
  double most = -2.0;
  for (size_t i = 0; i < inner.size(); ++i) {
    const double cosine = inner[i].at_mm.dot(direction) / cv::norm(inner[i].at_mm);
    if (cosine > most) most = cosine, best = static_cast<int>(i);
  }
  return best;
}

// The middle of the stretch on which the signal is strongest: a single groove fills the window's length evenly.
int strongest_within(const std::vector<float>& signal, int middle, int reach) {
  const int n = static_cast<int>(signal.size());
  const auto at = [&](int k) { return signal[static_cast<size_t>(((middle + k) % n + n) % n)]; };
  int best = 0;
  for (int k = -reach; k <= reach; ++k) {
    if (at(k) > at(best)) best = k;
  }
  const float level = 0.93F * at(best);
  int first = best, last = best;
  while (first > best - reach && at(first - 1) >= level) --first;
  while (last < best + reach && at(last + 1) >= level) ++last;
  return ((middle + (first + last) / 2) % n + n) % n;
}

// The turn, 0 to a quarter, at which the signal in the four directions sums to most.
double best_turn(const std::vector<float>& signal, const Contour& inner) {
  double best = 0.0, most = -1.0;
  for (double turn_deg = 0.0; turn_deg < 90.0; turn_deg += kTurnStepDeg) {
    double sum = 0.0;
    for (int k = 0; k < 4; ++k) {
      const double angle = (turn_deg + 90.0 * k) * vision::kRadPerDeg;
      sum += std::sqrt(static_cast<double>(signal[static_cast<size_t>(towards(inner, angle))]));
    }
    if (sum > most) most = sum, best = turn_deg;
  }
  return best * vision::kRadPerDeg;
}

}  // namespace

GrooveAt groove_near(const cv::Mat& grey, const vision::PlaneView& view, const std::vector<cv::Point2d>& inner_mm,
                     const std::vector<cv::Point2d>& outer_mm, cv::Point2d place_mm, double reach_mm) {
  vision::Hoop hoop;
  hoop.inner_mm = inner_mm;
  hoop.outer_mm = outer_mm;
  GrooveAt groove;
  groove.at_mm = place_mm;
  // Twice: the rim beside a notch is taken for bare, which is sure only when the notch is in the middle.
  for (int round = 0; round < 2; ++round) {
    for (vision::Notch& notch : hoop.notches) notch.at_mm = groove.at_mm;
    const vision::NotchSite site = vision::notch_sites(hoop)[0];
    const vision::FoundNotch found = vision::find_notch(grey, view, site, round == 0 ? reach_mm : 1.5);
    if (!found.found) return round == 0 ? GrooveAt{false, place_mm, 0, 0.0} : groove;
    const double column = vision::kNotchHalfColumns + found.shift_mm / vision::kNotchStepMm;
    const auto whole = static_cast<size_t>(std::clamp(column, 0.0, vision::kNotchColumns - 2.0));
    const cv::Point2d a = site.places[whole].at_mm, b = site.places[whole + 1].at_mm;
    groove = {true, a + (column - static_cast<double>(whole)) * (b - a), found.teeth, found.sigma_mm};
  }
  return groove;
}

std::array<GrooveAt, 4> four_grooves(const cv::Mat& grey, const vision::PlaneView& view,
                                     const std::vector<cv::Point2d>& inner_mm, const std::vector<cv::Point2d>& outer_mm,
                                     bool along_axes) {
  const Contour inner = contour_of(inner_mm, kGrooveStepMm);
  const double depth_mm = std::clamp(0.62 * rim_width_at(inner.front().at_mm, outer_mm), 1.2, 2.6);
  const std::vector<float> signal = groove_signal(grey, view, inner, depth_mm);
  const double turn = along_axes ? 0.0 : best_turn(signal, inner);
  std::array<GrooveAt, 4> grooves;
  for (size_t k = 0; k < 4; ++k) {
    const int middle = towards(inner, turn + static_cast<double>(k) * vision::kPi / 2.0);
    const int strongest = strongest_within(signal, middle, samples(along_axes ? kAlongAxesMm : 2.0));
    grooves[k] = groove_near(grey, view, inner_mm, outer_mm, inner[static_cast<size_t>(strongest)].at_mm, 3.0);
    if (!grooves[k].found) grooves[k].at_mm = inner[static_cast<size_t>(middle)].at_mm;
  }
  return grooves;
}

}  // namespace calib

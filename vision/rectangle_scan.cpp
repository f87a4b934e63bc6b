#include "vision/rectangle_scan.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/line_scan.h"

namespace vision {
namespace {

constexpr double kTurnStepRad = 1.25 * kRadPerDeg;
constexpr double kSmoothPx = 1.0;
constexpr float kClip = 4.0F;
constexpr float kLeastSpread = 0.25F;  // grey levels
constexpr double kApartMm = 5.0, kApartRad = 5.0 * kRadPerDeg;
constexpr float kNowhere = -1e6F;

// The cloth turned so that the rectangle's axes lie along rows and columns.
struct Turned {
  cv::Mat1f upright, level;  // second difference across upright and across level lines, clipped; positive where bright
  cv::Mat1f sight;           // 1 where usable, else 0
};

Turned turned(const cv::Mat1f& smooth, const cv::Mat1f& usable, double angle_rad) {
  const double half = 0.5 * std::hypot(smooth.cols, smooth.rows);
  const int side = 2 * static_cast<int>(half + 2.0) + 1;
  const double c = std::cos(angle_rad), s = std::sin(angle_rad), middle = 0.5 * (side - 1);
  // Of the patch for a pixel of the turned one (rows run against y).
  const cv::Matx23d patch_from_turned(c, s, 0.5 * (smooth.cols - 1) - c * middle - s * middle,  //
                                      -s, c, 0.5 * (smooth.rows - 1) + s * middle - c * middle);
  cv::Mat1f grey;
  Turned t;
  constexpr int kHow = cv::INTER_LINEAR | cv::WARP_INVERSE_MAP;
  cv::warpAffine(smooth, grey, patch_from_turned, {side, side}, kHow, cv::BORDER_REPLICATE);
  cv::warpAffine(usable, t.sight, patch_from_turned, {side, side}, kHow, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::threshold(t.sight, t.sight, 0.99, 1.0, cv::THRESH_BINARY);
  const cv::Mat1f across = (cv::Mat1f(1, 5) << -0.5F, 0.0F, 1.0F, 0.0F, -0.5F);
  cv::filter2D(grey, t.upright, CV_32F, across);
  cv::filter2D(grey, t.level, CV_32F, across.t());
  return t;
}

void clip(cv::Mat1f& values, float most) {
  cv::max(values, -most, values);
  cv::min(values, most, values);
}

float spread_of(const cv::Mat1f& values, const cv::Mat1f& sight) {
  std::vector<float> sizes;
  for (int y = 0; y < values.rows; ++y)
    for (int x = 0; x < values.cols; ++x)
      if (sight(y, x) > 0.5F) sizes.push_back(std::abs(values(y, x)));
  if (sizes.empty()) return kLeastSpread;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return std::max(kLeastSpread, 1.4826F * *middle);
}

// The mean along lines of `length` px, upright or level, where enough of them is in sight.
cv::Mat1f along_lines(const cv::Mat1f& values, const cv::Mat1f& sight, int length, bool upright, double least_share) {
  const cv::Size box = upright ? cv::Size(1, length) : cv::Size(length, 1);
  cv::Mat1f sum, count;
  cv::boxFilter(values.mul(sight), sum, CV_32F, box, {-1, -1}, false, cv::BORDER_CONSTANT);
  cv::boxFilter(sight, count, CV_32F, box, {-1, -1}, false, cv::BORDER_CONSTANT);
  cv::Mat1f mean(values.size(), kNowhere);
  const float least = static_cast<float>(least_share * length);
  for (int y = 0; y < mean.rows; ++y)
    for (int x = 0; x < mean.cols; ++x)
      if (count(y, x) >= least) mean(y, x) = sum(y, x) / count(y, x);
  return mean;
}

// The best within `slack` px across the lines.
cv::Mat1f with_slack(const cv::Mat1f& means, int slack, bool upright) {
  cv::Mat1f best;
  const cv::Size box = upright ? cv::Size(2 * slack + 1, 1) : cv::Size(1, 2 * slack + 1);
  cv::dilate(means, best, cv::getStructuringElement(cv::MORPH_RECT, box));
  return best;
}

class Scan {
 public:
  Scan(const ClothPatch& patch, const RectangleScanOptions& options) : options_(options) {
    cv::Mat1f small;
    const cv::Size size(patch.grey.cols / 2, patch.grey.rows / 2);
    cv::resize(patch.grey, small, size, 0.0, 0.0, cv::INTER_AREA);
    cv::GaussianBlur(small, smooth_, {}, kSmoothPx);
    usable_.create(size);
    for (int y = 0; y < size.height; ++y)
      for (int x = 0; x < size.width; ++x) usable_(y, x) = patch.usable(2 * y, 2 * x) != 0 ? 1.0F : 0.0F;
    middle_mm_ = patch.at(size.width - 0.5, size.height - 0.5);
    half_width_ = cvRound(0.5 * options.size_mm.width / kScanMmPerPx);
    half_height_ = cvRound(0.5 * options.size_mm.height / kScanMmPerPx);
    slack_ = std::max(1, cvRound(options.slack_mm / kScanMmPerPx));
  }

  RectangleScan scan() {
    const int steps = static_cast<int>(options_.turn_limit_rad / kTurnStepRad + 0.5);
    for (int k = -steps; k <= steps; ++k) look(k * kTurnStepRad);
    std::sort(all_.begin(), all_.end(), [](const auto& a, const auto& b) { return a.score > b.score; });
    RectangleScan scan;
    scan.fits_in_sight = fits_;
    for (const RectangleCandidate& one : all_) {
      if (scan.candidates.size() >= static_cast<size_t>(options_.most)) break;
      if (std::none_of(scan.candidates.begin(), scan.candidates.end(),
                       [&](const RectangleCandidate& other) { return close(one, other); }))
        scan.candidates.push_back(one);
    }
    return scan;
  }

 private:
  static bool close(const RectangleCandidate& a, const RectangleCandidate& b) {
    const double turn = std::remainder(a.hoop_from_rectangle.angle_rad - b.hoop_from_rectangle.angle_rad, kPi);
    return a.sign == b.sign && std::abs(turn) < kApartRad &&
           cv::norm(a.hoop_from_rectangle.origin_mm - b.hoop_from_rectangle.origin_mm) < kApartMm;
  }

  void look(double angle_rad) {
    Turned t = turned(smooth_, usable_, angle_rad);
    if (spread_ <= 0.0F) spread_ = std::max(spread_of(t.upright, t.sight), spread_of(t.level, t.sight));
    clip(t.upright, kClip * spread_);
    clip(t.level, kClip * spread_);
    const cv::Mat1f up = along_lines(t.upright, t.sight, 2 * half_height_ - 2, true, options_.least_in_sight);
    const cv::Mat1f level = along_lines(t.level, t.sight, 2 * half_width_ - 2, false, options_.least_in_sight);
    for (const int sign : {1, -1}) {
      // Where a line is not in sight stays so whatever the sign.
      const auto signed_means = [&](const cv::Mat1f& means) {
        cv::Mat1f m = sign > 0 ? means.clone() : cv::Mat1f(-means);
        m.setTo(kNowhere, means <= kNowhere);
        return m;
      };
      best_places(with_slack(signed_means(up), slack_, true), with_slack(signed_means(level), slack_, false), sign,
                  angle_rad);
    }
  }

  void best_places(const cv::Mat1f& up, const cv::Mat1f& level, int sign, double angle_rad) {
    cv::Mat1f score(up.size(), kNowhere);
    for (int y = half_height_; y < up.rows - half_height_; ++y)
      for (int x = half_width_; x < up.cols - half_width_; ++x)
        score(y, x) = std::min(
            {up(y, x - half_width_), up(y, x + half_width_), level(y - half_height_, x), level(y + half_height_, x)});
    for (int k = 0; k < 3; ++k) {  // a few of each angle
      double value = 0.0;
      cv::Point at;
      cv::minMaxLoc(score, nullptr, &value, nullptr, &at);
      if (value <= static_cast<double>(kNowhere)) return;
      fits_ = true;
      if (value < options_.least_score * static_cast<double>(spread_)) return;
      const double dx = (at.x - 0.5 * (score.cols - 1)) * kScanMmPerPx,
                   dy = (0.5 * (score.rows - 1) - at.y) * kScanMmPerPx;
      const Pose2 turn{middle_mm_, angle_rad};
      all_.push_back({{apply(turn, {dx, dy}), angle_rad}, sign, value / static_cast<double>(spread_)});
      const int reach = cvRound(kApartMm / kScanMmPerPx);
      cv::circle(score, at, reach, cv::Scalar(static_cast<double>(kNowhere)), cv::FILLED);
    }
  }

  RectangleScanOptions options_;
  cv::Mat1f smooth_, usable_;
  cv::Point2d middle_mm_;
  int half_width_ = 0, half_height_ = 0, slack_ = 1;
  float spread_ = 0.0F;
  bool fits_ = false;
  std::vector<RectangleCandidate> all_;
};

}  // namespace

RectangleScan scan_rectangles(const ClothPatch& patch, const RectangleScanOptions& options) {
  if (patch.grey.cols < 16 || patch.grey.rows < 16) return {};
  return Scan(patch, options).scan();
}

}  // namespace vision

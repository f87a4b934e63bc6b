// A cloth inside a square ring, drawn from a formula: for tests of what is found on it. Truth is exact.
#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <opencv2/core.hpp>

#include "vision/cloth_sight.h"

namespace test_cloth {

inline constexpr double kOpeningMm = 120.0;  // of the ring, square

// A camera 650 mm over the board that looks straight down, 3.4 pixels a mm; the hoop a little off and turned.
inline vision::ClothSight sight() {
  vision::ClothSight s;
  s.lens.width_px = s.lens.height_px = 520;
  s.lens.fx = s.lens.fy = 2210.0;
  s.lens.cx = s.lens.cy = 259.5;
  s.lens.distortion = {-0.1, 0.05, 0.0, 0.0, 0.0};
  s.camera_from_board.rotation = cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1);
  s.camera_from_board.translation_mm = {0.0, 0.0, 650.0};
  s.board_from_hoop = {{2.0, -1.5}, 0.02};
  s.hoop_covariance = vision::Covariance3::diag({4e-4, 4e-4, 1e-9});
  const double h = kOpeningMm / 2.0;
  s.inner_mm = {{h, h}, {-h, h}, {-h, -h}, {h, -h}};
  s.rim_height_mm = 11.0;
  s.cloth_height_mm = 1.0;
  return s;
}

// Reflectance (0..1) at a place of the hoop frame, mm.
using Albedo = std::function<double(cv::Point2d)>;

// Each pixel the mean over nine places, through a tone curve of gamma 2.2, with noise of `noise` grey levels (the same
// in every run). Beyond the ring it is black.
inline cv::Mat1b picture(const vision::ClothSight& s, const Albedo& albedo, double noise = 1.0) {
  cv::Mat1b grey(s.lens.height_px, s.lens.width_px);
  const vision::PlaneView view = vision::cloth_view(s);
  std::uint64_t state = 12345;
  const auto random = [&state] {  // uniform in +-1
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(state >> 33) / 1073741824.0 - 1.0;
  };
  for (int y = 0; y < grey.rows; ++y)
    for (int x = 0; x < grey.cols; ++x) {
      const cv::Point2d at = view.plane({static_cast<double>(x), static_cast<double>(y)});
      const cv::Point2d per_x = view.plane({x + 1.0, static_cast<double>(y)}) - at;
      const cv::Point2d per_y = view.plane({static_cast<double>(x), y + 1.0}) - at;
      double light = 0.0;
      for (int j = -1; j <= 1; ++j)
        for (int i = -1; i <= 1; ++i) {
          const cv::Point2d p = at + (i / 3.0) * per_x + (j / 3.0) * per_y;
          const bool cloth = std::abs(p.x) < kOpeningMm / 2.0 && std::abs(p.y) < kOpeningMm / 2.0;
          light += (cloth ? albedo(p) : 0.02) / 9.0;
        }
      // The sum of three has a standard deviation of one.
      const double level = 255.0 * std::pow(light, 1.0 / 2.2) + noise * (random() + random() + random());
      grey(y, x) = cv::saturate_cast<uchar>(level);
    }
  return grey;
}

// Across a line of the hoop frame, positive to the left of its direction.
inline double across(cv::Point2d p, double angle_deg, double distance_mm) {
  const double a = angle_deg * vision::kRadPerDeg;
  return std::cos(a) * p.y - std::sin(a) * p.x - distance_mm;
}
inline double along(cv::Point2d p, double angle_deg) {
  const double a = angle_deg * vision::kRadPerDeg;
  return std::cos(a) * p.x + std::sin(a) * p.y;
}
// From 0 to 1 over an edge whose spread is `spread_mm`.
inline double step(double across_mm, double spread_mm = 0.2) {
  return 0.5 * std::erfc(-across_mm / (spread_mm * std::sqrt(2.0)));
}
inline double bell(double across_mm, double spread_mm) {
  return std::exp(-0.5 * across_mm * across_mm / (spread_mm * spread_mm));
}

}  // namespace test_cloth

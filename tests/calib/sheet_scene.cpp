#include "tests/calib/sheet_scene.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

#include "calib/chart.h"
#include "vision/geometry.h"
#include "vision/tag_family.h"

namespace sheet_scene {
namespace {

constexpr double kPaperHalfWidthMm = 148.5, kPaperHalfHeightMm = 105.0;  // A4, lying

using Modules = std::array<std::array<std::array<bool, 7>, 7>, calib::kChartMarkers>;

const Modules& marker_modules() {
  static const Modules modules = [] {
    Modules out{};
    for (int id = 0; id < calib::kChartMarkers; ++id)
      for (int row = 0; row < 7; ++row)
        for (int column = 0; column < 7; ++column)
          out[static_cast<std::size_t>(id)][static_cast<std::size_t>(row)][static_cast<std::size_t>(column)] =
              calib::chart_marker_module_is_white(id, row, column);
    return out;
  }();
  return modules;
}

// By the sheet's description, not by chart.cpp: squares in reading order, the top-left one black, markers in the white.
bool chart_is_black(cv::Point2d p, bool& on_chart) {
  const double x = p.x / calib::kChartSquareMm + 4.5, y = 3.5 - p.y / calib::kChartSquareMm;
  on_chart = x >= 0.0 && y >= 0.0 && x < 9.0 && y < 7.0;
  if (!on_chart) return false;
  const int column = static_cast<int>(x), row = static_cast<int>(y);
  if ((column + row) % 2 == 0) return true;
  const int id = (row * 9 + column) / 2;
  constexpr double kMargin = 0.5 * (1.0 - calib::kChartMarkerMm / calib::kChartSquareMm);
  const double u = (x - column - kMargin) / (1.0 - 2.0 * kMargin) * 7.0;
  const double v = (y - row - kMargin) / (1.0 - 2.0 * kMargin) * 7.0;
  if (u < 0.0 || v < 0.0 || u >= 7.0 || v >= 7.0) return false;
  return !marker_modules()[static_cast<std::size_t>(id)][static_cast<std::size_t>(v)][static_cast<std::size_t>(u)];
}

bool tag_is_black(const PrintedTag& tag, cv::Point2d p) {
  const double u = (p.x - tag.centre_mm.x) / tag.side_mm + 0.5, v = (tag.centre_mm.y - p.y) / tag.side_mm + 0.5;
  if (u < 0.0 || v < 0.0 || u >= 1.0 || v >= 1.0) return false;
  return !vision::tag_module_is_white(tag.id, static_cast<int>(v * 8.0), static_cast<int>(u * 8.0));
}

bool is_black(const Scene& scene, cv::Point2d p) {
  bool on_chart = false;
  if (scene.chart && chart_is_black(p, on_chart)) return true;
  if (on_chart) return false;
  return std::any_of(scene.tags.begin(), scene.tags.end(), [&](const PrintedTag& tag) { return tag_is_black(tag, p); });
}

// Ink that spreads covers what lies within its reach of black; ink that shrinks leaves what lies within it of white.
bool is_inked(const Scene& scene, cv::Point2d p) {
  const bool black = is_black(scene, p);
  const double reach = std::abs(scene.ink_spread_mm);
  if (reach == 0.0 || black == (scene.ink_spread_mm > 0.0)) return black;
  for (const cv::Point2d d : {cv::Point2d(1, 0), {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, 1}, {1, -1}, {-1, -1}})
    if (is_black(scene, p + d * reach) != black) return !black;
  return black;
}

float level(const Scene& scene, cv::Point2d p) {
  if (scene.cover_in_chart)
    if (const double cover = scene.cover_in_chart(p); cover >= 0.0) return static_cast<float>(cover);
  if (!(std::abs(p.x) <= kPaperHalfWidthMm && std::abs(p.y) <= kPaperHalfHeightMm))
    return static_cast<float>(scene.table);
  return static_cast<float>(is_inked(scene, p) ? scene.black : scene.white);
}

// Where the ray of an image point meets the sheet; far off where it does not.
cv::Point2d on_sheet(const Scene& scene, cv::Point2d image_px) {
  const cv::Point2d p = vision::board_at_height(scene.lens, scene.camera_from_chart, image_px, 0.0);
  return std::isfinite(p.x) && std::isfinite(p.y) ? p : cv::Point2d(1e6, 1e6);
}

struct Node {
  cv::Point2d p;
  float level = 0.0F;
};

// The corners of one row of pixels, from its upper or lower side.
std::vector<Node> nodes_at(const Scene& scene, double y) {
  std::vector<Node> nodes(static_cast<std::size_t>(scene.lens.width_px) + 1);
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    nodes[i].p = on_sheet(scene, {static_cast<double>(i) - 0.5, y});
    nodes[i].level = level(scene, nodes[i].p);
  }
  return nodes;
}

// Mean level of a part of a pixel; u and v run from 0 to 1 over the pixel, in which the lens is as good as straight.
// Points of a Fibonacci lattice: no two share a row or a column, so that an edge along the pixels is not quantised.
float part_level(const Scene& scene, const std::array<Node, 4>& corners, double u0, double v0, double size) {
  constexpr int kSamples = 34, kStep = 21;
  float sum = 0.0F;
  for (int i = 0; i < kSamples; ++i) {
    const double u = u0 + size * (i + 0.5) / kSamples, v = v0 + size * (i * kStep % kSamples + 0.5) / kSamples;
    sum += level(scene, (corners[0].p * (1.0 - u) + corners[1].p * u) * (1.0 - v) +
                            (corners[2].p * (1.0 - u) + corners[3].p * u) * v);
  }
  return sum / kSamples;
}

cv::Mat fine_levels(const Scene& scene) {
  const int fine = scene.fine;
  cv::Mat levels(scene.lens.height_px * fine, scene.lens.width_px * fine, CV_32FC1);
  std::vector<Node> upper = nodes_at(scene, -0.5);
  for (int y = 0; y < scene.lens.height_px; ++y) {
    const std::vector<Node> lower = nodes_at(scene, y + 0.5);
    for (int x = 0; x < scene.lens.width_px; ++x) {
      const auto i = static_cast<std::size_t>(x);
      const std::array<Node, 4> corners{upper[i], upper[i + 1], lower[i], lower[i + 1]};
      const bool even =
          std::all_of(corners.begin(), corners.end(), [&](const Node& node) { return node.level == corners[0].level; });
      for (int part = 0; part < fine * fine; ++part) {
        const int row = part / fine, column = part % fine;
        levels.at<float>(y * fine + row, x * fine + column) =
            even ? corners[0].level
                 : part_level(scene, corners, static_cast<double>(column) / fine, static_cast<double>(row) / fine,
                              1.0 / fine);
      }
    }
    upper = lower;
  }
  return levels;
}

}  // namespace

cv::Mat photograph(const Scene& scene, cv::RNG& rng) {
  cv::Mat light = fine_levels(scene), pixels, grey;
  if (scene.gamma != 1.0) cv::pow(light / 255.0, scene.gamma, light);
  const double blur = scene.blur_px * scene.fine;
  cv::GaussianBlur(light, light, {0, 0}, blur, blur, cv::BORDER_REPLICATE);
  cv::resize(light, pixels, {scene.lens.width_px, scene.lens.height_px}, 0, 0, cv::INTER_AREA);
  if (scene.gamma != 1.0) {
    cv::pow(pixels, 1.0 / scene.gamma, pixels);
    pixels *= 255.0;
  }
  if (scene.slope_per_px != 0.0)
    for (int x = 0; x < pixels.cols; ++x) pixels.col(x) *= 1.0 + scene.slope_per_px * (x - 0.5 * pixels.cols);
  cv::Mat noise(pixels.size(), CV_32FC1);
  rng.fill(noise, cv::RNG::NORMAL, 0.0, scene.noise);
  pixels += noise;
  pixels.convertTo(grey, CV_8UC1);
  return grey;
}

cv::Point2d seen_at(const Scene& scene, cv::Point2d p) {
  return vision::image_from_board(scene.lens, scene.camera_from_chart, {p.x, p.y, 0.0});
}

vision::CameraPose facing(double distance_mm, double about_x_deg, double about_y_deg, double turn_deg,
                          cv::Point2d aim_mm, cv::Point2d aim_normalised) {
  cv::Matx33d tilt, turn;
  cv::Rodrigues(cv::Vec3d(-about_x_deg, about_y_deg, 0.0) * vision::kRadPerDeg, tilt);
  cv::Rodrigues(cv::Vec3d(0.0, 0.0, turn_deg) * vision::kRadPerDeg, turn);
  vision::CameraPose pose;
  // The chart's x is the picture's, its y and z the other way.
  pose.rotation = cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1) * tilt * turn;
  pose.translation_mm = cv::Vec3d(aim_normalised.x, aim_normalised.y, 1.0) * distance_mm -
                        pose.rotation * cv::Vec3d(aim_mm.x, aim_mm.y, 0.0);
  return pose;
}

}  // namespace sheet_scene

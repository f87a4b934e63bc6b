// Pictures of a flat printed sheet with exactly known points, drawn by area sampling through a lens. Shares nothing
// with what is tested but the lens formula and the tables of codes.
#pragma once

#include <functional>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/camera.h"

namespace sheet_scene {

// A tag of family 36h11 printed on the sheet, upright.
struct PrintedTag {
  int id = 0;
  cv::Point2d centre_mm;
  double side_mm = 20.0;  // of the black square
};

struct Scene {
  vision::Lens lens;
  vision::CameraPose camera_from_chart;  // z of the chart's frame towards the viewer
  bool chart = true;
  std::vector<PrintedTag> tags;
  double ink_spread_mm = 0.0;                         // by which every black side moves out; negative: white spreads
  std::function<double(cv::Point2d)> cover_in_chart;  // grey level of what lies on the sheet at p_in_chart, or < 0
  double black = 40.0, white = 200.0, table = 120.0;  // grey levels of ink, paper and what is around the sheet
  double slope_per_px = 0.0;                          // light's change along x, of 1
  double blur_px = 0.8, noise = 1.0;                  // standard deviations: edges' spread, grey levels
  double gamma = 1.0;                                 // grey levels grow with light to the power of 1 / gamma
  int fine = 2;                                       // parts of a pixel before the blur
};

cv::Mat photograph(const Scene& scene, cv::RNG& rng);

// Where a point of the sheet is seen.
cv::Point2d seen_at(const Scene& scene, cv::Point2d p_in_chart);

// Facing the sheet at this distance from its point `aim_mm`, then tilted: about_x lifts its top edge away from the
// viewer, about_y its right edge, turned counter-clockwise as seen.
vision::CameraPose facing(double distance_mm, double about_x_deg = 0.0, double about_y_deg = 0.0, double turn_deg = 0.0,
                          cv::Point2d aim_mm = {}, cv::Point2d aim_normalised = {});

}  // namespace sheet_scene

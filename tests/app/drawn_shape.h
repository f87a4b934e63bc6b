// Drawings for tests, and how far an outline is from one that is known in closed form.
#pragma once

#include <algorithm>
#include <functional>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/design/drawing.h"
#include "tests/temporary_folder.h"

namespace drawn {

inline std::string svg(const std::string& attributes, const std::string& body) {
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" " + attributes + ">" +
         body + "</svg>";
}

inline app::Drawing read(const std::string& text, const std::optional<app::TrueSize>& size = {}) {
  const TemporaryFolder folder;
  return app::read_drawing(folder.put("drawing.svg", text), size);
}

inline double distance_to_segment(cv::Point2d p, cv::Point2d a, cv::Point2d b) {
  const cv::Point2d way = b - a;
  const double length2 = way.dot(way);
  const double along = length2 > 0.0 ? std::clamp((p - a).dot(way) / length2, 0.0, 1.0) : 0.0;
  return cv::norm(p - a - along * way);
}

inline double distance_to(cv::Point2d p, const std::vector<std::vector<cv::Point2d>>& outlines) {
  double least = 1e9;
  for (const auto& outline : outlines)
    for (std::size_t i = 0; i < outline.size(); ++i)
      least = std::min(least, distance_to_segment(p, outline[i], outline[(i + 1) % outline.size()]));
  return least;
}

// The largest distance of the outlines from a true one, both ways, along both. The true outlines are dense polygons.
inline double largest_distance(const std::vector<std::vector<cv::Point2d>>& outlines,
                               const std::vector<std::vector<cv::Point2d>>& truth) {
  double largest = 0.0;
  for (const auto* from : {&outlines, &truth})
    for (const auto& outline : *from)
      for (std::size_t i = 0; i < outline.size(); ++i) {
        const cv::Point2d next = outline[(i + 1) % outline.size()];
        for (const cv::Point2d& p : {outline[i], (outline[i] + next) / 2.0})
          largest = std::max(largest, distance_to(p, from == &outlines ? truth : outlines));
      }
  return largest;
}

// Twice round would be negative area once: the signed area of a closed outline.
inline double area_of(const std::vector<cv::Point2d>& outline) {
  double twice = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) twice += outline[i].cross(outline[(i + 1) % outline.size()]);
  return twice / 2.0;
}

inline double length_of(const std::vector<cv::Point2d>& outline) {
  double sum = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) sum += cv::norm(outline[i] - outline[(i + 1) % outline.size()]);
  return sum;
}

// A closed curve as a polygon of 720 corners, t from 0 to 1.
inline std::vector<cv::Point2d> polygon(const std::function<cv::Point2d(double)>& at) {
  std::vector<cv::Point2d> all;
  for (int i = 0; i < 720; ++i) all.push_back(at(i / 720.0));
  return all;
}

}  // namespace drawn

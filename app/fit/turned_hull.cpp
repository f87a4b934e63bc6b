#include "app/fit/turned_hull.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/geometry.h"

namespace app {

double Wave::at(double rotation) const { return level + cosine * std::cos(rotation) + sine * std::sin(rotation); }
double Wave::slope(double rotation) const { return sine * std::cos(rotation) - cosine * std::sin(rotation); }
double Wave::swing() const { return std::hypot(cosine, sine); }

Wave& Wave::operator+=(const Wave& other) {
  level += other.level;
  cosine += other.cosine;
  sine += other.sine;
  return *this;
}

Wave operator*(double factor, const Wave& wave) {
  return {factor * wave.level, factor * wave.cosine, factor * wave.sine};
}

double way_down_rad(const Wave& wave, double rotation, int direction) {
  const double swing = wave.swing();
  // Above 0 within `half` on both sides of its crest.
  if (!(-wave.level > -swing)) return std::numeric_limits<double>::infinity();
  const double half = std::acos(std::min(1.0, -wave.level / swing));
  const double from_crest = vision::wrapped_rad(rotation - std::atan2(wave.sine, wave.cosine));
  return std::max(0.0, half - direction * from_crest);
}

Wave Contact::broken_by(cv::Point2d centre) const {
  return {plane.normal.dot(centre) - plane.at_mm, plane.normal.dot(vertex), vertex.cross(plane.normal)};
}

std::vector<cv::Point2d> turned(const std::vector<cv::Point2d>& hull, double rotation) {
  const double c = std::cos(rotation), s = std::sin(rotation);
  std::vector<cv::Point2d> out;
  out.reserve(hull.size());
  for (const cv::Point2d& p : hull) out.emplace_back(c * p.x - s * p.y, s * p.x + c * p.y);
  return out;
}

}  // namespace app

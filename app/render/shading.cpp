#include "app/render/shading.h"

#include <algorithm>
#include <cmath>

namespace app {

Shading::Shading(const Light& light) : ambient_(static_cast<float>(light.ambient)) {
  const double up = std::clamp(light.elevation_deg, 5.0, 90.0) * vision::kRadPerDeg;
  const double around = light.azimuth_deg * vision::kRadPerDeg;
  towards_lamp_ = cv::Vec3d(std::cos(up) * std::cos(around), std::cos(up) * std::sin(around), std::sin(up));
}

float Shading::matt(const cv::Vec3f& normal, float openness, float lit) const {
  const float sky = 0.5F + 0.5F * normal[2];
  const float lamp = std::max(0.0F, normal.dot(towards_lamp_)) / towards_lamp_[2];
  return ambient_ * sky * openness + (1.0F - ambient_) * lamp * lit;
}

// Blinn (1977), with a fixed roughness.
float Shading::shine(const cv::Vec3f& normal, const cv::Vec3f& to_camera) const {
  cv::Vec3f half = towards_lamp_ + to_camera;
  const float length = std::sqrt(half.dot(half));
  const float cosine = std::max(0.0F, half.dot(normal)) / std::max(length, 1e-6F);
  const float c4 = cosine * cosine * cosine * cosine, c16 = c4 * c4 * c4 * c4;
  return c16 * c16 * c16;
}

}  // namespace app

// How much light a surface sends to the camera. A flat, open surface under the scene's light counts as 1.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/scene.h"

namespace app {

// Light is kept in 16 bits: this is a white surface (albedo 1) that lies flat and open. Twice that can be held.
inline constexpr float kWhite = 32768.0F;

inline std::uint16_t to_light(float value) {
  return static_cast<std::uint16_t>(value < 0.0F ? 0.0F : value > 65535.0F ? 65535.0F : value + 0.5F);
}

class Shading {
 public:
  explicit Shading(const Light& light);

  cv::Vec3f towards_lamp() const { return towards_lamp_; }
  float ambient() const { return ambient_; }
  // `openness` is the share of the sky that is seen, `lit` the share of the lamp.
  float matt(const cv::Vec3f& normal, float openness, float lit) const;
  // The lamp's mirror image in a rough surface, seen along `to_camera`; 1 at its middle.
  float shine(const cv::Vec3f& normal, const cv::Vec3f& to_camera) const;

 private:
  cv::Vec3f towards_lamp_;
  float ambient_;
};

}  // namespace app

// From light to picture values: exposure, fall-off to the corners, shot and read noise, the tone curve.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <vector>

#include "app/render/ray_field.h"
#include "app/render/scene.h"

namespace app {

class SensorModel {
 public:
  SensorModel();

  // `light` is the blurred picture, kWhite = a flat white surface. The same seed gives the same noise.
  void expose(const cv::Mat1w& light, const RayField& rays, const Scene& scene, std::uint64_t seed, cv::Mat1b& picture);

 private:
  void prepare_gain(const RayField& rays, const Light& light);
  void prepare_tone(const Sensor& sensor);

  // One entry for each few steps of light: the picture value and the noise there, in 1/256 of a step.
  struct Tone {
    std::uint16_t value, noise;
  };
  std::vector<Tone> tone_;
  Sensor tone_for_;
  std::vector<std::int16_t> noise_;  // standard normal, 1/1024
  cv::Mat1w gain_;                   // 1/16384
  Light gain_for_;
  cv::Vec3d gain_camera_;
};

}  // namespace app

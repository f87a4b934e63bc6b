#include "app/render/sensor.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "app/render/random.h"
#include "app/render/shading.h"

namespace app {
namespace {

constexpr int kNoiseBits = 20;  // a table of a million values, entered anew at every row
constexpr int kToneShift = 2;
// Paper (albedo 0.8) at level 1 comes out at 0.6 of full light, 0.8 of full scale after a gamma of 2.2.
constexpr double kWhiteShare = 0.75;

}  // namespace

SensorModel::SensorModel() {
  Random random(2024);
  noise_.resize(std::size_t{1} << kNoiseBits);
  for (std::int16_t& value : noise_) value = static_cast<std::int16_t>(std::clamp(random.normal(), -6.0, 6.0) * 1024.0);
  tone_for_.full_well = -1.0;
}

void SensorModel::prepare_gain(const RayField& rays, const Light& light) {
  if (gain_.size() == rays.size() && gain_camera_ == rays.camera_mm() && gain_for_.level == light.level &&
      gain_for_.vignetting == light.vignetting && gain_for_.slope == light.slope &&
      gain_for_.azimuth_deg == light.azimuth_deg)
    return;
  gain_.create(rays.size());
  gain_for_ = light;
  gain_camera_ = rays.camera_mm();
  const cv::Point2f middle(static_cast<float>(gain_.cols) / 2.0F, static_cast<float>(gain_.rows) / 2.0F);
  const float per_corner = static_cast<float>(light.vignetting) / middle.dot(middle);
  const float level = static_cast<float>(light.level * kWhiteShare * 16384.0);
  const double azimuth = light.azimuth_deg * vision::kRadPerDeg;
  const float slope_x = static_cast<float>(light.slope * std::cos(azimuth) / 100.0 * -gain_camera_[2]);
  const float slope_y = static_cast<float>(light.slope * std::sin(azimuth) / 100.0 * -gain_camera_[2]);
  for (int y = 0; y < gain_.rows; ++y) {
    const float dy = static_cast<float>(y) - middle.y;
    const float *sx = rays.slope_x()[y], *sy = rays.slope_y()[y];
    std::uint16_t* out = gain_[y];
    for (int x = 0; x < gain_.cols; ++x) {
      const float dx = static_cast<float>(x) - middle.x;
      const float fall = 1.0F - per_corner * (dx * dx + dy * dy);
      const float lamp = 1.0F + slope_x * sx[x] + slope_y * sy[x];
      out[x] = static_cast<std::uint16_t>(std::clamp(level * fall * lamp, 0.0F, 65535.0F));
    }
  }
}

void SensorModel::prepare_tone(const Sensor& sensor) {
  if (tone_for_.full_well == sensor.full_well && tone_for_.read_noise == sensor.read_noise &&
      tone_for_.gamma == sensor.gamma)
    return;
  tone_for_ = sensor;
  tone_.resize(std::size_t{65536} >> kToneShift);
  const auto curve = [&](double share) { return 255.0 * std::pow(std::clamp(share, 0.0, 1.0), 1.0 / sensor.gamma); };
  for (std::size_t i = 0; i < tone_.size(); ++i) {
    const double light = (static_cast<double>(i) + 0.5) * (1 << kToneShift) / static_cast<double>(kWhite);
    const double electrons = std::max(light, 0.0) * sensor.full_well;
    const double sigma = std::sqrt(electrons + sensor.read_noise * sensor.read_noise) / sensor.full_well;
    // The tone curve is steep at black: its slope is taken over the noise's own width.
    const double spread = std::max(sigma, 1e-6);
    const double slope = (curve(light + spread) - curve(std::max(0.0, light - spread))) /
                         (light + spread - std::max(0.0, light - spread));
    const double noise = light >= 1.0 ? 0.0 : sigma * slope;
    tone_[i] = {static_cast<std::uint16_t>(std::min(65280.0, curve(light) * 256.0)),
                static_cast<std::uint16_t>(std::min(65535.0, noise * 256.0))};
  }
}

void SensorModel::expose(const cv::Mat1w& light, const RayField& rays, const Scene& scene, std::uint64_t seed,
                         cv::Mat1b& picture) {
  prepare_gain(rays, scene.light);
  prepare_tone(scene.sensor);
  picture.create(light.size());
  Random random(seed);
  const std::size_t last_start = noise_.size() - static_cast<std::size_t>(light.cols);
  for (int y = 0; y < light.rows; ++y) {
    const std::int16_t* noise = noise_.data() + random.next() % last_start;
    const std::uint16_t *in = light[y], *gain = gain_[y];
    std::uint8_t* out = picture[y];
    for (int x = 0; x < light.cols; ++x) {
      const std::uint32_t exposed = std::min<std::uint32_t>((std::uint32_t{in[x]} * gain[x]) >> 14, 65535U);
      const Tone tone = tone_[exposed >> kToneShift];
      const int value = (tone.value + ((noise[x] * tone.noise) >> 10) + 128) >> 8;
      out[x] = static_cast<std::uint8_t>(std::clamp(value, 0, 255));
    }
  }
  if (scene.sensor.jpeg_quality > 0) {
    std::vector<std::uint8_t> bytes;
    cv::imencode(".jpg", picture, bytes, {cv::IMWRITE_JPEG_QUALITY, scene.sensor.jpeg_quality});
    cv::imdecode(bytes, cv::IMREAD_GRAYSCALE, &picture);
  }
}

}  // namespace app

#include "app/render/light_map.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

constexpr float kRidgeFallMm = 14.0F;
constexpr int kLampPoints = 7;

float smooth_step(float t) {
  t = std::clamp(t, 0.0F, 1.0F);
  return t * t * (3.0F - 2.0F * t);
}

// The lamp's points as horizontal travel for each mm of height, hoop frame.
std::vector<cv::Point2f> lamp_points(const Scene& scene) {
  std::vector<cv::Point2f> points;
  const double azimuth = lamp_azimuth_in_hoop_deg(scene) * vision::kRadPerDeg;
  const double elevation = scene.light.elevation_deg * vision::kRadPerDeg;
  const double size = scene.light.size_deg * vision::kRadPerDeg;
  for (int i = 0; i < kLampPoints; ++i) {
    const double radius = i == 0 ? 0.0 : size * 0.8, around = i * 2.0 * vision::kPi / (kLampPoints - 1);
    const double up = std::clamp(elevation + radius * std::sin(around), 0.15, vision::kPi / 2.0);
    const double turned = azimuth + radius * std::cos(around) / std::max(0.2, std::cos(elevation));
    points.emplace_back(static_cast<float>(std::cos(turned) / std::tan(up)),
                        static_cast<float>(std::sin(turned) / std::tan(up)));
  }
  return points;
}

// Share of the lamp that is seen from p past a ring that rises `rise` mm above it.
float lamp_seen(const RingSolid& solid, cv::Point2f p, float rise, const std::vector<cv::Point2f>& lamp, float margin) {
  constexpr int kSteps = 5;
  float seen = 0.0F;
  for (const cv::Point2f& travel : lamp) {
    bool blocked = false;
    for (int step = 1; step <= kSteps && !blocked; ++step) {
      const OutlineDistances d =
          solid.field().at(p + travel * (rise * static_cast<float>(step) / static_cast<float>(kSteps)));
      blocked = d.inner > 0.0F && d.outer > -margin;
    }
    seen += blocked ? 0.0F : 1.0F;
  }
  return seen / static_cast<float>(lamp.size());
}

struct Ground {
  const RingSolid& solid;
  const Scene& scene;
  const Shading shading;  // lamp direction in the hoop frame
  const std::vector<cv::Point2f> lamp;
  float rise, reach, ridge, outer_width;

  float inside_hole(cv::Point2f p, const OutlineDistances& d) const {
    // Under the ring the ground goes on as it is at the wall's foot, for the pixels that see both.
    const float away = std::max(0.0F, -d.inner);
    if (d.inner > -0.3F) p -= d.inner_gradient * (-d.inner - 0.3F);
    if (scene.ring.state == RingState::under_cloth) return 1.0F;
    const float open = 1.0F - 0.2F * std::exp(-away / 2.0F) - 0.2F * std::exp(-away / 10.0F);
    const float lit = away < reach ? lamp_seen(solid, p, rise, lamp, outer_width) : 1.0F;
    return shading.matt({0.0F, 0.0F, 1.0F}, open, lit);
  }

  float on_ridge(const OutlineDistances& d) const {
    constexpr float kStep = 0.5F;
    const float outside = scene.ring.state == RingState::under_cloth ? std::max(-d.outer, -d.inner) : -d.outer;
    if (outside <= -kStep) return 1.0F;
    const float rate = (ridge_height(outside + kStep, ridge) - ridge_height(outside - kStep, ridge)) / (2.0F * kStep);
    const cv::Point2f downhill = d.outer_gradient * rate;  // minus the height's gradient
    const float length = std::sqrt(1.0F + downhill.dot(downhill));
    return shading.matt({downhill.x / length, downhill.y / length, 1.0F / length}, 1.0F, 1.0F);
  }

  float beside_assembled(cv::Point2f p, const OutlineDistances& d) const {
    const float away = std::max(0.0F, -d.outer - outer_width);
    const float open = 1.0F - 0.2F * std::exp(-away / 2.0F) - 0.2F * std::exp(-away / 10.0F);
    return shading.matt({0.0F, 0.0F, 1.0F}, open, away < reach ? lamp_seen(solid, p, rise, lamp, outer_width) : 1.0F);
  }

  float factor(cv::Point2f p) const {
    const OutlineDistances d = solid.field().at(p);
    const float whole = scene.ring.state == RingState::assembled ? outer_width : 0.0F;
    if (d.inner < d.outer + whole && scene.ring.state != RingState::under_cloth) return inside_hole(p, d);
    if (scene.ring.state == RingState::assembled) return beside_assembled(p, d);
    return on_ridge(d);
  }
};

Light turned_light(const Scene& scene) {
  Light light = scene.light;
  light.azimuth_deg = lamp_azimuth_in_hoop_deg(scene);
  return light;
}

}  // namespace

double lamp_azimuth_in_hoop_deg(const Scene& scene) {
  return std::round(scene.light.azimuth_deg - scene.ring.board_from_hoop.angle_rad * vision::kDegPerRad);
}

float ridge_height(float outside, float ridge_mm) {
  const float plateau = kOuterRingGapMm + kOuterRingWidthMm;
  return ridge_mm * (1.0F - smooth_step((outside - plateau) / kRidgeFallMm));
}

LightMap light_map(const RingSolid& solid, const Scene& scene, double ground_mm) {
  LightMap map;
  map.extent_mm = solid.field().extent_mm();
  map.factor.create(static_cast<int>(map.extent_mm.height / map.mm_per_px) + 1,
                    static_cast<int>(map.extent_mm.width / map.mm_per_px) + 1);
  const float rise = static_cast<float>(scene.ring.rim_height_mm - ground_mm);
  const double low = std::max(10.0, scene.light.elevation_deg - scene.light.size_deg) * vision::kRadPerDeg;
  const Ground ground{solid,
                      scene,
                      Shading(turned_light(scene)),
                      lamp_points(scene),
                      rise,
                      rise / static_cast<float>(std::tan(low)) + 1.0F,
                      0.9F * rise,
                      kOuterRingGapMm + kOuterRingWidthMm};
  for (int y = 0; y < map.factor.rows; ++y)
    for (int x = 0; x < map.factor.cols; ++x)
      map.factor(y, x) = ground.factor({static_cast<float>(map.extent_mm.x + x * map.mm_per_px),
                                        static_cast<float>(map.extent_mm.y + y * map.mm_per_px)});
  return map;
}

}  // namespace app

#include "app/render/ring_layer.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "app/render/shading.h"
#include "app/render/subpixel.h"

namespace app {
namespace {

constexpr float kEdgeMarginMm = 0.6F;  // more than a pixel
constexpr float kClothDropMm = 0.4F;   // of the cloth over the outer ring, below the rim
constexpr float kGapMm = 0.35F;        // between the ring and the cloth around it
constexpr float kGapLight = 0.25F, kGrooveFloorLight = 0.3F;

// All that is needed to say how one ray through the ring looks.
class RingLook {
 public:
  RingLook(const RingSolid& solid, const Scene& scene, double ground_mm)
      : solid_(solid),
        shading_(turned(scene)),
        state_(scene.ring.state),
        rise_(static_cast<float>(scene.ring.rim_height_mm - ground_mm)),
        bevel_(static_cast<float>(scene.ring.bevel_mm)),
        albedo_(static_cast<float>(scene.ring.albedo)),
        gloss_(static_cast<float>(scene.ring.gloss)),
        clear_(static_cast<float>(scene.ring.translucency)) {}

  float rise() const { return rise_; }
  float bevel() const { return bevel_; }
  float outer_reach() const { return state_ == RingState::assembled ? kOuterRingGapMm + kOuterRingWidthMm : kGapMm; }

  // `ground`: the light that comes from the ground there.
  float light(const DownRay& ray, const cv::Vec3f& to_camera, float ground) const {
    std::optional<RingHit> hit = solid_.hit(ray, rise_, bevel_);
    if (state_ == RingState::assembled) {
      const auto outer = solid_.hit_outer_ring(ray, rise_, bevel_, kOuterRingGapMm, kOuterRingWidthMm);
      if (outer && (!hit || outer->below_rim_mm < hit->below_rim_mm)) hit = outer;
    }
    if (!hit) return ground * ground_light(ray);
    const float surface = surface_light(*hit, to_camera);
    return surface + clear_ * (ground * 0.8F - surface);
  }

 private:
  static Light turned(const Scene& scene) {
    Light light = scene.light;
    light.azimuth_deg -= scene.ring.board_from_hoop.angle_rad * vision::kDegPerRad;
    return light;
  }

  float ground_light(const DownRay& ray) const {
    const OutlineDistances below = solid_.field().at(ray.at_rim + ray.per_mm * rise_);
    if (below.inner > 0.0F && below.outer > 0.0F) return kGrooveFloorLight;  // seen through a notch
    if (state_ == RingState::assembled) {
      const bool between = below.inner > 0.0F && below.outer > -kOuterRingGapMm;
      return between ? kGapLight : 1.0F;
    }
    const OutlineDistances beside = solid_.field().at(ray.at_rim + ray.per_mm * kClothDropMm);
    return beside.inner > 0.0F && beside.outer > -kGapMm ? kGapLight : 1.0F;
  }

  float surface_light(const RingHit& hit, const cv::Vec3f& to_camera) const {
    cv::Vec3f normal(0.0F, 0.0F, 1.0F);
    float open = 1.0F, lit = 1.0F;
    if (hit.surface == RingSurface::bevel) {
      normal = {hit.outward.x * 0.7071F, hit.outward.y * 0.7071F, 0.7071F};
      open = 0.95F;
    } else if (hit.surface == RingSurface::wall) {
      normal = {hit.outward.x, hit.outward.y, 0.0F};
      open = 0.45F + 0.55F * std::exp(-hit.below_rim_mm / 5.0F);
    }
    if (hit.in_notch) open *= 0.6F, lit = 0.4F;
    const float matt = albedo_ * shading_.matt(normal, open, lit);
    const float shine = gloss_ * (1.2F * shading_.shine(normal, to_camera) + 0.06F * normal[2]);
    return (matt + shine) * kWhite;
  }

  const RingSolid& solid_;
  Shading shading_;
  RingState state_;
  float rise_, bevel_, albedo_, gloss_, clear_;
};

enum class PixelKind { ground, top, mixed };

PixelKind kind_of(const RingSolid& solid, const RingLook& look, const PlanePoint& at) {
  const OutlineDistances rim = solid.field().at(at.p);
  const float travel = std::sqrt(at.slope.dot(at.slope)) * look.rise() + kEdgeMarginMm;
  if (rim.inner < -travel || rim.outer < -travel - look.outer_reach()) return PixelKind::ground;
  const float flat = look.bevel() + kEdgeMarginMm;
  const bool notch = rim.inner < 6.0F && solid.near_notch(at.p);
  if (rim.inner > flat && rim.outer > flat && !notch) return PixelKind::top;
  if (rim.inner < -kEdgeMarginMm && !notch) {
    const OutlineDistances below = solid.field().at(at.p - at.slope * look.rise());
    if (below.inner < -kEdgeMarginMm) return PixelKind::ground;
  }
  return PixelKind::mixed;
}

// A ray's point moves against its slope on the way down.
DownRay down_ray(cv::Point2f at_rim, cv::Point2f slope) { return {at_rim, slope * -1.0F}; }

void draw_pixel(const RingSolid& solid, const RingLook& look, const RayField::Plane& rim, int x, int y,
                cv::Mat1w& light) {
  const PlanePoint at = rim.point(x, y);
  const PixelKind kind = kind_of(solid, look, at);
  if (kind == PixelKind::ground) return;
  const cv::Vec3f to_camera = cv::normalize(cv::Vec3f(at.slope.x, at.slope.y, 1.0F));
  const float ground = static_cast<float>(light(y, x));
  if (kind == PixelKind::top) {
    light(y, x) = to_light(look.light(down_ray(at.p, at.slope), to_camera, ground));
    return;
  }
  constexpr int kAcross = 4;
  float sum = 0.0F;
  for (const cv::Point2f& place : subpixels<kAcross>(x, y))
    sum += look.light(down_ray(at.p + at.per_x * place.x + at.per_y * place.y, at.slope), to_camera, ground);
  light(y, x) = to_light(sum / static_cast<float>(kPlaces<kAcross>));
}

std::vector<cv::Point2d> corners_of(const cv::Rect2d& r) {
  return {{r.x, r.y}, {r.x + r.width, r.y}, {r.x + r.width, r.y + r.height}, {r.x, r.y + r.height}};
}

cv::Rect2d shrunk(const cv::Rect2d& r, double by_mm) {
  return {r.x + by_mm, r.y + by_mm, r.width - 2.0 * by_mm, r.height - 2.0 * by_mm};
}

}  // namespace

cv::Rect draw_ring(const RayField& rays, const RingSolid& solid, const Scene& scene, double ground_mm,
                   cv::Mat1w& light) {
  const RingLook look(solid, scene, ground_mm);
  // The table of distances reaches far beyond the ring; the ring itself, both rings included, is what is drawn.
  const std::vector<cv::Point2d> corners = corners_of(shrunk(solid.field().extent_mm(), 22.0));
  const cv::Rect region = rays.bounds(corners, scene.ring.board_from_hoop, ground_mm, scene.ring.rim_height_mm, 3);
  const RayField::Plane rim(rays, scene.ring.board_from_hoop, scene.ring.rim_height_mm);
  for (int y = region.y; y < region.br().y; ++y)
    for (int x = region.x; x < region.br().x; ++x) draw_pixel(solid, look, rim, x, y, light);
  return region;
}

void apply_light_map(const RayField& rays, const LightMap& map, const vision::Pose2& board_from_hoop, double ground_mm,
                     cv::Mat1w& light) {
  const cv::Rect region = rays.bounds(corners_of(map.extent_mm), board_from_hoop, ground_mm, ground_mm, 0);
  if (region.empty()) return;
  const RayField::Plane plane(rays, board_from_hoop, ground_mm);
  const float per_mm = static_cast<float>(1.0 / map.mm_per_px);
  const cv::Point2f origin = cv::Point2d(map.extent_mm.tl());
  cv::Mat1f map_x(region.size()), map_y(region.size()), factor;
  for (int y = 0; y < region.height; ++y) {
    float *mx = map_x[y], *my = map_y[y];
    for (int x = 0; x < region.width; ++x) {
      const cv::Point2f p = plane.at(region.x + x, region.y + y);
      mx[x] = (p.x - origin.x) * per_mm;
      my[x] = (p.y - origin.y) * per_mm;
    }
  }
  cv::remap(map.factor, factor, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_CONSTANT, cv::Scalar(1.0));
  for (int y = 0; y < region.height; ++y) {
    const float* by = factor[y];
    std::uint16_t* out = light[region.y + y] + region.x;
    for (int x = 0; x < region.width; ++x)
      out[x] = static_cast<std::uint16_t>(std::clamp(static_cast<float>(out[x]) * by[x], 0.0F, 65535.0F));
  }
}

}  // namespace app

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
constexpr float kGapMm = 0.5F;         // between the ring and the cloth around it
constexpr float kGapLight = 0.08F, kGrooveFloorLight = 0.3F;

// All that is needed to say how one ray through the ring looks.
class RingLook {
 public:
  RingLook(const RingSolid& solid, const Scene& scene, double ground_mm)
      : solid_(solid),
        shading_(turned(scene)),
        state_(scene.ring.state),
        rise_(static_cast<float>(scene.ring.rim_height_mm - ground_mm)),
        radius_(static_cast<float>(scene.ring.edge_radius_mm)),
        albedo_(static_cast<float>(scene.ring.albedo)),
        gloss_(static_cast<float>(scene.ring.gloss)),
        clear_(static_cast<float>(scene.ring.translucency)) {}

  bool has_inner_ring() const { return state_ != RingState::under_cloth; }
  float rise() const { return rise_; }
  float radius() const { return radius_; }
  float outer_reach() const { return state_ == RingState::assembled ? kOuterRingGapMm + kOuterRingWidthMm : kGapMm; }

  // All that a pixel's rays share.
  struct Pixel {
    RayPatch patch;
    OutlineDistances beside, below;  // where its ray meets the cloth around the ring, and the ground
    cv::Vec3f to_camera;
    float ground = 0.0F;  // light from the ground there
  };
  Pixel pixel(const DownRay& ray, const cv::Vec3f& to_camera, float ground) const {
    return {solid_.patch(ray, rise_, radius_), solid_.field().at(ray.at_rim + ray.per_mm * kClothDropMm),
            solid_.field().at(ray.at_rim + ray.per_mm * rise_), to_camera, ground};
  }

  // Light varies smoothly within a kind and jumps between kinds; in a notch it jumps anywhere.
  enum class Kind { ring, notch, ground, gap };
  struct Sample {
    float light = 0.0F;
    Kind kind = Kind::ground;
  };

  // Of the ray `offset` mm beside the pixel's own, in the rim plane.
  Sample sample(const Pixel& pixel, cv::Point2f offset) const {
    std::optional<RingHit> hit;
    if (state_ != RingState::under_cloth) hit = solid_.hit(pixel.patch, offset);
    if (state_ != RingState::pressed) {
      const auto outer = RingSolid::hit_outer_ring(pixel.patch, offset, kOuterRingGapMm, kOuterRingWidthMm);
      if (outer && (!hit || outer->below_rim_mm < hit->below_rim_mm)) hit = outer;
    }
    if (!hit) {
      const float share = ground_share(pixel, offset);
      return {pixel.ground * share, share <= kGrooveFloorLight ? Kind::gap : Kind::ground};
    }
    const float surface = surface_light(*hit, pixel);
    return {surface + clear_ * (pixel.ground * 0.8F - surface), hit->in_notch ? Kind::notch : Kind::ring};
  }

  // Of the flat top, for the whole pixel.
  float top_light(const cv::Vec3f& to_camera, float ground) const {
    const float surface = (albedo_ + shine({0.0F, 0.0F, 1.0F}, to_camera)) * kWhite;
    return surface + clear_ * (ground * 0.8F - surface);
  }

 private:
  static Light turned(const Scene& scene) {
    Light light = scene.light;
    light.azimuth_deg -= scene.ring.board_from_hoop.angle_rad * vision::kDegPerRad;
    return light;
  }

  float ground_share(const Pixel& pixel, cv::Point2f offset) const {
    const float below_inner = pixel.below.inner + pixel.below.inner_gradient.dot(offset);
    const float below_outer = pixel.below.outer + pixel.below.outer_gradient.dot(offset);
    if (state_ == RingState::under_cloth) return 1.0F;
    if (below_inner > 0.0F && below_outer > 0.0F) return kGrooveFloorLight;  // seen through a notch
    if (state_ == RingState::assembled) return below_inner > 0.0F && below_outer > -kOuterRingGapMm ? kGapLight : 1.0F;
    const float beside_outer = pixel.beside.outer + pixel.beside.outer_gradient.dot(offset);
    if (pixel.beside.inner + pixel.beside.inner_gradient.dot(offset) <= 0.0F) return 1.0F;
    if (beside_outer > -kGapMm) return kGapLight;
    return 1.0F - 0.4F * std::exp((beside_outer + kGapMm) / 0.6F);
  }

  float shine(const cv::Vec3f& normal, const cv::Vec3f& to_camera) const {
    return gloss_ * (1.2F * shading_.shine(normal, to_camera) + 0.06F * normal[2]);
  }

  float surface_light(const RingHit& hit, const Pixel& pixel) const {
    cv::Vec3f normal(0.0F, 0.0F, 1.0F);
    float open = 1.0F, lit = 1.0F;
    if (hit.surface == RingSurface::rounding) {
      const float up = (radius_ - hit.below_rim_mm) / radius_, aside = std::sqrt(std::max(0.0F, 1.0F - up * up));
      normal = {hit.outward.x * aside, hit.outward.y * aside, up};
      open = 0.8F + 0.2F * up;
    } else if (hit.surface == RingSurface::wall) {
      normal = {hit.outward.x, hit.outward.y, 0.0F};
      open = 0.55F + 0.25F * std::exp(-hit.below_rim_mm / 5.0F);
    }
    if (hit.in_notch) open *= 0.6F, lit = 0.4F;
    const float matt = albedo_ * shading_.matt(normal, open, lit);
    // Light from the cloth: onto a steep surface, and mirrored where the camera sees it at a grazing angle.
    const float steep = 1.0F - normal[2], bounce = (0.8F * albedo_ + 0.2F) * steep * (hit.in_notch ? 0.4F : 1.0F);
    return (matt + shine(normal, pixel.to_camera)) * kWhite + bounce * pixel.ground;
  }

  const RingSolid& solid_;
  Shading shading_;
  RingState state_;
  float rise_, radius_, albedo_, gloss_, clear_;
};

enum class PixelKind { ground, top, mixed };

PixelKind kind_of(const RingSolid& solid, const RingLook& look, const PlanePoint& at) {
  const OutlineDistances rim = solid.field().at(at.p);
  const float travel = std::sqrt(at.slope.dot(at.slope)) * look.rise() + kEdgeMarginMm;
  if (rim.inner < -travel || rim.outer < -travel - look.outer_reach()) return PixelKind::ground;
  const float flat = look.radius() + kEdgeMarginMm;
  const bool notch = rim.inner < 6.0F && solid.near_notch(at.p);
  if (rim.inner > flat && rim.outer > flat && !notch && look.has_inner_ring()) return PixelKind::top;
  if (rim.inner < -kEdgeMarginMm && !notch) {
    const OutlineDistances below = solid.field().at(at.p - at.slope * look.rise());
    if (below.inner < -kEdgeMarginMm) return PixelKind::ground;
  }
  return PixelKind::mixed;
}

// Whether no pixel of a block can see the ring or what lies close beside it.
bool block_is_clear(const RingSolid& solid, const RingLook& look, const RayField::Plane& rim, cv::Rect block) {
  const PlanePoint at = rim.point(block.x + block.width / 2, block.y + block.height / 2);
  const float half = 0.75F * static_cast<float>(std::max(block.width, block.height));
  const float reach = std::sqrt(at.slope.dot(at.slope)) * look.rise() + kEdgeMarginMm +
                      half * std::sqrt(std::max(at.per_x.dot(at.per_x), at.per_y.dot(at.per_y))) + 0.5F;
  const OutlineDistances d = solid.field().at(at.p);
  return d.inner < -reach || d.outer < -reach - look.outer_reach();
}

// The mean over a pixel; a few places tell whether many are needed.
float mean_light(const RingLook& look, const RingLook::Pixel& pixel, const PlanePoint& at, int x, int y) {
  bool smooth = true;
  const auto mean = [&](const auto& places) {
    float sum = 0.0F;
    std::optional<RingLook::Kind> first;
    for (const cv::Point2f& place : places) {
      const RingLook::Sample sample = look.sample(pixel, at.per_x * place.x + at.per_y * place.y);
      if (!first) first = sample.kind;
      smooth = smooth && sample.kind == *first && sample.kind != RingLook::Kind::notch;
      sum += sample.light;
    }
    return sum / static_cast<float>(places.size());
  };
  const float guess = mean(subpixels<2>(x, y));
  return smooth ? guess : mean(subpixels<4>(x, y));
}

void draw_pixel(const RingSolid& solid, const RingLook& look, const RayField::Plane& rim, int x, int y,
                cv::Mat1w& light) {
  const PlanePoint at = rim.point(x, y);
  const PixelKind kind = kind_of(solid, look, at);
  if (kind == PixelKind::ground) return;
  const cv::Vec3f to_camera = cv::normalize(cv::Vec3f(at.slope.x, at.slope.y, 1.0F));
  const float ground = static_cast<float>(light(y, x));
  // A ray's point moves against its slope on the way down.
  const float value = kind == PixelKind::top
                          ? look.top_light(to_camera, ground)
                          : mean_light(look, look.pixel({at.p, at.slope * -1.0F}, to_camera, ground), at, x, y);
  light(y, x) = to_light(value);
}

std::vector<cv::Point2d> corners_of(const cv::Rect2d& r) {
  return {{r.x, r.y}, {r.x + r.width, r.y}, {r.x + r.width, r.y + r.height}, {r.x, r.y + r.height}};
}

cv::Rect2d shrunk(const cv::Rect2d& r, double by_mm) {
  return {r.x + by_mm, r.y + by_mm, r.width - 2.0 * by_mm, r.height - 2.0 * by_mm};
}

// What the ring does to the cloth ends where the cloth ends.
void clear_beside_cloth(const RayField& rays, const Cloth& cloth, double ground_mm, cv::Rect region,
                        cv::Mat1f& factor) {
  const RayField::Plane plane(rays, cloth.board_from_cloth, ground_mm);
  const float half_x = static_cast<float>(cloth.size_mm.width / 2.0);
  const float half_y = static_cast<float>(cloth.size_mm.height / 2.0);
  for (int y = 0; y < region.height; ++y) {
    float* by = factor[y];
    for (int x = 0; x < region.width; ++x) {
      const cv::Point2f p = plane.at(region.x + x, region.y + y);
      by[x] = std::abs(p.x) < half_x && std::abs(p.y) < half_y ? by[x] : 1.0F;
    }
  }
}

}  // namespace

cv::Rect draw_ring(const RayField& rays, const RingSolid& solid, const Scene& scene, double ground_mm,
                   cv::Mat1w& light) {
  const RingLook look(solid, scene, ground_mm);
  // The table of distances reaches far beyond the ring; the ring itself, both rings included, is what is drawn.
  const std::vector<cv::Point2d> corners = corners_of(shrunk(solid.field().extent_mm(), 22.0));
  const cv::Rect region = rays.bounds(corners, scene.ring.board_from_hoop, ground_mm, scene.ring.rim_height_mm, 3);
  const RayField::Plane rim(rays, scene.ring.board_from_hoop, scene.ring.rim_height_mm);
  constexpr int kBlock = 16;
  for (int top = region.y; top < region.br().y; top += kBlock) {
    for (int left = region.x; left < region.br().x; left += kBlock) {
      const cv::Rect block = cv::Rect(left, top, kBlock, kBlock) & region;
      if (block_is_clear(solid, look, rim, block)) continue;
      for (int y = block.y; y < block.br().y; ++y)
        for (int x = block.x; x < block.br().x; ++x) draw_pixel(solid, look, rim, x, y, light);
    }
  }
  return region;
}

void apply_light_map(const RayField& rays, const LightMap& map, const Scene& scene, cv::Mat1w& light) {
  const double ground_mm = scene.cloth ? scene.cloth_height_mm : 0.0;
  const vision::Pose2& board_from_hoop = scene.ring.board_from_hoop;
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
  if (scene.cloth) clear_beside_cloth(rays, *scene.cloth, ground_mm, region, factor);
  for (int y = 0; y < region.height; ++y) {
    const float* by = factor[y];
    std::uint16_t* out = light[region.y + y] + region.x;
    for (int x = 0; x < region.width; ++x)
      out[x] = static_cast<std::uint16_t>(std::clamp(static_cast<float>(out[x]) * by[x], 0.0F, 65535.0F));
  }
}

}  // namespace app

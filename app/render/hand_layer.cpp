#include "app/render/hand_layer.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/render/shading.h"

namespace app {
namespace {

// A rounded stick between two points, hand frame, mm.
struct Limb {
  cv::Point2f from, to;
  float radius;
};
constexpr int kLimbs = 8;
const std::array<Limb, kLimbs>& limbs() {
  static const std::array<Limb, kLimbs> all{{{{-30, 20}, {-38, 78}, 8.5F},
                                             {{-11, 28}, {-13, 98}, 9.5F},
                                             {{9, 28}, {12, 92}, 9.0F},
                                             {{26, 22}, {34, 70}, 8.0F},
                                             {{-30, -25}, {-66, 28}, 10.0F},
                                             {{-14, -12}, {12, -12}, 33.0F},
                                             {{-16, 12}, {14, 12}, 24.0F},
                                             {{0, -40}, {6, -420}, 34.0F}}};
  return all;
}

struct Nearest {
  float inside = -1e6F;  // mm, positive within the hand
  float radius = 1.0F;
  cv::Point2f away;  // unit vector from the limb's middle line
};

float inside_limb(const Limb& limb, cv::Point2f p, cv::Point2f& off) {
  const cv::Point2f along = limb.to - limb.from, d = p - limb.from;
  off = d - along * std::clamp(d.dot(along) / along.dot(along), 0.0F, 1.0F);
  return limb.radius - std::sqrt(off.dot(off));
}

// Those limbs that can be the nearest one within `reach` of a place.
struct NearLimbs {
  std::array<const Limb*, kLimbs> limbs;
  int count = 0;
  float best_inside = -1e6F;
};

NearLimbs near_limbs(cv::Point2f middle, float reach) {
  std::array<float, kLimbs> inside;
  NearLimbs near;
  cv::Point2f off;
  for (std::size_t i = 0; i < inside.size(); ++i) {
    inside[i] = inside_limb(limbs()[i], middle, off);
    near.best_inside = std::max(near.best_inside, inside[i]);
  }
  for (std::size_t i = 0; i < inside.size(); ++i)
    if (inside[i] >= near.best_inside - 2.0F * reach) near.limbs[static_cast<std::size_t>(near.count++)] = &limbs()[i];
  return near;
}

Nearest nearest_limb(const NearLimbs& near, cv::Point2f p) {
  Nearest best;
  cv::Point2f off;
  for (int i = 0; i < near.count; ++i) {
    const Limb& limb = *near.limbs[static_cast<std::size_t>(i)];
    const float inside = inside_limb(limb, p, off);
    if (inside > best.inside) best = {inside, limb.radius, off * (1.0F / std::max(limb.radius - inside, 1e-3F))};
  }
  return best;
}

std::vector<cv::Point2d> outline() { return {{-78, -460}, {-78, 110}, {50, 110}, {50, -460}}; }

// Where the hand's shadow falls: horizontal travel of the light on its way down from the hand, board frame.
cv::Point2d shadow_shift(const Scene& scene, double ground_mm) {
  const cv::Vec3f lamp = Shading(scene.light).towards_lamp();
  const double down = (scene.hand->height_mm - ground_mm) / static_cast<double>(lamp[2]);
  return {-static_cast<double>(lamp[0]) * down, -static_cast<double>(lamp[1]) * down};
}

double ground_of(const Scene& scene) { return scene.cloth ? scene.cloth_height_mm : 0.0; }

vision::Pose2 shadow_pose(const Scene& scene) {
  vision::Pose2 pose = scene.hand->board_from_hand;
  pose.origin_mm += shadow_shift(scene, ground_of(scene));
  return pose;
}

float skin_light(const Nearest& at, const Shading& shading, double hand_angle_rad, float albedo) {
  const float tilt = std::clamp(1.0F - at.inside / at.radius, 0.0F, 0.97F);
  const float c = static_cast<float>(std::cos(hand_angle_rad)), s = static_cast<float>(std::sin(hand_angle_rad));
  const cv::Point2f away(c * at.away.x - s * at.away.y, s * at.away.x + c * at.away.y);
  const cv::Vec3f normal(away.x * tilt, away.y * tilt, std::sqrt(1.0F - tilt * tilt));
  return albedo * shading.matt(normal, 1.0F, 1.0F) * kWhite;
}

}  // namespace

cv::Rect hand_region(const RayField& rays, const Scene& scene) {
  if (!scene.hand) return {};
  return rays.bounds(outline(), scene.hand->board_from_hand, 0.0, scene.hand->height_mm, 4) |
         rays.bounds(outline(), shadow_pose(scene), 0.0, 0.0, 4);
}

void draw_hand(const RayField& rays, const Scene& scene, cv::Rect region, cv::Mat1w& cut_out) {
  const Hand& hand = *scene.hand;
  const Shading shading(scene.light);
  const RayField::Plane skin(rays, hand.board_from_hand, hand.height_mm);
  const RayField::Plane shadow(rays, shadow_pose(scene), ground_of(scene));
  const cv::Point2f step = skin.point(region.x + region.width / 2, region.y + region.height / 2).per_x;
  const float mm_per_px = std::sqrt(step.dot(step)), px_per_mm = 1.0F / mm_per_px;
  const float albedo = static_cast<float>(hand.albedo), dark = 0.8F * (1.0F - shading.ambient());
  constexpr float kPenumbraMm = 5.0F;
  constexpr int kBlock = 8;
  const float reach = 0.8F * kBlock * mm_per_px;
  const auto draw_block = [&](cv::Rect block) {
    const cv::Point middle = region.tl() + block.tl() + cv::Point(block.width / 2, block.height / 2);
    const NearLimbs over = near_limbs(skin.at(middle.x, middle.y), reach);
    const NearLimbs under = near_limbs(shadow.at(middle.x, middle.y), reach);
    const bool has_hand = over.best_inside > -reach, has_shadow = under.best_inside > -reach - kPenumbraMm;
    if (!has_hand && !has_shadow) return;
    for (int y = block.y; y < block.br().y; ++y) {
      for (int x = block.x; x < block.br().x; ++x) {
        const cv::Point at = region.tl() + cv::Point(x, y);
        float light = static_cast<float>(cut_out(y, x));
        const Nearest limb = has_hand ? nearest_limb(over, skin.at(at.x, at.y)) : Nearest{};
        const float share = std::clamp(limb.inside * px_per_mm + 0.5F, 0.0F, 1.0F);
        if (has_shadow && share < 1.0F) {
          const float depth = nearest_limb(under, shadow.at(at.x, at.y)).inside;
          light *= 1.0F - dark * std::clamp(0.5F + depth / (2.0F * kPenumbraMm), 0.0F, 1.0F);
        }
        if (share > 0.0F) light += share * (skin_light(limb, shading, hand.board_from_hand.angle_rad, albedo) - light);
        cut_out(y, x) = to_light(light);
      }
    }
  };
  for (int y = 0; y < region.height; y += kBlock)
    for (int x = 0; x < region.width; x += kBlock)
      draw_block(cv::Rect(x, y, kBlock, kBlock) & cv::Rect({0, 0}, region.size()));
}

}  // namespace app

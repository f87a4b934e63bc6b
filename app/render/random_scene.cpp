#include "app/render/random_scene.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "app/render/random.h"

namespace app {
namespace {

constexpr std::array<std::string_view, kSceneKindCount> kNames{
    "easy",      "white_on_white", "black_on_black", "glossy",    "translucent",
    "hand",      "tilted",         "round",          "patterned", "dim",
    "one_sided", "no_sticker",     "two_stickers",   "hoop_180",  "covered_sticker"};

bool is_round(const vision::Hoop& hoop) { return hoop.field_is_round; }

// Half the free width inside the ring, mm.
double half_opening(const vision::Hoop& hoop) {
  double x = 0.0, y = 0.0;
  for (const cv::Point2d& p : hoop.inner_mm) x = std::max(x, std::abs(p.x)), y = std::max(y, std::abs(p.y));
  return std::min(x, y);
}

// Draws one scene; each method settles one thing.
class Draw {
 public:
  Draw(const vision::Hoop& hoop, SceneKind kind, std::uint64_t seed) : hoop_(hoop), kind_(kind), random_(seed) {}

  Scene scene() {
    place_camera();
    place_ring();
    dress();
    light();
    place_stickers();
    if (kind_ == SceneKind::hand) place_hand();
    if (kind_ == SceneKind::covered_sticker) cover_sticker();
    return scene_;
  }

 private:
  double degrees(double limit) { return random_.between(-limit, limit) * vision::kRadPerDeg; }

  // The camera is aimed at the board's middle whatever its tilt.
  void place_camera() {
    const double tilt = kind_ == SceneKind::tilted ? 5.0 : 1.2;
    CameraPlace place;
    place.height_mm = random_.between(648.0, 690.0);
    place.tilt_x_deg = random_.between(-tilt, tilt);
    place.tilt_y_deg = random_.between(-tilt, tilt);
    place.roll_deg = random_.between(-1.5, 1.5);
    const cv::Point2d seen = vision::board_at_height_normalised(camera_from_board(place), {0.0, 0.0}, 0.0);
    place.x_mm = random_.between(-8.0, 8.0) - seen.x;
    place.y_mm = random_.between(-6.0, 6.0) - seen.y;
    scene_.camera_from_board = camera_from_board(place);
  }

  void place_ring() {
    Ring& ring = scene_.ring;
    ring.state = RingState::pressed;
    ring.board_from_hoop = {{random_.between(-9, 9), random_.between(-9, 9)}, degrees(is_round(hoop_) ? 8.0 : 3.5)};
    if (kind_ == SceneKind::hoop_180)
      ring.board_from_hoop.angle_rad = vision::wrapped_rad(ring.board_from_hoop.angle_rad + vision::kPi);
    // A thicker cloth lifts the sticker and the ring alike.
    const double thicker = random_.between(-0.35, 0.35);
    scene_.cloth_height_mm = std::max(0.2, hoop_.cloth_height_mm + thicker);
    ring.rim_height_mm = hoop_.rim_height_mm + thicker + random_.between(-0.15, 0.15);
  }

  void dress() {
    Ring& ring = scene_.ring;
    Cloth& cloth = *scene_.cloth;
    cloth.seed = static_cast<std::uint32_t>(random_.next());
    cloth.albedo = std::exp(random_.between(std::log(0.03), std::log(0.6)));
    cloth.weave = random_.between(0.02, 0.10);
    cloth.wrinkles = random_.between(0.02, 0.10);
    cloth.size_mm = {random_.between(270.0, 310.0), random_.between(330.0, 430.0)};
    cloth.board_from_cloth = {{random_.between(-12, 12), random_.between(-60, 10)}, degrees(10.0)};
    ring.albedo = cloth.albedo > 0.2 ? random_.between(0.03, 0.12) : random_.between(0.35, 0.65);
    ring.gloss = random_.between(0.0, 0.2);
    switch (kind_) {
      case SceneKind::white_on_white:
        cloth.albedo = random_.between(0.40, 0.65);
        ring.albedo = cloth.albedo * random_.between(0.9, 1.2);
        break;
      case SceneKind::black_on_black:
        cloth.albedo = random_.between(0.02, 0.05);
        ring.albedo = cloth.albedo * random_.between(0.8, 1.6);
        ring.gloss = random_.between(0.1, 0.4);
        break;
      case SceneKind::glossy:
        ring.gloss = random_.between(0.25, 0.6);
        break;
      case SceneKind::translucent:
        ring.translucency = random_.between(0.35, 0.6);
        ring.albedo = random_.between(0.4, 0.6);
        cloth.albedo = random_.chance(0.5) ? random_.between(0.05, 0.2) : random_.between(0.4, 0.6);
        break;
      case SceneKind::patterned:
        cloth.pattern = static_cast<ClothPattern>(1 + random_.below(3));
        cloth.pitch_mm = random_.between(8.0, 22.0);
        cloth.albedo = random_.between(0.25, 0.55);
        cloth.second_albedo = random_.between(0.03, 0.2);
        ring.albedo = random_.chance(0.5) ? random_.between(0.04, 0.15) : random_.between(0.3, 0.6);
        break;
      default:
        break;
    }
    scene_.board.surface = static_cast<BoardSurface>(random_.below(3));
    scene_.board.albedo = scene_.board.surface == BoardSurface::grid ? 0.15 : random_.between(0.2, 0.5);
    scene_.board.table_albedo = random_.between(0.06, 0.3);
  }

  void light() {
    Light& light = scene_.light;
    light.azimuth_deg = random_.between(-180, 180);
    light.elevation_deg = random_.between(50, 80);
    light.ambient = random_.between(0.6, 0.85);
    light.size_deg = random_.between(10, 25);
    light.level = random_.between(0.8, 1.15);
    light.vignetting = random_.between(0.1, 0.35);
    light.slope = random_.between(0.0, 0.06);
    scene_.optics.blur_sigma_px = random_.between(0.4, 0.8);
    scene_.sensor.full_well = random_.between(6000, 14000);
    scene_.sensor.jpeg_quality = random_.chance(0.5) ? 85 + random_.below(11) : 0;
    if (kind_ == SceneKind::dim) {
      light.level = random_.between(0.15, 0.3);
      scene_.sensor.full_well = random_.between(2000, 4000);
    } else if (kind_ == SceneKind::one_sided) {
      light.elevation_deg = random_.between(30, 42);
      light.ambient = random_.between(0.3, 0.45);
      light.size_deg = random_.between(4, 8);
      light.slope = random_.between(0.08, 0.16);
    }
  }

  void place_stickers() {
    if (kind_ == SceneKind::no_sticker) return;
    // The sticker's corner stays clear of the wall: 31 mm from its middle to a corner.
    const double reach = std::clamp(half_opening(hoop_) - 36.0, 0.0, 25.0);
    const auto place = [&](double x, double y, double limit_deg) {
      const vision::Pose2 hoop_from_sticker{{x, y}, degrees(limit_deg)};
      scene_.stickers.push_back(
          {random_.below(100), vision::compose(scene_.ring.board_from_hoop, hoop_from_sticker), 0.0, {}});
    };
    if (kind_ == SceneKind::two_stickers) {
      place(random_.between(-6, 6), 27.0 + random_.between(-2, 2), 8.0);
      place(random_.between(-6, 6), -27.0 + random_.between(-2, 2), 30.0);
      if (scene_.stickers[0].number == scene_.stickers[1].number)
        scene_.stickers[1].number = (scene_.stickers[1].number + 50) % 100;
      return;
    }
    place(random_.between(-reach, reach), random_.between(-reach, reach), random_.chance(0.1) ? 180.0 : 12.0);
  }

  // One hand from the operator's side, its finger tips over the rim: less than 40 % of the outline is hidden.
  void place_hand() {
    const double around = random_.between(-60.0, 20.0) * vision::kRadPerDeg;
    const cv::Point2d at(std::cos(around), std::sin(around));
    double rim = 0.0;  // how far the outline is in that direction
    for (const cv::Point2d& p : hoop_.outer_mm)
      if (p.dot(at) > 0.0 && std::abs(p.cross(at)) < 2.0) rim = std::max(rim, p.dot(at));
    const cv::Point2d tip = vision::apply(scene_.ring.board_from_hoop, at * (rim - random_.between(-2.0, 8.0)));
    const double turn = around + vision::kPi / 2.0 + degrees(15.0);  // the fingers point to the hoop's middle
    scene_.hand = Hand{};
    scene_.hand->board_from_hand = {tip + 98.0 * cv::Point2d(std::sin(turn), -std::cos(turn)), turn};
    scene_.hand->albedo = random_.between(0.12, 0.45);
  }

  void cover_sticker() {
    const vision::Pose2 on_sticker{{random_.chance(0.5) ? 12.5 : -12.5, random_.between(-4.0, 10.0)}, degrees(30.0)};
    scene_.tapes.push_back({vision::compose(scene_.stickers[0].board_from_sticker, on_sticker),
                            {14.0, random_.between(26.0, 44.0)},
                            scene_.cloth_height_mm,
                            random_.between(0.3, 0.7)});
  }

  const vision::Hoop& hoop_;
  SceneKind kind_;
  Random random_;
  Scene scene_;
};

}  // namespace

std::array<SceneKind, kSceneKindCount> scene_kinds() {
  std::array<SceneKind, kSceneKindCount> kinds{};
  for (int i = 0; i < kSceneKindCount; ++i) kinds[static_cast<std::size_t>(i)] = static_cast<SceneKind>(i);
  return kinds;
}

std::string_view name(SceneKind kind) { return kNames[static_cast<std::size_t>(kind)]; }

RandomScene random_scene(const std::vector<vision::Hoop>& hoops, std::uint64_t seed, std::optional<SceneKind> kind) {
  if (hoops.empty()) throw std::invalid_argument("a random scene needs a hoop");
  std::vector<std::size_t> round, other;
  for (std::size_t i = 0; i < hoops.size(); ++i) (is_round(hoops[i]) ? round : other).push_back(i);
  Random random(seed * 31 + 5);
  RandomScene made;
  made.kind = kind.value_or(static_cast<SceneKind>(random.below(kSceneKindCount)));
  if (made.kind == SceneKind::round && round.empty()) {
    if (kind) throw std::invalid_argument("a round scene needs a round hoop");
    made.kind = SceneKind::easy;
  }
  const std::vector<std::size_t>& choice = made.kind == SceneKind::round || other.empty() ? round : other;
  made.hoop = choice[static_cast<std::size_t>(random.below(static_cast<int>(choice.size())))];
  made.scene = Draw(hoops[made.hoop], made.kind, random.next()).scene();
  return made;
}

}  // namespace app

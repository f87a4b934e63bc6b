#include "app/render/line_scene.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/render/random.h"
#include "app/render/random_scene.h"
#include "app/render/textures.h"

namespace app {
namespace {

constexpr std::array<std::string_view, kLineSceneKindCount> kNames{
    "laid_fold", "crease",   "seam",  "border",  "stripes",   "plaid", "checks",     "basting_box",
    "plain",     "wrinkled", "towel", "shadows", "hand_only", "blobs", "bent_crease"};

double folded_deg(double angle_rad) {
  const double deg = std::remainder(angle_rad * vision::kDegPerRad, 180.0);
  return deg <= -90.0 ? deg + 180.0 : deg;
}

class Draw {
 public:
  Draw(const std::vector<vision::Hoop>& hoops, std::uint64_t seed, LineSceneKind kind)
      : hoops_(hoops), random_(seed * 977 + static_cast<std::uint64_t>(kind) * 131 + 7), kind_(kind) {}

  LineScene made() {
    made_.kind = kind_;
    begin();
    dress();
    return std::move(made_);
  }

 private:
  double degrees(double limit) { return random_.between(-limit, limit) * vision::kRadPerDeg; }
  bool one_in(int n) { return random_.below(n) == 0; }

  // Light, camera, hoop and cloth as in any scene of work.
  void begin() {
    constexpr std::array kBase{SceneKind::easy,           SceneKind::easy,   SceneKind::white_on_white,
                               SceneKind::black_on_black, SceneKind::tilted, SceneKind::round,
                               SceneKind::glossy,         SceneKind::dim};
    SceneKind base = kBase[static_cast<std::size_t>(random_.below(static_cast<int>(kBase.size())))];
    const bool round =
        std::any_of(hoops_.begin(), hoops_.end(), [](const vision::Hoop& h) { return h.field_is_round; });
    if (base == SceneKind::round && !round) base = SceneKind::easy;
    if (kind_ == LineSceneKind::shadows) base = SceneKind::one_sided;
    if (kind_ == LineSceneKind::hand_only) base = SceneKind::hand;
    RandomScene scene = random_scene(hoops_, random_.next(), base);
    made_.hoop = scene.hoop;
    made_.scene = std::move(scene.scene);
    if (!one_in(4)) made_.scene.stickers.clear();
    cloth().size_mm = {330.0, 420.0};
    cloth().board_from_cloth = {ring().origin_mm + cv::Point2d(random_.between(-12, 12), random_.between(-12, 12)),
                                degrees(5.0)};
  }

  Cloth& cloth() { return *made_.scene.cloth; }
  const vision::Pose2& ring() const { return made_.scene.ring.board_from_hoop; }

  // About along one of the hoop's axes, as people lay it, or anyhow.
  vision::Pose2 some_line() {
    const double angle = one_in(3) ? degrees(90.0) : (one_in(2) ? 0.0 : vision::kPi / 2.0) + degrees(8.0);
    return {{random_.between(-18, 18), random_.between(-18, 18)}, angle};
  }

  // Puts a line at `hoop_from_line` into the cloth.
  void put(ClothLine line, const vision::Pose2& hoop_from_line) {
    line.cloth_from_line =
        vision::compose(vision::inverse(cloth().board_from_cloth), vision::compose(ring(), hoop_from_line));
    cloth().lines.push_back(line);
    made_.line = true_line(hoop_from_line);
  }

  void dress() {
    switch (kind_) {
      case LineSceneKind::laid_fold:
        return lay_towel();
      case LineSceneKind::crease:
        return put(crease(), some_line());
      case LineSceneKind::bent_crease: {
        ClothLine line = crease();
        line.length_mm = 180.0;
        line.bow_mm = (one_in(2) ? 1.0 : -1.0) * random_.between(5.0, 12.0);
        put(line, some_line());
        made_.line.reset();
        return;
      }
      case LineSceneKind::seam: {
        ClothLine line;
        line.kind = ClothLine::Kind::stitches;
        line.width_mm = 0.5;
        line.albedo = against_cloth();
        return put(line, some_line());
      }
      case LineSceneKind::border:
        return put_border();
      case LineSceneKind::stripes:
      case LineSceneKind::plaid:
      case LineSceneKind::checks:
        return weave();
      case LineSceneKind::basting_box:
        return baste();
      case LineSceneKind::wrinkled:
        cloth().wrinkles = random_.between(0.15, 0.3);
        return;
      case LineSceneKind::towel:
        cloth().loops = random_.between(0.1, 0.25);
        return;
      case LineSceneKind::blobs:
        cloth().pattern = ClothPattern::blobs;
        cloth().pitch_mm = random_.between(8, 22);
        cloth().second_albedo = against_cloth();
        return;
      case LineSceneKind::plain:
      case LineSceneKind::shadows:
      case LineSceneKind::hand_only:
        return;
    }
  }

  double against_cloth() { return cloth().albedo > 0.2 ? random_.between(0.03, 0.1) : random_.between(0.3, 0.6); }

  ClothLine crease() {
    ClothLine line;
    line.width_mm = random_.between(0.25, 0.6);
    line.strength = random_.between(0.10, 0.30);
    line.step = random_.between(-0.06, 0.06);
    return line;
  }

  // The edge of a second colour that goes on to the cloth's end.
  void put_border() {
    ClothLine line;
    line.kind = ClothLine::Kind::band;
    line.width_mm = 300.0;
    line.albedo = cloth().albedo * (one_in(2) ? random_.between(0.4, 0.8) : random_.between(1.25, 1.8));
    const vision::Pose2 edge = some_line();
    // The band's own right edge lies on the line.
    const vision::Pose2 band = vision::compose(edge, {{0.0, 150.0}, 0.0});
    put(line, band);
    made_.line = true_line(edge);
  }

  void lay_towel() {
    made_.scene.stickers.clear();
    Scene& scene = made_.scene;
    Cloth towel;
    towel.albedo = one_in(3) ? cloth().albedo * random_.between(0.9, 1.15) : std::exp(random_.between(-3.0, -0.6));
    towel.loops = random_.between(0.03, 0.12);
    towel.hem = false;
    towel.seed = static_cast<std::uint32_t>(random_.next());
    towel.size_mm = {330.0, 240.0};
    scene.laid_height_mm = scene.cloth_height_mm;
    const double half = drawn_size_mm(towel).height / 2.0;
    // The fold lies away from the operator.
    const vision::Pose2 hoop_from_fold{{random_.between(-10, 10), random_.between(-35, 25)}, degrees(6.0)};
    towel.board_from_cloth = vision::compose(ring(), vision::compose(hoop_from_fold, {{0.0, -half}, 0.0}));
    ClothLine fold;
    fold.kind = ClothLine::Kind::fold;
    fold.cloth_from_line = {{0.0, half}, 0.0};
    fold.length_mm = 330.0;
    fold.width_mm = random_.between(0.8, 2.5);
    fold.strength = random_.between(0.0, 0.35);
    towel.lines.push_back(fold);
    scene.laid = towel;
    made_.line = true_line(hoop_from_fold);
  }

  void weave() {
    constexpr std::array kPatterns{ClothPattern::stripes, ClothPattern::plaid, ClothPattern::checks};
    const int which = static_cast<int>(kind_) - static_cast<int>(LineSceneKind::stripes);
    cloth().pattern = kPatterns[static_cast<std::size_t>(which)];
    cloth().pitch_mm = random_.between(4.0, 20.0);
    cloth().cross_pitch_mm = cloth().pitch_mm * random_.between(1.15, 1.8);
    cloth().second_albedo = one_in(3) ? cloth().albedo * random_.between(0.6, 0.85) : against_cloth();
    if (one_in(2)) cloth().board_from_cloth.angle_rad = degrees(90.0);
    const vision::Pose2 hoop_from_cloth = vision::compose(vision::inverse(ring()), cloth().board_from_cloth);
    made_.weave_deg = folded_deg(hoop_from_cloth.angle_rad);
    if (kind_ != LineSceneKind::stripes) made_.cross_deg = folded_deg(hoop_from_cloth.angle_rad + vision::kPi / 2.0);
    made_.period_mm = cloth().pitch_mm;
  }

  void baste() {
    made_.scene.stickers.clear();
    const cv::Size2d field = hoops_[made_.hoop].field_mm;
    made_.box_mm = {field.width * random_.between(0.5, 0.68), field.height * random_.between(0.45, 0.65)};
    made_.hoop_from_box = {{random_.between(-5, 5), random_.between(-5, 5)}, degrees(12.0)};
    const vision::Pose2 cloth_from_box =
        vision::compose(vision::inverse(cloth().board_from_cloth), vision::compose(ring(), *made_.hoop_from_box));
    cloth().lines = stitched_box(made_.box_mm, cloth_from_box, against_cloth());
  }

  const std::vector<vision::Hoop>& hoops_;
  Random random_;
  LineSceneKind kind_;
  LineScene made_;
};

}  // namespace

std::string_view name(LineSceneKind kind) { return kNames[static_cast<std::size_t>(kind)]; }

TrueLine true_line(const vision::Pose2& hoop_from_line) {
  TrueLine line;
  line.angle_deg = folded_deg(hoop_from_line.angle_rad);
  const double angle = line.angle_deg * vision::kRadPerDeg;
  line.distance_mm = std::cos(angle) * hoop_from_line.origin_mm.y - std::sin(angle) * hoop_from_line.origin_mm.x;
  return line;
}

LineScene line_scene(const std::vector<vision::Hoop>& hoops, std::uint64_t seed, LineSceneKind kind) {
  return Draw(hoops, seed, kind).made();
}

}  // namespace app

#include "tests/bench/rendered.h"

#include <memory>
#include <string>

#include "app/render/demo_station.h"
#include "app/render/random_scene.h"
#include "app/render/renderer.h"

namespace bench {
namespace {

struct Stage {
  vision::Station station = app::demo_station();
  std::vector<vision::Hoop> hoops = app::demo_hoops();
  std::vector<app::Renderer> renderers;  // one a hoop
};

Scene truth_of(const app::RandomScene& random, const vision::Hoop& hoop, std::uint64_t seed) {
  Scene truth;
  truth.name = "seed " + std::to_string(seed);
  truth.category = std::string(app::name(random.kind));
  truth.hoop = hoop.name;
  truth.board_from_hoop = random.scene.ring.board_from_hoop;
  for (const app::StickerPlace& sticker : random.scene.stickers)
    truth.stickers.push_back({sticker.number, sticker.board_from_sticker});
  if (const auto reading = app::true_reading(random.scene)) {
    truth.hoop_from_sticker =
        vision::Pose2{{reading->offset_x_mm, reading->offset_y_mm}, reading->rotation_deg * vision::kRadPerDeg};
  }
  truth.may_be_refused = may_be_refused(truth.category);
  return truth;
}

Take take_of(Stage& stage, std::uint64_t seed, std::optional<app::SceneKind> kind = std::nullopt) {
  const app::RandomScene random = app::random_scene(stage.hoops, seed, kind);
  const vision::Hoop& hoop = stage.hoops[random.hoop];
  app::Renderer& renderer = stage.renderers[random.hoop];
  Take take{truth_of(random, hoop, seed), &stage.station, &hoop, {}, {}};
  take.grey = renderer.render(random.scene, 2 * seed).clone();
  take.again = renderer.render(random.scene, 2 * seed + 1).clone();
  return take;
}

std::shared_ptr<Stage> set_stage() {
  auto stage = std::make_shared<Stage>();
  for (const vision::Hoop& hoop : stage->hoops) stage->renderers.emplace_back(stage->station, hoop);
  return stage;
}

}  // namespace

NextTake rendered_takes(int count, std::uint64_t seed) {
  const std::shared_ptr<Stage> stage = set_stage();
  return [stage, i = 0, count, seed]() mutable -> std::optional<Take> {
    if (i == count) return std::nullopt;
    return take_of(*stage, seed + static_cast<std::uint64_t>(i++));
  };
}

NextTake rendered_kinds(std::uint64_t seed) {
  return [stage = set_stage(), i = std::size_t{0}, seed]() mutable -> std::optional<Take> {
    if (i == app::scene_kinds().size()) return std::nullopt;
    return take_of(*stage, seed, app::scene_kinds()[i++]);
  };
}

}  // namespace bench

// Scenes of all kinds that a station meets, made from a seed: for the tests, the bench and `hoopgauge render`.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "app/render/scene.h"
#include "vision/station.h"

namespace app {

enum class SceneKind {
  easy,
  white_on_white,
  black_on_black,
  glossy,
  translucent,
  hand,
  tilted,
  round,
  patterned,
  dim,
  one_sided,
  no_sticker,
  two_stickers,
  hoop_180,
  covered_sticker,
};
inline constexpr int kSceneKindCount = 15;
std::array<SceneKind, kSceneKindCount> scene_kinds();

// The name used in truth.json, such as "two_stickers".
std::string_view name(SceneKind kind);

struct RandomScene {
  SceneKind kind = SceneKind::easy;
  std::size_t hoop = 0;  // which of the hoops
  Scene scene;
};

// The same hoops, seed and kind give the same scene. Without a kind the seed chooses one; `round` only where one of
// the hoops is round, and asking for it otherwise throws std::invalid_argument, as an empty list of hoops does.
RandomScene random_scene(const std::vector<vision::Hoop>& hoops, std::uint64_t seed,
                         std::optional<SceneKind> kind = std::nullopt);

}  // namespace app

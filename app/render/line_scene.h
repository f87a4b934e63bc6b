// Scenes of cloth with a line to be straightened by, with several, and with none, made from a seed; the truth with
// each.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "app/render/scene.h"
#include "vision/station.h"

namespace app {

enum class LineSceneKind {
  // One line.
  laid_fold,  // a folded towel laid over the hoop; its fold
  crease,     // pressed into the cloth
  seam,       // one line of stitches
  border,     // where the cloth changes colour
  // A direction.
  stripes,
  plaid,
  checks,
  // A box of basting stitches.
  basting_box,
  // Nothing to be found.
  plain,
  wrinkled,
  towel,    // loops all over
  shadows,  // hard light from one side
  hand_only,
  blobs,
  bent_crease,
};
inline constexpr int kLineSceneKindCount = 15;
std::string_view name(LineSceneKind kind);

// Of a line in the hoop frame, signs as of vision::LinePlace.
struct TrueLine {
  double angle_deg = 0.0, distance_mm = 0.0;
};
TrueLine true_line(const vision::Pose2& hoop_from_line);

struct LineScene {
  LineSceneKind kind = LineSceneKind::plain;
  std::size_t hoop = 0;
  Scene scene;
  std::optional<TrueLine> line;                // of scenes with one line
  std::optional<double> weave_deg, cross_deg;  // the runs of stripes; (-90, 90]
  double period_mm = 0.0;
  std::optional<vision::Pose2> hoop_from_box;
  cv::Size2d box_mm;
};

// The same hoops, seed and kind give the same scene.
LineScene line_scene(const std::vector<vision::Hoop>& hoops, std::uint64_t seed, LineSceneKind kind);

}  // namespace app

// Hoops taught from photo-like frames of their bare rings, without a hand's correction, measure the other frames.
#include <cmath>
#include <map>

#include "calib/teach_ring.h"
#include "tests/bench/scenes.h"
#include "tests/bench/sticker_on_board.h"
#include "tests/catch.h"
#include "tests/reference/shared_folder.h"
#include "vision/tracker.h"

namespace {

// As for hoops given by the renderer's own dimensions.
constexpr double kOffsetMm = 0.10, kRotationDeg = 0.05;

std::map<std::string, vision::Hoop> taught(const bench::SceneFolder& set) {
  std::map<std::string, vision::Hoop> hoops;
  for (const bench::Scene& scene : set.scenes) {
    if (scene.category != "teach") continue;
    CAPTURE(scene.name);
    const calib::TeachOutcome outcome = calib::teach_ring(bench::load_frame(set, scene), set.station);
    REQUIRE(outcome.fault == calib::TeachFault::none);
    CHECK(outcome.ring->north_certain);
    for (const bool found : outcome.ring->notch_found) CHECK(found);
    hoops[scene.hoop] = calib::hoop_file_from(*outcome.ring, scene.hoop);
  }
  return hoops;
}

}  // namespace

// Guarantees: what teaching finds is what measuring needs. Example failure: the outer ring taught in place of the inner
// one, or north on the wrong side.
TEST_CASE("hoops taught from bare rings measure the other photo-like frames", "[teach][frames][reference]") {
  const auto folder = reference::shared_folder("frames");
  if (!folder) return;
  const bench::SceneFolder set = bench::load_scenes(*folder);
  const std::map<std::string, vision::Hoop> hoops = taught(set);
  CHECK(hoops.size() >= 2);
  int read = 0;
  for (const bench::Scene& scene : set.scenes) {
    if (scene.category == "teach" || !scene.hoop_from_sticker || hoops.count(scene.hoop) == 0) continue;
    CAPTURE(scene.name);
    vision::TrackerOptions options;
    if (scene.stickers.size() > 1) options.sticker = scene.stickers.front().number;
    vision::Tracker tracker(set.station, hoops.at(scene.hoop), options);
    const vision::FrameResult result = tracker.read(bench::load_frame(set, scene));
    if (scene.may_be_refused && !result.reading) continue;
    REQUIRE(result.reading);
    const bench::PoseError error = bench::pose_error(bench::as_pose(*result.reading), *scene.hoop_from_sticker);
    CAPTURE(error.dx_mm, error.dy_mm, error.angle_deg);
    CHECK(error.offset_mm() <= kOffsetMm);
    CHECK(std::abs(error.angle_deg) <= kRotationDeg);
    ++read;
  }
  CHECK(read >= 9);
}

// libapriltag's sticker pose on the photo-like frames: a second opinion on their truth, and on our own pose.
#include <cmath>

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/scenes.h"
#include "tests/bench/sticker_on_board.h"
#include "tests/catch.h"
#include "tests/reference/shared_folder.h"

using namespace bench;

namespace {

// What libapriltag reaches on these frames (0.06 mm, 0.04 deg at worst), and then as much again for ours or for the
// cloth's height, which differs by a few tenths of a millimetre from the hoop file's.
constexpr double kOffsetMm = 0.12, kAngleDeg = 0.08;

void check_truth(const SceneFolder& set) {
  const ApriltagTags apriltag(1.0F);
  for (const Scene& scene : set.scenes) {
    CAPTURE(scene.name);
    const PeerTags tags = apriltag.detect(load_frame(set, scene));
    for (const TrueSticker& sticker : scene.stickers) {
      const auto pose = sticker_on_board(tags, set.station, set.hoops.at(scene.hoop).cloth_height_mm, sticker.number);
      REQUIRE(pose);
      const PoseError error = pose_error(*pose, sticker.board_from_sticker);
      CHECK(error.offset_mm() <= kOffsetMm);
      CHECK(std::abs(error.angle_deg) <= kAngleDeg);
    }
  }
}

}  // namespace

// Guarantees: truth.json, station.toml and the frames belong together, in sign, frame and unit, by a judge that
// shares no code with us.
TEST_CASE("libapriltag confirms the truth of the sample frames", "[reference][frames][sign]") {
  check_truth(load_scenes(std::filesystem::path(HOOPGAUGE_SOURCE_DIR) / "images/frames"));
}

TEST_CASE("libapriltag confirms the truth of all photo-like frames", "[reference][frames][sign]") {
  if (const auto folder = reference::shared_folder("frames")) check_truth(load_scenes(*folder));
}

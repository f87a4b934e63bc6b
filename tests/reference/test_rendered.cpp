// The rendered station: its truth confirmed by libapriltag, and our readings of it never wrong.
#include <cmath>

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/rendered.h"
#include "tests/bench/sticker_on_board.h"
#include "tests/catch.h"
#include "vision/tracker.h"

using namespace bench;

// Guarantees: the renderer's pictures show what its truth says, by a judge that shares no code with it or with us. What
// libapriltag reaches on rendered scenes is 0.03 mm and 0.03 deg; a sticker of which two tags are covered reads worse.
TEST_CASE("libapriltag confirms the truth of rendered scenes of every kind", "[reference][rendered][sign]") {
  const ApriltagTags apriltag(1.0F);
  const NextTake next = rendered_kinds(20);
  int judged = 0;
  while (const std::optional<Take> take = next()) {
    CAPTURE(take->truth.name, take->truth.category);
    const PeerTags tags = apriltag.detect(take->grey);
    const double limit = take->truth.category == "covered_sticker" ? 4.0 : 1.0;
    for (const TrueSticker& sticker : take->truth.stickers) {
      const auto pose = sticker_on_board(tags, *take->station, take->hoop->cloth_height_mm, sticker.number);
      if (!pose && take->truth.may_be_refused) continue;
      REQUIRE(pose);
      ++judged;
      const PoseError error = pose_error(*pose, sticker.board_from_sticker);
      CAPTURE(error.dx_mm, error.dy_mm, error.angle_deg);
      CHECK(error.offset_mm() <= 0.08 * limit);
      CHECK(std::abs(error.angle_deg) <= 0.08 * limit);
    }
  }
  CHECK(judged >= 13);
}

// Guarantees: the project's first rule, on a scene of every kind: no reading is better than a wrong one. How many are
// read and how well is the bench's to say, over thousands.
TEST_CASE("no rendered scene of any kind reads wrong", "[reference][rendered][accuracy]") {
  for (const std::uint64_t seed : {20U, 21U}) {
    const NextTake next = rendered_kinds(seed);
    while (const std::optional<Take> take = next()) {
      CAPTURE(take->truth.name, take->truth.category);
      vision::TrackerOptions options;
      if (take->truth.stickers.size() > 1) options.sticker = take->truth.stickers.front().number;
      vision::Tracker tracker(*take->station, *take->hoop, options);
      for (const cv::Mat* grey : {&take->grey, &take->again}) {
        const vision::FrameResult& result = tracker.read(*grey);
        CAPTURE(vision::name(result.status));
        CHECK(result.reading.has_value() == (result.status == vision::Status::ok));
        if (!result.reading) continue;
        REQUIRE(take->truth.hoop_from_sticker);
        const PoseError error = pose_error(as_pose(*result.reading), *take->truth.hoop_from_sticker);
        CAPTURE(error.dx_mm, error.dy_mm, error.angle_deg);
        CHECK(error.offset_mm() <= 0.5);
        CHECK(std::abs(error.angle_deg) <= 0.3);
      }
    }
  }
}

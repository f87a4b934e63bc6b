#include "tests/catch.h"
#include "tests/vision/station_scene.h"

using namespace vision;
using namespace test_scene;

namespace {

constexpr double kCloth = 1.1;

StickerPose pose_of(const std::vector<SeenTag>& tags) {
  return sticker_pose(tags, station().lens, camera_pose(), kCloth, 1.0);
}

}  // namespace

// Guarantees: place and sense. Example failure: a sticker turned 10 degrees counter-clockwise reads -10.
TEST_CASE("a sticker is found where it lies and as it is turned", "[sticker][sign]") {
  for (const double angle_deg : {-179.0, -90.0, -10.0, 0.0, 10.0, 45.0, 180.0}) {
    const Pose2 truth{{12.0, -31.0}, angle_deg * kRadPerDeg};
    const StickerPose found = pose_of(seen_sticker(7, truth, kCloth, station(), camera_pose()));
    REQUIRE(found.fault == StickerFault::none);
    CHECK(found.used.size() == 4);
    CHECK_THAT(found.board_from_sticker.origin_mm.x, WithinAbs(12.0, 1e-6));
    CHECK_THAT(found.board_from_sticker.origin_mm.y, WithinAbs(-31.0, 1e-6));
    CHECK_THAT(wrapped_rad(found.board_from_sticker.angle_rad - truth.angle_rad), WithinAbs(0.0, 1e-8));
    CHECK_THAT(found.scale, WithinAbs(1.0, 1e-6));
  }
}

TEST_CASE("any two tags suffice, one does not", "[sticker]") {
  const Pose2 truth{{-5.0, 8.0}, 0.3};
  const std::vector<SeenTag> all = seen_sticker(99, truth, kCloth, station(), camera_pose());
  for (std::size_t a = 0; a < 4; ++a) {
    CHECK(pose_of({all[a]}).fault == StickerFault::too_few_tags);
    for (std::size_t b = a + 1; b < 4; ++b) {
      const StickerPose found = pose_of({all[a], all[b]});
      REQUIRE(found.fault == StickerFault::none);
      CHECK_THAT(cv::norm(found.board_from_sticker.origin_mm - truth.origin_mm), WithinAbs(0.0, 1e-6));
    }
  }
}

// Guarantees: one tag on a folded corner does not shift the answer; it is left out.
TEST_CASE("a tag on a turned-up corner is left out", "[sticker]") {
  const Pose2 truth{{3.0, 4.0}, -0.2};
  std::vector<SeenTag> tags = seen_sticker(12, truth, kCloth, station(), camera_pose());
  for (cv::Point2d& corner : tags[1].corners_normalised) corner += {0.6 / 655.0, 0.4 / 655.0};
  const StickerPose found = pose_of(tags);
  REQUIRE(found.fault == StickerFault::none);
  CHECK(found.used == std::vector<int>{0, 2, 3});
  CHECK_THAT(cv::norm(found.board_from_sticker.origin_mm - truth.origin_mm), WithinAbs(0.0, 1e-6));
}

// Guarantees: a crease between the halves widens the uncertainty, and a deep one is refused.
TEST_CASE("a crease widens the uncertainty, a deep one is refused", "[sticker][uncertainty]") {
  const Pose2 truth{{0.0, 0.0}, 0.0};
  const auto creased = [&](double by_mm) {
    std::vector<SeenTag> tags = seen_sticker(3, truth, kCloth, station(), camera_pose());
    for (const std::size_t east : {std::size_t{1}, std::size_t{2}}) {
      for (cv::Point2d& corner : tags[east].corners_normalised) corner.x -= by_mm / 655.0;
    }
    return pose_of(tags);
  };
  const StickerPose flat = creased(0.0), light = creased(0.3), deep = creased(1.2);
  REQUIRE(light.fault == StickerFault::none);
  CHECK(std::sqrt(light.covariance(0, 0)) > 3.0 * std::sqrt(flat.covariance(0, 0)));
  // Half of the crease is the most that the middle can be off.
  CHECK(std::abs(light.board_from_sticker.origin_mm.x) < 2.5 * std::sqrt(light.covariance(0, 0)));
  CHECK(deep.fault == StickerFault::not_flat);
}

// Guarantees: paper that stands above the cloth is not taken for lying on it.
TEST_CASE("a sticker 15 mm over the cloth is refused", "[sticker]") {
  const std::vector<SeenTag> tags = seen_sticker(3, Pose2{}, kCloth + 15.0, station(), camera_pose());
  CHECK(pose_of(tags).fault == StickerFault::not_flat);
}

TEST_CASE("black squares that print 0.1 mm small on every side leave pose and scale alone", "[sticker]") {
  const Pose2 truth{{-14.0, 22.0}, 0.7};
  std::vector<SeenTag> tags;
  for (int id = 20; id < 24; ++id) {
    std::array<cv::Point2d, 4> corners = sticker_tag_corners(id, 1.0);
    const cv::Point2d middle = 0.5 * (corners[0] + corners[2]);
    for (cv::Point2d& corner : corners) corner = apply(truth, middle + (corner - middle) * (5.9 / 6.0));
    tags.push_back(seen(id, corners, kCloth, station().lens, camera_pose()));
  }
  const StickerPose found = pose_of(tags);
  REQUIRE(found.fault == StickerFault::none);
  CHECK_THAT(found.swell_mm, WithinAbs(-0.1, 1e-4));
  CHECK_THAT(found.scale, WithinAbs(1.0, 1e-5));
  CHECK(found.rms_mm < 1e-4);
  CHECK_THAT(cv::norm(found.board_from_sticker.origin_mm - truth.origin_mm), WithinAbs(0.0, 1e-6));
}

TEST_CASE("sticker numbers are those of their tags", "[sticker]") {
  CHECK(sticker_number(0) == 0);
  CHECK(sticker_number(399) == 99);
  CHECK(sticker_number(400) == -1);
  CHECK(sticker_number(-1) == -1);
}

#include <random>

#include "tests/catch.h"
#include "tests/vision/station_scene.h"

using namespace vision;
using namespace test_scene;

namespace {

double distance_mm(const CameraPose& a, const CameraPose& b) {
  return cv::norm(a.rotation.t() * a.translation_mm - b.rotation.t() * b.translation_mm);
}

double turn_rad(const CameraPose& a, const CameraPose& b) {
  cv::Vec3d v;
  cv::Rodrigues(a.rotation * b.rotation.t(), v);
  return cv::norm(v);
}

void blur(std::vector<SeenTag>& tags, double sigma_px, const Lens& lens, std::mt19937& random) {
  std::normal_distribution<double> noise(0.0, sigma_px);
  for (SeenTag& tag : tags) {
    tag.sigma_px = sigma_px;
    for (cv::Point2d& corner : tag.corners_normalised) corner += {noise(random) / lens.fx, noise(random) / lens.fy};
  }
}

}  // namespace

// Guarantees: perfect marks give the camera back. Example failure: a mark's angle turned the wrong way.
TEST_CASE("perfect board marks give the camera's pose exactly", "[board_pose]") {
  const Station s = station();
  const BoardPose found = board_pose(seen_marks(s, camera_pose()), s);
  REQUIRE(found.error == BoardPoseError::none);
  CHECK(found.agreeing.size() == 6);
  CHECK_THAT(distance_mm(found.camera_from_board, camera_pose()), WithinAbs(0.0, 1e-5));
  CHECK_THAT(turn_rad(found.camera_from_board, camera_pose()), WithinAbs(0.0, 1e-7));
}

// Guarantees: a mark that was stuck askew is named and pulls nothing. Example failure: the mean of good and bad.
TEST_CASE("a mark stuck askew is named and left out", "[board_pose]") {
  const Station s = station();
  for (const double askew_mm : {0.8, 2.0, 15.0}) {
    for (std::size_t bad = 0; bad < 6; ++bad) {
      Station moved = s;
      moved.board_marks[bad].x_mm += askew_mm;
      moved.board_marks[bad].angle_deg += 2.0;
      const BoardPose found = board_pose(seen_marks(moved, camera_pose()), s);
      INFO("mark " << bad << " off by " << askew_mm << " mm");
      REQUIRE(found.error == BoardPoseError::none);
      REQUIRE(found.disagreeing == std::vector<int>{static_cast<int>(bad)});
      CHECK_THAT(distance_mm(found.camera_from_board, camera_pose()), WithinAbs(0.0, 1e-4));
    }
  }
}

// Guarantees: two bad marks of five are still outvoted; of four they are not, and then there is no pose.
TEST_CASE("two marks that moved are outvoted by three, not by two", "[board_pose]") {
  const Station s = station();
  Station moved = s;
  moved.board_marks[0].y_mm += 4.0;
  moved.board_marks[3].x_mm -= 6.0;
  std::vector<SeenTag> tags = seen_marks(moved, camera_pose());
  tags.pop_back();
  const BoardPose five = board_pose(tags, s);
  REQUIRE(five.error == BoardPoseError::none);
  CHECK(five.disagreeing == std::vector<int>{0, 3});
  tags.pop_back();
  CHECK(board_pose(tags, s).error == BoardPoseError::marks_disagree);
}

// Guarantees: a mark whose half is covered, so that two corners are invented, does not pull the pose.
TEST_CASE("a mark with two wrong corners is left out", "[board_pose]") {
  const Station s = station();
  std::vector<SeenTag> tags = seen_marks(s, camera_pose());
  tags[2].corners_normalised[0].x += 0.004;
  tags[2].corners_normalised[3].x += 0.004;
  const BoardPose found = board_pose(tags, s);
  REQUIRE(found.error == BoardPoseError::none);
  CHECK(found.disagreeing == std::vector<int>{2});
  CHECK_THAT(distance_mm(found.camera_from_board, camera_pose()), WithinAbs(0.0, 1e-4));
}

TEST_CASE("too few marks, unknown marks and broken corners give a reason, not a pose", "[board_pose]") {
  const Station s = station();
  CHECK(board_pose({}, s).error == BoardPoseError::too_few_marks);
  std::vector<SeenTag> tags = seen_marks(s, camera_pose());
  tags.resize(2);
  CHECK(board_pose(tags, s).error == BoardPoseError::too_few_marks);
  std::vector<SeenTag> strange = seen_marks(s, camera_pose());
  for (SeenTag& tag : strange) tag.id += 30;
  CHECK(board_pose(strange, s).error == BoardPoseError::too_few_marks);
  std::vector<SeenTag> broken = seen_marks(s, camera_pose());
  for (SeenTag& tag : broken) tag.corners_normalised[1].x = std::nan("");
  CHECK(board_pose(broken, s).error == BoardPoseError::marks_disagree);
}

// Guarantees: the tone curve's swelling of the black squares does not move the camera.
TEST_CASE("marks that print 0.1 mm small on every side leave the pose alone", "[board_pose]") {
  const Station s = station();
  Station small = s;
  for (BoardMark& mark : small.board_marks) mark.size_mm -= 0.2;
  const BoardPose found = board_pose(seen_marks(small, camera_pose()), s);
  REQUIRE(found.error == BoardPoseError::none);
  CHECK(found.rms_px < 0.01);
  CHECK_THAT(distance_mm(found.camera_from_board, camera_pose()), WithinAbs(0.0, 0.02));
}

// Guarantees: the covariance is that of the scatter. With 6 unknowns the mean of the squared, standardised error is 6;
// over 300 draws its own standard deviation is sqrt(12 / 300) = 0.2.
TEST_CASE("the pose's covariance covers its scatter", "[board_pose][uncertainty]") {
  const Station s = station();
  std::mt19937 random(20261);
  double sum = 0.0;
  constexpr int draws = 300;
  for (int i = 0; i < draws; ++i) {
    std::vector<SeenTag> tags = seen_marks(s, camera_pose());
    blur(tags, 0.08, s.lens, random);
    const BoardPose found = board_pose(tags, s);
    REQUIRE(found.error == BoardPoseError::none);
    const CameraPose truth = camera_pose();
    cv::Vec3d turn;
    cv::Rodrigues(truth.rotation * found.camera_from_board.rotation.t(), turn);
    const cv::Vec3d shift = truth.translation_mm - found.camera_from_board.translation_mm;
    const cv::Vec6d error(turn[0], turn[1], turn[2], shift[0], shift[1], shift[2]);
    sum += (error.t() * found.camera_from_board.covariance.inv(cv::DECOMP_SVD) * error)[0];
  }
  // Never too small; the ratio that widens it where the residuals ask for it makes it up to a sixth larger.
  CHECK(sum / draws > 4.0);
  CHECK(sum / draws < 6.7);
}

TEST_CASE("marks agree with the pose they were seen from and not with another", "[board_pose]") {
  const Station s = station();
  std::vector<SeenTag> one = seen_marks(s, camera_pose());
  one.resize(1);
  CHECK(marks_agree(one, s, camera_pose()));
  CameraPose knocked = camera_pose();
  knocked.translation_mm[0] += 1.0;
  CHECK_FALSE(marks_agree(one, s, knocked));
  CHECK_FALSE(marks_agree({}, s, camera_pose()));
}

#include <random>

#include "tests/catch.h"
#include "tests/vision/station_scene.h"
#include "vision/reading_of.h"

using namespace vision;
using namespace test_scene;

namespace {

ReadingInputs inputs() {
  ReadingInputs in;
  in.lens = station().lens;
  in.camera_from_board = camera_pose();
  in.board_from_hoop = Pose2{{15.0, -20.0}, 0.1};
  in.hoop_reach_mm = 85.0;
  in.board_from_sticker = Pose2{{20.0, -8.0}, 0.18};
  in.rim_height_mm = 11.5;
  in.cloth_height_mm = 1.1;
  return in;
}

Covariance3 diagonal(double x, double y, double turn) {
  return {x * x, 0.0, 0.0, 0.0, y * y, 0.0, 0.0, 0.0, turn * turn};
}

}  // namespace

// Guarantees: the sign of the offset. Hand-computed: hoop at (10, 0) not turned, sticker 2 mm right of it.
TEST_CASE("a sticker moved right by 2 mm reads +2.00", "[reading][sign]") {
  ReadingInputs in = inputs();
  in.board_from_hoop = Pose2{{10.0, 0.0}, 0.0};
  in.board_from_sticker = Pose2{{12.0, 0.0}, 3.0 * kRadPerDeg};
  const Reading reading = reading_of(in);
  CHECK_THAT(reading.offset_x_mm, WithinAbs(2.0, 1e-12));
  CHECK_THAT(reading.offset_y_mm, WithinAbs(0.0, 1e-12));
  CHECK_THAT(reading.rotation_deg, WithinAbs(3.0, 1e-12));
}

// Hand-computed: the hoop is turned a quarter counter-clockwise, so its east points to the board's +y; a sticker 5 mm
// further to +y lies 5 mm east, and one that is not turned on the board is turned -90 degrees in the hoop.
TEST_CASE("the offset is in the hoop's frame, not the board's", "[reading][sign]") {
  ReadingInputs in = inputs();
  in.board_from_hoop = Pose2{{1.0, 1.0}, kPi / 2.0};
  in.board_from_sticker = Pose2{{1.0, 6.0}, 0.0};
  const Reading reading = reading_of(in);
  CHECK_THAT(reading.offset_x_mm, WithinAbs(5.0, 1e-12));
  CHECK_THAT(reading.offset_y_mm, WithinAbs(0.0, 1e-12));
  CHECK_THAT(reading.rotation_deg, WithinAbs(-90.0, 1e-12));
}

TEST_CASE("half a turn reads +180, never -180", "[reading]") {
  ReadingInputs in = inputs();
  in.board_from_hoop = Pose2{{0.0, 0.0}, kPi / 2.0};
  in.board_from_sticker = Pose2{{0.0, 0.0}, -kPi / 2.0};
  CHECK_THAT(reading_of(in).rotation_deg, WithinAbs(180.0, 1e-9));
}

// The propagation is linear (JCGM 100:2008, 5.1.2). It is checked as JCGM 101:2008 asks: by propagating the
// distributions themselves, 20,000 draws, heights rectangular, the rest normal. The two agree to the scatter of such a
// draw (1 % at k = 1) and what is not linear.
TEST_CASE("the uncertainty agrees with a Monte Carlo propagation", "[reading][uncertainty]") {
  ReadingInputs in = inputs();
  in.hoop_covariance = diagonal(0.03, 0.05, 0.02 * kRadPerDeg);
  in.sticker_covariance = diagonal(0.02, 0.01, 0.03 * kRadPerDeg);
  in.rim_height_u_mm = in.cloth_height_u_mm = 0.7 / std::sqrt(3.0);
  in.print_scale_u = 0.001;
  const std::array<double, 6> pose_u{2e-4, 3e-4, 1e-4, 0.05, 0.04, 0.2};
  for (int k = 0; k < 6; ++k) {
    in.camera_from_board.covariance(k, k) = pose_u[static_cast<std::size_t>(k)] * pose_u[static_cast<std::size_t>(k)];
  }
  cv::Matx<double, 9, 9> lens = cv::Matx<double, 9, 9>::zeros();
  const std::array<double, 9> lens_u{1.5, 1.5, 1.0, 1.0, 2e-3, 5e-3, 1e-4, 1e-4, 5e-3};
  for (int k = 0; k < 9; ++k) lens(k, k) = lens_u[static_cast<std::size_t>(k)] * lens_u[static_cast<std::size_t>(k)];
  in.lens.covariance = lens;
  const Reading stated = reading_of(in);

  // What the camera saw, from the nominal values: four points of rim and sticker.
  std::array<cv::Point2d, 4> rim, sticker, rim_px, sticker_px;
  for (std::size_t k = 0; k < 4; ++k) {
    const double phi = (0.25 + 0.5 * static_cast<double>(k)) * kPi;
    rim[k] = 85.0 * cv::Point2d(std::cos(phi), std::sin(phi));
    sticker[k] = 17.68 * cv::Point2d(std::cos(phi), std::sin(phi));
    const cv::Point2d a = apply(in.board_from_hoop, rim[k]), b = apply(in.board_from_sticker, sticker[k]);
    rim_px[k] = image_from_board(in.lens, in.camera_from_board, {a.x, a.y, in.rim_height_mm});
    sticker_px[k] = image_from_board(in.lens, in.camera_from_board, {b.x, b.y, in.cloth_height_mm});
  }
  std::mt19937 random(101);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> rectangular(-0.7, 0.7);
  const auto pose_again = [](const std::array<cv::Point2d, 4>& plane, const std::array<cv::Point2d, 4>& px,
                             const Lens& l, const CameraPose& camera, double height_mm) {
    std::array<cv::Point2d, 4> p;
    cv::Point2d mean{0.0, 0.0};
    for (std::size_t k = 0; k < 4; ++k) mean += 0.25 * (p[k] = board_at_height(l, camera, px[k], height_mm));
    double dot = 0.0, cross = 0.0;
    for (std::size_t k = 0; k < 4; ++k) {
      dot += plane[k].dot(p[k] - mean);
      cross += plane[k].cross(p[k] - mean);
    }
    return Pose2{mean, std::atan2(cross, dot)};
  };
  cv::Vec3d sum = cv::Vec3d::all(0.0), squares = sum;
  constexpr int draws = 20000;
  for (int i = 0; i < draws; ++i) {
    Lens l = in.lens;
    l.fx += lens_u[0] * normal(random);
    l.fy += lens_u[1] * normal(random);
    l.cx += lens_u[2] * normal(random);
    l.cy += lens_u[3] * normal(random);
    for (std::size_t k = 0; k < 5; ++k) l.distortion[k] += lens_u[4 + k] * normal(random);
    CameraPose camera = in.camera_from_board;
    cv::Matx33d turn;
    cv::Rodrigues(cv::Vec3d(pose_u[0] * normal(random), pose_u[1] * normal(random), pose_u[2] * normal(random)), turn);
    camera.rotation = turn * camera.rotation;
    camera.translation_mm +=
        cv::Vec3d{pose_u[3] * normal(random), pose_u[4] * normal(random), pose_u[5] * normal(random)};
    Pose2 hoop = pose_again(rim, rim_px, l, camera, in.rim_height_mm + rectangular(random));
    hoop = compose(hoop, Pose2{{0.03 * normal(random), 0.05 * normal(random)}, 0.02 * kRadPerDeg * normal(random)});
    Pose2 on_cloth = pose_again(sticker, sticker_px, l, camera, in.cloth_height_mm + rectangular(random));
    on_cloth.origin_mm += {0.02 * normal(random), 0.01 * normal(random)};
    on_cloth.angle_rad += 0.03 * kRadPerDeg * normal(random);
    const Pose2 read = hoop_from_sticker(hoop, on_cloth);
    const double scale = 1.0 + 0.001 * normal(random);
    const cv::Vec3d value(read.origin_mm.x * scale, read.origin_mm.y * scale, read.angle_rad);
    sum += value;
    squares += value.mul(value);
  }
  for (int k = 0; k < 3; ++k) {
    const double mean = sum[k] / draws;
    const double drawn = std::sqrt(squares[k] / draws - mean * mean);
    INFO("component " << k);
    CHECK_THAT(std::sqrt(stated.covariance(k, k)) / drawn, WithinAbs(1.0, 0.03));
  }
}

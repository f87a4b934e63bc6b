// The calibration sheet found in drawn pictures: the right corners, at the right place, with an honest sigma.
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "calib/chart_finder.h"
#include "tests/calib/sheet_scene.h"
#include "tests/catch.h"
#include "vision/tag_finder.h"

using namespace calib;
using sheet_scene::facing;
using sheet_scene::Scene;

namespace {

// Like the station's, invented; and the same for a smaller sensor, so that a test is quick.
vision::Lens station_lens() {
  return {2304, 1296, 2246.3, 2248.1, 1160.4, 640.7, {-0.1182, 0.0871, 0.00064, -0.00047, -0.0213}, {}};
}
vision::Lens small_lens() { return {880, 640, 900.0, 901.0, 441.3, 315.8, {-0.12, 0.09, 0.0006, -0.0005, -0.02}, {}}; }

struct Errors {
  int count = 0;
  cv::Point2d mean;
  double rms = 0.0, largest = 0.0;  // of a coordinate; of the distance
  double standardised = 0.0;        // root mean square of error over sigma, a coordinate
};

Errors errors_of(const SeenChart& chart, const Scene& scene) {
  Errors errors;
  for (const ChartCorner& corner : chart.corners) {
    const cv::Point2d error = corner.image_px - sheet_scene::seen_at(scene, chart_corner_mm(corner.id));
    ++errors.count;
    errors.mean += error;
    errors.rms += 0.5 * error.dot(error);
    errors.standardised += 0.5 * error.dot(error) / (corner.sigma_px * corner.sigma_px);
    errors.largest = std::max(errors.largest, cv::norm(error));
  }
  errors.mean /= std::max(1, errors.count);
  errors.rms = std::sqrt(errors.rms / std::max(1, errors.count));
  errors.standardised = std::sqrt(errors.standardised / std::max(1, errors.count));
  return errors;
}

bool by_id(const ChartCorner& a, const ChartCorner& b) { return a.id < b.id; }

}  // namespace

// Guarantees: all 48 corners with their own numbers, whichever way the sheet is turned, to a few hundredths of a pixel.
TEST_CASE("the sheet's corners are found to sub-pixel in every turn and tilt", "[chart]") {
  cv::RNG rng(11);
  struct Held {
    double turn_deg, tilt_deg;
  };
  for (const auto& [turn_deg, tilt_deg] : {Held{0, 0}, Held{77, 30}, Held{180, -30}, Held{-100, 20}}) {
    Scene scene;
    scene.lens = small_lens();
    scene.camera_from_chart = facing(350.0, 0.7 * tilt_deg, tilt_deg, turn_deg);
    const SeenChart chart = find_chart(sheet_scene::photograph(scene, rng));
    const Errors errors = errors_of(chart, scene);
    CAPTURE(turn_deg, tilt_deg, errors.mean.x, errors.mean.y, errors.largest, errors.standardised);
    CHECK(errors.count == kChartCorners);
    CHECK(std::is_sorted(chart.corners.begin(), chart.corners.end(), by_id));
    CHECK(errors.rms < 0.015);
    CHECK(errors.largest < 0.06);
    CHECK(errors.standardised > 0.25);  // the floor is generous where the picture is good
    CHECK(errors.standardised < 1.2);
    CHECK_THAT(chart.blur_px, WithinAbs(std::hypot(scene.blur_px, std::sqrt(1.0 / 12.0)), 0.05));
  }
}

TEST_CASE("the sheet is found at the size and distances of a station", "[chart]") {
  cv::RNG rng(12);
  struct Case {
    const char* what;
    vision::CameraPose pose;
    int fewest;
  };
  const Case cases[] = {{"lying flat under the camera", facing(650.0), 48},
                        {"close, partly outside", facing(210.0, -20.0, -15.0, 10.0, {40, -30}, {0.1, 0.1}), 40},
                        {"held tilted in a corner", facing(420.0, 35.0, 30.0, 30.0, {}, {-0.3, -0.15}), 40}};
  for (const Case& c : cases) {
    Scene scene;
    scene.lens = station_lens();
    scene.camera_from_chart = c.pose;
    const Errors errors = errors_of(find_chart(sheet_scene::photograph(scene, rng)), scene);
    CAPTURE(c.what, errors.count, errors.rms, errors.largest, errors.standardised);
    CHECK(errors.count >= c.fewest);
    CHECK(errors.rms < 0.015);
    CHECK(errors.largest < 0.06);
  }
}

// Guarantees: neither the camera's tone curve nor ink that runs or shrinks moves a corner. Example failure: sides
// fitted one by one, each moved by the spread.
TEST_CASE("white that spreads over black moves no corner", "[chart]") {
  cv::RNG rng(13);
  struct Print {
    double ink_spread_mm, gamma;
  };
  for (const auto& [ink_spread_mm, gamma] : {Print{-0.2, 1.0}, Print{-0.2, 2.2}, Print{0.0, 2.2}, Print{0.2, 1.0}}) {
    Scene scene;
    scene.lens = small_lens();
    scene.camera_from_chart = facing(330.0, 12.0, -18.0, 25.0);
    scene.ink_spread_mm = ink_spread_mm;
    scene.gamma = gamma;
    scene.black = 25.0;
    scene.slope_per_px = 5e-4;
    const Errors errors = errors_of(find_chart(sheet_scene::photograph(scene, rng)), scene);
    CAPTURE(ink_spread_mm, gamma, errors.rms, errors.largest, errors.standardised);
    CHECK(errors.count == kChartCorners);
    CHECK_THAT(errors.mean.x, WithinAbs(0.0, 0.01));
    CHECK_THAT(errors.mean.y, WithinAbs(0.0, 0.01));
    CHECK(errors.rms < 0.03);
  }
}

// Guarantees: sigma follows the noise. Example failure: a constant, or the noise of one pixel.
TEST_CASE("a corner's sigma grows with noise and blur, and covers the error", "[chart]") {
  cv::RNG rng(14);
  struct Sight {
    double blur_px, noise;
  };
  for (const auto& [blur_px, noise] : {Sight{0.6, 2.0}, Sight{0.6, 8.0}, Sight{1.6, 4.0}}) {
    Scene scene;
    scene.lens = small_lens();
    scene.camera_from_chart = facing(330.0, 12.0, -18.0, 25.0);
    scene.blur_px = blur_px;
    scene.noise = noise;
    const Errors errors = errors_of(find_chart(sheet_scene::photograph(scene, rng)), scene);
    CAPTURE(blur_px, noise, errors.count, errors.rms, errors.standardised);
    CHECK(errors.count >= 40);
    CHECK(errors.standardised > 0.4);
    CHECK(errors.standardised < 1.3);
  }
}

// Guarantees: no corner rather than a wrong one. A strip of paper lies over the sheet's middle, its edges near corners.
TEST_CASE("covered corners are left out, and their neighbours stay right", "[chart]") {
  cv::RNG rng(15);
  for (const double level : {10.0, 120.0}) {
    Scene scene;
    scene.lens = small_lens();
    scene.camera_from_chart = facing(330.0, 12.0, -18.0, 25.0);
    scene.cover_in_chart = [level](cv::Point2d p) { return std::abs(p.x - 0.2 * p.y - 3.0) < 12.0 ? level : -1.0; };
    const SeenChart chart = find_chart(sheet_scene::photograph(scene, rng));
    const Errors errors = errors_of(chart, scene);
    CAPTURE(level, errors.count, errors.rms, errors.largest);
    CHECK(errors.count >= 30);
    CHECK(errors.count < 45);
    CHECK(errors.largest < 0.15);
    for (const ChartCorner& corner : chart.corners) CHECK(scene.cover_in_chart(chart_corner_mm(corner.id)) < 0.0);
  }
}

// STYLE: never mix detectors without a bias test. The sheet's corners and the tags that measuring looks for stand in
// one picture; against the one truth neither is off, so that a lens found with the one is right for the other.
TEST_CASE("the sheet's corners and vision's tags share one pixel convention", "[chart][bias]") {
  cv::RNG rng(16);
  cv::Point2d chart_bias, tag_bias, window_bias;
  int corners = 0, tag_corners = 0;
  for (int i = 0; i < 5; ++i) {
    Scene scene;
    scene.lens = small_lens();
    scene.camera_from_chart = facing(380.0, 3.0 * i - 8.0, 5.0 - 2.0 * i, 15.0 * i + 4.0, {0.13 * i, 0.29 * i});
    for (int t = 0; t < 6; ++t) scene.tags.push_back({400 + t, {-130.0 + 52.0 * t, i % 2 == 0 ? 96.3 : -96.3}, 14.0});
    const cv::Mat grey = sheet_scene::photograph(scene, rng);
    const SeenChart chart = find_chart(grey);
    std::vector<cv::Point2f> window;
    for (const ChartCorner& corner : chart.corners) window.emplace_back(corner.image_px);
    for (cv::Point2f& p : window) p += cv::Point2f(0.4F, -0.3F);  // from a start that is not the answer
    cv::cornerSubPix(grey, window, {3, 3}, {-1, -1}, {cv::TermCriteria::COUNT | cv::TermCriteria::EPS, 50, 1e-4});
    for (std::size_t k = 0; k < chart.corners.size(); ++k) {
      const cv::Point2d truth = sheet_scene::seen_at(scene, chart_corner_mm(chart.corners[k].id));
      chart_bias += chart.corners[k].image_px - truth;
      window_bias += cv::Point2d(window[k]) - truth;
      ++corners;
    }
    vision::TagFinder finder(scene.lens);
    for (const vision::SeenTag& tag : finder.find(grey)) {
      const auto& printed = scene.tags.at(static_cast<std::size_t>(tag.id - 400));
      const double half = 0.5 * printed.side_mm;
      const cv::Point2d of_corner[] = {{-half, half}, {half, half}, {half, -half}, {-half, -half}};
      for (std::size_t k = 0; k < 4; ++k) {
        tag_bias += tag.corners_px[k] - sheet_scene::seen_at(scene, printed.centre_mm + of_corner[k]);
        ++tag_corners;
      }
    }
  }
  REQUIRE(corners > 180);
  REQUIRE(tag_corners > 80);
  chart_bias /= corners;
  window_bias /= corners;
  tag_bias /= tag_corners;
  CAPTURE(corners, tag_corners, chart_bias, tag_bias, window_bias);
  for (const cv::Point2d& bias : {chart_bias, tag_bias, window_bias}) {
    CHECK_THAT(bias.x, WithinAbs(0.0, 0.02));  // half a pixel is 25 times as much
    CHECK_THAT(bias.y, WithinAbs(0.0, 0.02));
  }
}

TEST_CASE("pictures without the sheet, and parts of larger pictures", "[chart]") {
  cv::RNG rng(17);
  CHECK(find_chart(cv::Mat(480, 640, CV_8UC1, cv::Scalar(128))).corners.empty());
  cv::Mat noise(480, 640, CV_8UC1);
  rng.fill(noise, cv::RNG::UNIFORM, 0, 256);
  CHECK(find_chart(noise).corners.empty());
  CHECK(find_chart(cv::Mat(9, 11, CV_8UC1, cv::Scalar(0))).corners.empty());

  Scene scene;
  scene.lens = small_lens();
  scene.camera_from_chart = facing(350.0, 10.0, 10.0, 0.0);
  const cv::Mat grey = sheet_scene::photograph(scene, rng);
  const SeenChart alone = find_chart(grey);
  cv::Mat larger(grey.rows + 20, grey.cols + 37, CV_8UC1, cv::Scalar(77));
  const cv::Mat inside = larger({{13, 5}, grey.size()});
  grey.copyTo(inside);
  const SeenChart part = find_chart(inside);
  REQUIRE(part.corners.size() == alone.corners.size());
  for (std::size_t i = 0; i < alone.corners.size(); ++i)
    CHECK(cv::norm(part.corners[i].image_px - alone.corners[i].image_px) < 1e-9);

  // Seen in a mirror there is no sheet: its markers read otherwise.
  cv::Mat mirrored;
  cv::flip(grey, mirrored, 1);
  CHECK(find_chart(mirrored).corners.empty());
}

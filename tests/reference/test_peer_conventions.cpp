// The two libraries that this project is compared with use other corner orders and pixel origins. These tests fix what
// the adapters in tests/bench make of them: a mistake there would read as an error of ours, or hide one.
#include <opencv2/imgproc.hpp>

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/opencv_tags.h"
#include "tests/catch.h"
#include "tests/reference/synthetic_tag.h"

using namespace bench;
using namespace reference;

namespace {

// Mean and largest corner error over tags at many sub-pixel places and angles.
struct Bias {
  cv::Point2d mean{0.0, 0.0};
  double largest = 0.0;
  int tags = 0, missed = 0;
};

template <class Detector>
Bias bias_of(const Detector& detector, const cv::Mat& (*modules)(int)) {
  Bias bias;
  for (int i = 0; i < 24; ++i) {
    cv::Mat picture(160, 160, CV_8UC1, cv::Scalar(220));
    const auto truth = square_px({80.0 + 0.13 * i, 79.0 + 0.29 * i}, 64.0 + 0.37 * i, 15.0 * i + 3.0);
    paint_tag(modules(i), truth, picture);
    cv::GaussianBlur(picture, picture, {}, 0.6);
    const PeerTags tags = detector.detect(picture);
    if (tags.size() != 1 || tags[0].id != i) {
      ++bias.missed;
      continue;
    }
    ++bias.tags;
    for (std::size_t k = 0; k < 4; ++k) {
      const cv::Point2d error = tags[0].corners_px[k] - truth[k];
      bias.mean += error;
      bias.largest = std::max(bias.largest, cv::norm(error));
    }
  }
  bias.mean /= std::max(1, 4 * bias.tags);
  return bias;
}

const cv::Mat& as_opencv_draws(int id) {
  static cv::Mat picture;
  picture = OpencvTags().drawn(id);
  return picture;
}

}  // namespace

// The trap: a sticker printed from the official pictures reads half a turn off from one printed from OpenCV's.
TEST_CASE("OpenCV draws every tag as the official picture turned by 180 degrees", "[reference][upright]") {
  const OpencvTags opencv;
  REQUIRE(official_count() == 587);
  for (int id = 0; id < official_count(); ++id) {
    cv::Mat turned;
    cv::rotate(official_picture(id), turned, cv::ROTATE_180);
    REQUIRE(cv::norm(opencv.drawn(id), turned, cv::NORM_INF) == 0.0);
  }
}

// Guarantees: the order of the corners and the pixel origin. A wrong order is off by tens of pixels, a wrong origin by
// 0.5 px in x and y; the bound on a single corner lies between what OpenCV reaches on these pictures (0.17 px in 4.6;
// 0.33 px in 4.10, which refines in a window of a third of a module) and a wrong origin (0.7 px).
TEST_CASE("OpenCV's corners come in our order and origin", "[reference][upright][sign]") {
  const Bias bias = bias_of(OpencvTags(), as_opencv_draws);
  CHECK(bias.missed == 0);
  CHECK_THAT(bias.mean.x, WithinAbs(0.0, 0.02));
  CHECK_THAT(bias.mean.y, WithinAbs(0.0, 0.02));
  CHECK(bias.largest < 0.5);
}

// A wrong origin is 0.7 px off here as well.
TEST_CASE("libapriltag's corners are brought to our order and origin", "[reference][upright][sign]") {
  for (const float decimate : {1.0F, 2.0F}) {
    const Bias bias = bias_of(ApriltagTags(decimate), as_opencv_draws);
    CAPTURE(decimate, bias.largest);
    CHECK(bias.missed == 0);
    CHECK_THAT(bias.mean.x, WithinAbs(0.0, 0.02));
    CHECK_THAT(bias.mean.y, WithinAbs(0.0, 0.02));
    CHECK(bias.largest < 0.3);
  }
}

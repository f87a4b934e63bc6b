// Our tag finder: corner order and bias on painted tags, and the published tags of real photographs.
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/opencv_tags.h"
#include "tests/catch.h"
#include "tests/reference/synthetic_tag.h"
#include "vision/tag_finder.h"

using namespace reference;

namespace {

vision::Lens plain_lens(cv::Size size) {
  vision::Lens lens;
  lens.width_px = size.width;
  lens.height_px = size.height;
  lens.fx = lens.fy = 2200.0;
  lens.cx = 0.5 * size.width;
  lens.cy = 0.5 * size.height;
  return lens;
}

struct Errors {
  cv::Point2d mean{0.0, 0.0};
  double rms_px = 0.0, largest_px = 0.0;
  int missed = 0;
};

// Tags of one side length at 24 sub-pixel places and angles.
template <class Find>
Errors errors_of(const Find& find, double side_px) {
  Errors e;
  double sum = 0.0;
  int corners = 0;
  const bench::OpencvTags opencv;
  for (int i = 0; i < 24; ++i) {
    cv::Mat picture(160, 160, CV_8UC1, cv::Scalar(220));
    const auto truth = square_px({80.0 + 0.13 * i, 79.0 + 0.29 * i}, side_px + 0.37 * i, 15.0 * i + 3.0);
    paint_tag(opencv.drawn(i), truth, picture);
    cv::GaussianBlur(picture, picture, {}, 0.6);
    const auto tags = find(picture);
    if (tags.size() != 1 || tags[0].id != i) {
      ++e.missed;
      continue;
    }
    for (std::size_t k = 0; k < 4; ++k, ++corners) {
      const cv::Point2d error = tags[0].corners_px[k] - truth[k];
      e.mean += error;
      sum += error.dot(error);
      e.largest_px = std::max(e.largest_px, cv::norm(error));
    }
  }
  e.mean /= std::max(1, corners);
  e.rms_px = std::sqrt(sum / std::max(1, corners));
  return e;
}

}  // namespace

// Guarantees: first corner at the top left of the tag as OpenCV draws it, centre of the top-left pixel at (0, 0), no
// bias, and corners at least as good as both other libraries'. 36 px is a sticker's tag, 64 px and 100 px a board
// mark's.
TEST_CASE("our corners are unbiased and no worse than the peers'", "[reference][tags][upright][sign][accuracy]") {
  vision::TagFinder finder(plain_lens({160, 160}));
  const bench::OpencvTags opencv;
  const bench::ApriltagTags apriltag(1.0F);
  for (const double side_px : {36.0, 64.0, 95.0}) {
    CAPTURE(side_px);
    const Errors ours = errors_of([&](const cv::Mat& g) { return finder.find(g); }, side_px);
    const Errors theirs = errors_of([&](const cv::Mat& g) { return opencv.detect(g); }, side_px);
    const Errors reference = errors_of([&](const cv::Mat& g) { return apriltag.detect(g); }, side_px);
    CAPTURE(ours.rms_px, theirs.rms_px, reference.rms_px, ours.largest_px);
    CHECK(ours.missed == 0);
    CHECK_THAT(ours.mean.x, WithinAbs(0.0, 0.01));
    CHECK_THAT(ours.mean.y, WithinAbs(0.0, 0.01));
    CHECK(ours.rms_px <= theirs.rms_px);
    CHECK(ours.rms_px <= reference.rms_px);
  }
}

// Guarantees: a sticker printed from the official pictures would read half a turn off, and is seen to.
TEST_CASE("an official picture is found with its corners half a turn on", "[reference][tags][upright]") {
  vision::TagFinder finder(plain_lens({160, 160}));
  cv::Mat picture(160, 160, CV_8UC1, cv::Scalar(220));
  const auto truth = square_px({80.0, 80.0}, 64.0, 0.0);
  paint_tag(bench::official_picture(7), truth, picture);
  const auto& tags = finder.find(picture);
  REQUIRE(tags.size() == 1);
  CHECK(tags[0].id == 7);
  for (std::size_t k = 0; k < 4; ++k) CHECK(cv::norm(tags[0].corners_px[k] - truth[(k + 2) % 4]) < 0.3);
}

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "tests/catch.h"
#include "tests/vision/tag_scene.h"
#include "vision/geometry.h"
#include "vision/tag_finder.h"

using namespace vision;
using tag_scene::TagInScene;

namespace {

double furthest(const std::array<cv::Point2d, 4>& a, const std::array<cv::Point2d, 4>& b) {
  double most = 0.0;
  for (std::size_t i = 0; i < 4; ++i) most = std::max(most, cv::norm(a[i] - b[i]));
  return most;
}

const SeenTag* with_id(const std::vector<SeenTag>& tags, int id) {
  const auto it = std::find_if(tags.begin(), tags.end(), [id](const SeenTag& tag) { return tag.id == id; });
  return it == tags.end() ? nullptr : &*it;
}

}  // namespace

// Guarantees: the order of the corners and the direction of turning, by hand: upright, the first corner is up left;
// after a quarter turn counter-clockwise it is down left. Example failure: mirrored or turned corner order.
TEST_CASE("the first corner is the upright tag's top left", "[tag][sign]") {
  const Lens lens = tag_scene::plain_lens(640, 480);
  cv::RNG rng(1);
  for (int turns = 0; turns < 4; ++turns) {
    tag_scene::Picture picture = tag_scene::plain_picture(400, 300, 120.0F);
    TagInScene tag;
    tag.id = 17;
    tag.centre_px = {300.0, 200.0};
    tag.side_px = 80.0;
    tag.angle_rad = turns * kPi / 2.0;
    tag_scene::draw(picture, lens, tag);
    TagFinder finder(lens);
    const auto& tags = finder.find(tag_scene::develop(picture, 0.7, 1.0, rng));
    REQUIRE(tags.size() == 1);
    CHECK(tags[0].id == 17);
    constexpr std::array<std::array<double, 2>, 4> kFirst{{{260, 160}, {260, 240}, {340, 240}, {340, 160}}};
    const auto expected = kFirst[static_cast<std::size_t>(turns)];
    CHECK_THAT(tags[0].corners_px[0].x, WithinAbs(expected[0], 0.05));
    CHECK_THAT(tags[0].corners_px[0].y, WithinAbs(expected[1], 0.05));
  }
}

// Guarantees: no half-pixel shift. A square that covers whole pixels 100..179 has its corners at 99.5 and 179.5.
TEST_CASE("a square on whole pixels has its corners between pixels", "[tag][half-pixel]") {
  const Lens lens = tag_scene::plain_lens(640, 480);
  cv::Mat grey(480, 640, CV_8UC1, cv::Scalar(200));
  tag_scene::Picture picture = tag_scene::plain_picture(640, 480, 200.0F);
  TagInScene tag;
  tag.id = 3;
  tag.centre_px = {139.5, 139.5};
  tag.side_px = 80.0;
  tag_scene::draw(picture, lens, tag);
  cv::resize(picture.levels, picture.levels, {640, 480}, 0, 0, cv::INTER_AREA);
  picture.levels.convertTo(grey, CV_8UC1);
  REQUIRE(grey.at<std::uint8_t>(100, 100) < 60);
  REQUIRE(grey.at<std::uint8_t>(99, 100) > 190);
  TagFinder finder(lens);
  const auto& tags = finder.find(grey);
  REQUIRE(tags.size() == 1);
  CHECK_THAT(tags[0].corners_px[0].x, WithinAbs(99.5, 0.01));
  CHECK_THAT(tags[0].corners_px[0].y, WithinAbs(99.5, 0.01));
  CHECK_THAT(tags[0].corners_px[2].x, WithinAbs(179.5, 0.01));
  CHECK_THAT(tags[0].corners_px[2].y, WithinAbs(179.5, 0.01));
}

// Guarantees: every tag of a frame is found, and none besides, over sizes, turns, tilts, contrasts and blur.
TEST_CASE("random tags are all found where they are", "[tag][accuracy]") {
  const Lens lens = tag_scene::station_lens();
  cv::RNG rng(20);
  TagFinder finder(lens);
  for (int scene = 0; scene < 6; ++scene) {
    tag_scene::Picture picture =
        tag_scene::plain_picture(lens.width_px, lens.height_px, static_cast<float>(rng.uniform(40, 160)), 1);
    std::vector<TagInScene> truth;
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 6; ++column) {
        TagInScene tag;
        tag.id = rng.uniform(0, 587);
        tag.centre_px = {200.0 + 380.0 * column + rng.uniform(-20.0, 20.0),
                         215.0 + 430.0 * row + rng.uniform(-20.0, 20.0)};
        tag.side_px = rng.uniform(28.0, 190.0);
        tag.angle_rad = rng.uniform(-3.1, 3.1);
        tag.tilt_rad = rng.uniform(0.0, 30.0 * kRadPerDeg);
        tag.tilt_axis_rad = rng.uniform(-3.1, 3.1);
        tag.black = rng.uniform(20.0, 60.0);
        tag.white = tag.black + rng.uniform(60.0, 160.0);
        tag_scene::draw(picture, lens, tag);
        truth.push_back(tag);
      }
    }
    const cv::Mat grey = tag_scene::develop(picture, rng.uniform(0.6, 1.2), rng.uniform(0.5, 3.0), rng);
    const auto& tags = finder.find(grey);
    CHECK(tags.size() == truth.size());
    for (const TagInScene& tag : truth) {
      CAPTURE(scene, tag.id, tag.side_px, tag.angle_rad, tag.tilt_rad);
      const auto corners = tag_scene::true_corners_px(lens, tag);
      const bool found = std::any_of(tags.begin(), tags.end(), [&](const SeenTag& seen) {
        return seen.id == tag.id && furthest(seen.corners_px, corners) < 0.4;
      });
      CHECK(found);
    }
  }
}

// Guarantees: light that falls off, and black only 25 grey levels below white, still read.
TEST_CASE("a faint tag in uneven light is found", "[tag]") {
  const Lens lens = tag_scene::plain_lens(2304, 1296);
  cv::RNG rng(4);
  tag_scene::Picture picture = tag_scene::plain_picture(2304, 1296, 90.0F, 1);
  TagInScene tag;
  tag.id = 41;
  tag.centre_px = {700.3, 500.8};
  tag.side_px = 41.0;
  tag.angle_rad = 0.4;
  tag.black = 80.0;
  tag.white = 105.0;
  tag_scene::draw(picture, lens, tag);
  for (int y = 0; y < picture.levels.rows; ++y)
    for (int x = 0; x < picture.levels.cols; ++x)
      picture.levels.at<float>(y, x) *= 0.6F + 0.0004F * static_cast<float>(x);
  TagFinder finder(lens);
  const auto& tags = finder.find(tag_scene::develop(picture, 1.0, 1.5, rng));
  REQUIRE(tags.size() == 1);
  CHECK(tags[0].id == 41);
  CHECK(furthest(tags[0].corners_px, tag_scene::true_corners_px(lens, tag)) < 0.5);
}

// Guarantees: cloth is not read as tags, whatever its pattern: checks, stripes, weave, noise.
TEST_CASE("patterns hold no tags", "[tag]") {
  const Lens lens = tag_scene::plain_lens(2304, 1296);
  TagFinder finder(lens);
  cv::RNG rng(5);
  for (int kind = 0; kind < 4; ++kind) {
    tag_scene::Picture picture = tag_scene::plain_picture(2304, 1296, 128.0F, 1);
    for (int y = 0; y < picture.levels.rows; ++y) {
      for (int x = 0; x < picture.levels.cols; ++x) {
        float& pixel = picture.levels.at<float>(y, x);
        if (kind == 0) pixel = (x / 23 + y / 23) % 2 == 0 ? 40.0F : 210.0F;                        // checks
        if (kind == 1) pixel = (x + y / 3) / 17 % 2 == 0 ? 40.0F : 210.0F;                         // stripes
        if (kind == 2) pixel += static_cast<float>(25.0 * std::sin(0.9 * x) * std::sin(0.9 * y));  // weave
        if (kind == 3) pixel = (x / 6 * 7919 + y / 6 * 104729) % 31 < 15 ? 30.0F : 220.0F;         // blocks like bits
      }
    }
    CHECK(finder.find(tag_scene::develop(picture, 0.8, 3.0, rng)).empty());
  }
}

// Guarantees: the fast path gives what the search gives, from corners some pixels off; not another id, not an empty
// place; and a view into a larger picture reads the same.
TEST_CASE("a tag is found again near where it was", "[tag]") {
  const Lens lens = tag_scene::station_lens();
  cv::RNG rng(6);
  tag_scene::Picture picture = tag_scene::plain_picture(lens.width_px, lens.height_px, 100.0F, 1);
  std::vector<TagInScene> truth;
  for (int i = 0; i < 6; ++i) {
    TagInScene tag;
    tag.id = 10 * i + 2;
    tag.centre_px = {250.0 + 340.0 * i, 420.0 + 61.3 * i};
    tag.side_px = i % 2 == 0 ? 41.0 : 103.0;
    tag.angle_rad = 0.5 * i;
    tag_scene::draw(picture, lens, tag);
    truth.push_back(tag);
  }
  const cv::Mat grey = tag_scene::develop(picture, 0.9, 2.0, rng);
  cv::Mat wide(grey.rows, grey.cols + 64, CV_8UC1, cv::Scalar(0));
  cv::Mat view = wide(cv::Rect(32, 0, grey.cols, grey.rows));
  grey.copyTo(view);
  TagFinder finder(lens);
  const auto searched = finder.find(grey);
  for (const TagInScene& tag : truth) {
    const SeenTag* found = with_id(searched, tag.id);
    REQUIRE(found);
    for (int k = 0; k < 10; ++k) {
      auto expected = tag_scene::true_corners_px(lens, tag);
      const cv::Point2d off = cv::Point2d{std::cos(0.6 * k), std::sin(0.6 * k)} * (0.08 * tag.side_px);
      for (cv::Point2d& corner : expected) corner += off + cv::Point2d{rng.uniform(-1.0, 1.0), rng.uniform(-1.0, 1.0)};
      const auto near = finder.find_near(grey, tag.id, expected);
      REQUIRE(near);
      CHECK(near->id == tag.id);
      CHECK(furthest(near->corners_px, found->corners_px) < 0.03);
      const auto in_view = finder.find_near(view, tag.id, expected);
      REQUIRE(in_view);
      CHECK(furthest(in_view->corners_px, near->corners_px) == 0.0);
      CHECK_FALSE(finder.find_near(grey, tag.id + 1, expected));
      for (cv::Point2d& corner : expected) corner.y += 180.0;
      CHECK_FALSE(finder.find_near(grey, tag.id, expected));
    }
  }
}

// Guarantees: a tag whose side is mostly covered is refused, and one crossed by threads is not shifted. Example
// failure: a strip of tape along a side moves it by the strip's width.
TEST_CASE("tape over a side refuses the tag and a thread does not move it", "[tag]") {
  const Lens lens = tag_scene::plain_lens(240, 220);
  cv::RNG rng(7);
  TagInScene tag;
  tag.id = 100;
  tag.centre_px = {120.2, 109.7};
  tag.side_px = 64.0;
  tag.border_modules = 2.5;
  const auto corners = tag_scene::true_corners_px(lens, tag);
  TagFinder finder(lens);
  for (int k = 0; k < 24; ++k) {
    tag_scene::Picture picture = tag_scene::plain_picture(240, 220, 110.0F);
    tag_scene::draw(picture, lens, tag);
    tag_scene::Picture taped = tag_scene::plain_picture(240, 220, 110.0F);
    picture.levels.copyTo(taped.levels);
    const int fine = picture.fine;
    const int left = static_cast<int>(corners[0].x) - 3 + k % 6;
    const int length = k < 12 ? 64 : 48;
    const cv::Rect tape(left * fine, (static_cast<int>(corners[0].y) - 6) * fine, length * fine, 10 * fine);
    cv::rectangle(taped.levels, tape, cv::Scalar(150 + 20 * (k % 3)), cv::FILLED);
    const cv::Mat taped_grey = tag_scene::develop(taped, 0.8, 2.0, rng);
    CHECK_FALSE(finder.find_near(taped_grey, tag.id, corners));
    CHECK(finder.find(taped_grey).empty());

    const double angle = k * kPi / 24.0 + 0.05;
    const cv::Point2d along{std::cos(angle), std::sin(angle)};
    const cv::Point2d middle = tag.centre_px + cv::Point2d(-along.y, along.x) * (18.0 + k % 4);
    cv::line(picture.levels, (middle - along * 80.0) * fine, (middle + along * 80.0) * fine, cv::Scalar(100), 2 * fine);
    const auto near = finder.find_near(tag_scene::develop(picture, 0.8, 2.0, rng), tag.id, corners);
    if (near) CHECK(furthest(near->corners_px, corners) < 0.2);
  }
}

// Guarantees: degenerate input gives nothing, not a crash.
TEST_CASE("pictures too small, flat or cut off hold no tags", "[tag][degenerate]") {
  const Lens lens = tag_scene::plain_lens(640, 480);
  TagFinder finder(lens);
  CHECK(finder.find(cv::Mat(1, 1, CV_8UC1, cv::Scalar(9))).empty());
  CHECK(finder.find(cv::Mat(480, 640, CV_8UC1, cv::Scalar(0))).empty());
  CHECK(finder.find(cv::Mat(480, 640, CV_8UC1, cv::Scalar(255)), {600, 400, 300, 300}).empty());
  CHECK(finder.find(cv::Mat(480, 640, CV_8UC1, cv::Scalar(255)), {900, 400, 300, 300}).empty());
  const cv::Mat grey(480, 640, CV_8UC1, cv::Scalar(7));
  const std::array<cv::Point2d, 4> somewhere{cv::Point2d{10, 10}, {50, 10}, {50, 50}, {10, 50}};
  CHECK_FALSE(finder.find_near(grey, 5, somewhere));
  CHECK_FALSE(finder.find_near(grey, -1, somewhere));
  CHECK_FALSE(finder.find_near(grey, 587, somewhere));
  CHECK_FALSE(finder.find_near(grey, 5, {cv::Point2d{NAN, 10}, {50, 10}, {50, 50}, {10, 50}}));
  CHECK_FALSE(finder.find_near(grey, 5, {cv::Point2d{-900, 10}, {50, 10}, {50, 50}, {10, 50}}));
  CHECK_FALSE(finder.find_near(grey, 5, {cv::Point2d{30, 30}, {30, 30}, {30, 30}, {30, 30}}));
}

// Guarantees: every code of the family can be found and refined. Example failure: a code with few edges near one of its
// sides is refused.
TEST_CASE("all 587 tags are found", "[tag][accuracy]") {
  const Lens lens = tag_scene::plain_lens(128, 128);
  cv::RNG rng(9);
  TagFinder finder(lens);
  for (int id = 0; id < 587; ++id) {
    tag_scene::Picture picture = tag_scene::plain_picture(128, 128, 90.0F);
    TagInScene tag;
    tag.id = id;
    tag.centre_px = {64.0, 63.0};
    tag.angle_rad = 0.01 * id;
    tag_scene::draw(picture, lens, tag);
    const auto near =
        finder.find_near(tag_scene::develop(picture, 0.8, 2.0, rng), id, tag_scene::true_corners_px(lens, tag));
    CAPTURE(id);
    REQUIRE(near);
    CHECK(furthest(near->corners_px, tag_scene::true_corners_px(lens, tag)) < 0.1);
  }
}

// Guarantees: a region limits the search and does not shift what is found.
TEST_CASE("a region of the frame is searched by itself", "[tag]") {
  const Lens lens = tag_scene::station_lens();
  cv::RNG rng(8);
  tag_scene::Picture picture = tag_scene::plain_picture(lens.width_px, lens.height_px, 100.0F, 1);
  TagInScene tag;
  tag.side_px = 60.0;
  for (int i = 0; i < 2; ++i) {
    tag.id = 30 + i;
    tag.centre_px = {600.0 + 900.0 * i, 600.0};
    tag_scene::draw(picture, lens, tag);
  }
  const cv::Mat grey = tag_scene::develop(picture, 0.9, 2.0, rng);
  TagFinder finder(lens);
  const auto whole = finder.find(grey);
  REQUIRE(whole.size() == 2);
  const auto part = finder.find(grey, {1301, 403, 500, 400});
  REQUIRE(part.size() == 1);
  CHECK(part[0].id == 31);
  CHECK(furthest(part[0].corners_px, with_id(whole, 31)->corners_px) < 0.01);
}

// Our code words against the family's own: the files of its authors and libapriltag's table.
#include <array>
#include <fstream>
#include <opencv2/core.hpp>
#include <opencv2/imgcodecs.hpp>
#include <sstream>
#include <string>

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/opencv_tags.h"
#include "tests/catch.h"
#include "vision/tag_family.h"

using namespace vision;

namespace {

const std::string kData = std::string(HOOPGAUGE_SOURCE_DIR) + "/tests/reference/data/apriltag36h11/";

// Our tag as a picture of 8 x 8 modules, upright as this project means it.
cv::Mat ours(int id) {
  cv::Mat picture(kTagModulesAcross, kTagModulesAcross, CV_8UC1);
  for (int row = 0; row < kTagModulesAcross; ++row)
    for (int column = 0; column < kTagModulesAcross; ++column)
      picture.at<uchar>(row, column) = tag_module_is_white(id, row, column) ? 255 : 0;
  return picture;
}

cv::Mat upside_down(const cv::Mat& picture) {
  cv::Mat turned;
  cv::rotate(picture, turned, cv::ROTATE_180);
  return turned;
}

}  // namespace

// The one meaning of upright: as OpenCV's dictionary draws the tag; the official pictures stand on their head.
TEST_CASE("our tags are OpenCV's, and the official ones upside down, all 587", "[reference][tags][upright]") {
  REQUIRE(kTagCount == bench::official_count());
  const bench::OpencvTags opencv;
  for (int id = 0; id < kTagCount; ++id) {
    CAPTURE(id);
    REQUIRE(cv::norm(ours(id), opencv.drawn(id), cv::NORM_INF) == 0.0);
    REQUIRE(cv::norm(upside_down(ours(id)), bench::official_picture(id), cv::NORM_INF) == 0.0);
  }
}

// AprilRobotics/apriltag-imgs @2bc821ed, ids 0..9: 10 x 10 px with the white border.
TEST_CASE("the official pictures are our tags upside down", "[reference][tags][upright]") {
  for (int id = 0; id < 10; ++id) {
    CAPTURE(id);
    const cv::Mat official = cv::imread(kData + "tag36_11_0000" + std::to_string(id) + ".png", cv::IMREAD_GRAYSCALE);
    REQUIRE(official.size() == cv::Size(10, 10));
    CHECK(cv::norm(upside_down(ours(id)), official(cv::Rect(1, 1, 8, 8)), cv::NORM_INF) == 0.0);
    cv::Mat border = official.clone();
    border(cv::Rect(1, 1, 8, 8)) = 255;
    CHECK(cv::countNonZero(border != 255) == 0);
  }
}

// Code words of tag36h11.c laid out as printed, ids 0..29; upright as the official picture.
TEST_CASE("the published code words are our words read backwards", "[reference][tags][upright]") {
  std::ifstream file(kData + "tag36h11_first30.csv");
  std::string line;
  REQUIRE(std::getline(file, line));
  int count = 0;
  while (std::getline(file, line)) {
    std::istringstream fields(line);
    std::string id, code, rows, row;
    std::getline(fields, id, ',');
    std::getline(fields, code, ',');
    for (int i = 0; i < kTagBitsAcross; ++i) {
      REQUIRE(std::getline(fields, row, ','));
      rows += row;
    }
    REQUIRE(rows.size() == 36);
    const TagWord official = std::stoull(rows, nullptr, 2);
    const TagWord word = tag_words()[static_cast<std::size_t>(std::stoi(id))];
    CAPTURE(id);
    CHECK(quarter_turn(quarter_turn(word)) == official);
    ++count;
  }
  CHECK(count == 30);
}

// The family's name says it: any two words, however turned, differ in at least 11 of the 36 bits.
TEST_CASE("no two tags are closer than 11 bits in any turn", "[reference][tags]") {
  int least = 36;
  for (int a = 0; a < kTagCount; ++a) {
    TagWord turned = tag_words()[static_cast<std::size_t>(a)];
    for (int turns = 0; turns < 4; ++turns, turned = quarter_turn(turned)) {
      for (int b = turns == 0 ? a + 1 : a; b < kTagCount; ++b)
        least = std::min(least, __builtin_popcountll(turned ^ tag_words()[static_cast<std::size_t>(b)]));
    }
  }
  CHECK(least == 11);
}

// The printed sheets in the eyes of others: poppler renders the files, OpenCV and libapriltag read the tags. Places are
// worked out here from DESIGN's figures and the page's layout, not by the code that draws.
#include <cmath>
#include <map>
#include <opencv2/imgproc.hpp>

#include "calib/proof_sheet.h"
#include "tests/bench/apriltag_tags.h"
#include "tests/bench/opencv_tags.h"
#include "tests/catch.h"
#include "tests/reference/printed_file.h"

using namespace reference;
using app::Paper;

namespace {

constexpr Paper kPapers[] = {Paper::a4, Paper::letter};
constexpr double kPlaceMm = 0.05;   // of a tag's centre
constexpr double kCornerMm = 0.10;  // a pixel at the lower resolution

// A tag where it should be: mm from the paper's upper left corner, to the right and down; angle counter-clockwise.
struct Expected {
  cv::Point2d centre_mm;
  double side_mm = 0.0, angle_deg = 0.0;
};
using ExpectedTags = std::map<int, Expected>;

cv::Size2d size_mm(Paper paper) { return paper == Paper::a4 ? cv::Size2d(210.0, 297.0) : cv::Size2d(8.5, 11.0) * 25.4; }
double column_mm(Paper paper) { return size_mm(paper).width / 2.0 - 88.0; }

// Tags in rows from the upper left, the first one's centre at `first` from the column's left edge and the paper's top.
ExpectedTags in_rows(Paper paper, int first_id, int count, int columns, cv::Point2d first, cv::Size2d pitch,
                     double side) {
  ExpectedTags tags;
  for (int i = 0; i < count; ++i)
    tags[first_id + i] = {
        {column_mm(paper) + first.x + i % columns * pitch.width, first.y + i / columns * pitch.height}, side, 0.0};
  return tags;
}

void add_sticker(ExpectedTags& tags, int number, cv::Point2d cross, double angle_deg) {
  const double rad = angle_deg * CV_PI / 180.0;
  const cv::Point2d in_sticker[] = {{-12.5, 12.5}, {12.5, 12.5}, {12.5, -12.5}, {-12.5, -12.5}};
  for (int k = 0; k < 4; ++k) {
    const cv::Point2d p = in_sticker[k];
    tags[4 * number + k] = {
        {cross.x + std::cos(rad) * p.x - std::sin(rad) * p.y, cross.y - std::sin(rad) * p.x - std::cos(rad) * p.y},
        12.0,
        angle_deg};
  }
}

ExpectedTags stickers(Paper paper, int first, int count) {
  ExpectedTags tags;
  for (int i = 0; i < count; ++i)
    add_sticker(tags, first + i, {column_mm(paper) + 22.0 + 44.0 * (i % 4), 52.0 + 44.0 * (i / 4)}, 0.0);
  return tags;
}

ExpectedTags proof(Paper paper) {
  ExpectedTags tags;
  for (const calib::ProofSticker& sticker : calib::kProofStickers)
    add_sticker(tags, sticker.number,
                {size_mm(paper).width / 2.0 + sticker.x_mm, size_mm(paper).height / 2.0 - sticker.y_mm},
                sticker.angle_deg);
  return tags;
}

struct Worst {
  double place_mm = 0.0, corner_mm = 0.0;
};

Worst check(const bench::PeerTags& seen, const ExpectedTags& expected, double px_per_mm) {
  Worst worst;
  std::map<int, int> times;
  for (const bench::PeerTag& tag : seen) {
    CAPTURE(tag.id);
    ++times[tag.id];
    const auto found = expected.find(tag.id);
    if (found == expected.end()) {
      FAIL_CHECK("a tag that is not on the sheet");
      continue;
    }
    const Expected& should = found->second;
    const double rad = should.angle_deg * CV_PI / 180.0, half = should.side_mm / 2.0;
    const cv::Point2d in_tag[] = {{-half, half}, {half, half}, {half, -half}, {-half, -half}};
    cv::Point2d mean;
    for (std::size_t k = 0; k < 4; ++k) {
      const cv::Point2d at_mm = (tag.corners_px[k] + cv::Point2d(0.5, 0.5)) / px_per_mm;
      const cv::Point2d p = in_tag[k];
      const cv::Point2d corner = should.centre_mm + cv::Point2d(std::cos(rad) * p.x - std::sin(rad) * p.y,
                                                                -std::sin(rad) * p.x - std::cos(rad) * p.y);
      mean += at_mm / 4.0;
      worst.corner_mm = std::max(worst.corner_mm, cv::norm(at_mm - corner));
    }
    worst.place_mm = std::max(worst.place_mm, cv::norm(mean - should.centre_mm));
  }
  for (const auto& [id, where] : expected) {
    CAPTURE(id);
    CHECK(times[id] == 1);
  }
  return worst;
}

// Reads the page with both libraries at two resolutions.
void check_page(const PrintedFile& file, int number, const ExpectedTags& expected) {
  INFO(file.errors());
  REQUIRE(file.exit_code() == 0);
  for (const int dpi : {240, 360}) {
    const cv::Mat1b page = file.page(number, dpi);
    const double px_per_mm = dpi / 25.4;
    // Half the resolution is enough to find the tags in; their sides are fitted at full resolution.
    const bench::PeerTags by_opencv = bench::OpencvTags().detect(page);
    const bench::PeerTags by_apriltag = bench::ApriltagTags(2.0F).detect(page);
    for (const bench::PeerTags* seen : {&by_opencv, &by_apriltag}) {
      CAPTURE(dpi, seen == &by_opencv);
      const Worst worst = check(*seen, expected, px_per_mm);
      CHECK(worst.place_mm < kPlaceMm);
      CHECK(worst.corner_mm < kCornerMm);
    }
  }
}

PrintedFile printed(app::Sheet sheet, Paper paper, std::vector<std::string> chosen = {}) {
  app::PrintOptions options;
  options.sheet = sheet;
  options.paper = paper;
  options.chosen = std::move(chosen);
  return PrintedFile(options);
}

}  // namespace

// Guarantees: every tag of every sheet is printed once, upright, at its size and place. Example failures: the official
// pictures instead of OpenCV's (half a turn off), a sheet in points taken for mm, a page's first row cut off.
TEST_CASE("target stickers are read at their places by two other libraries", "[sheets][sign]") {
  for (const Paper paper : kPapers) check_page(printed(app::Sheet::stickers, paper), 1, stickers(paper, 0, 20));
}

TEST_CASE("board marks and north marks are read at their places by two other libraries", "[sheets]") {
  for (const Paper paper : kPapers) {
    check_page(printed(app::Sheet::board, paper, {"400-415"}), 1,
               in_rows(paper, 400, 16, 4, {22.0, 52.0}, {44.0, 48.0}, 30.0));
    check_page(printed(app::Sheet::north, paper, {"450-479"}), 1,
               in_rows(paper, 450, 30, 11, {6.0, 36.0}, {16.4, 20.0}, 8.0));
  }
}

TEST_CASE("badges and job tickets are read at their places by two other libraries", "[sheets]") {
  const auto cards = [](Paper paper, int first, int count) {
    return in_rows(paper, first, count, 2, {22.0, 57.0}, {90.4, 54.0}, 30.0);
  };
  for (const Paper paper : kPapers) {
    const PrintedFile badges = printed(
        app::Sheet::badges, paper, {"480=A", "481=B", "482=C", "483=D", "484=E", "485=F", "486=G", "487=H", "488=I"});
    check_page(badges, 1, cards(paper, 480, 8));
    check_page(badges, 2, cards(paper, 488, 1));
    check_page(printed(app::Sheet::tickets, paper, {"585=Apron", "586=Towel, long name in two lines"}), 1,
               cards(paper, 585, 2));
  }
}

// Guarantees: the proof sheet's stickers lie in its ring where calib/proof_sheet.h says, which the station's proof
// takes for the truth. Example failure: the stickers turned the wrong way round.
TEST_CASE("the proof sheet's stickers are read at their places by two other libraries", "[sheets][sign]") {
  for (const Paper paper : kPapers) check_page(printed(app::Sheet::proof, paper), 1, proof(paper));
}

// Guarantees: stickers sit in the middle of their labels, and used labels stay empty.
TEST_CASE("stickers on labels are read at their places by two other libraries", "[sheets][labels]") {
  app::PrintOptions options;
  options.sheet = app::Sheet::stickers;
  options.chosen = {"0-15"};
  options.labels = app::LabelGrid{3, 5, {63.5, 46.6}, {7.2, 20.0}, {66.0, 46.6}, 4};
  const PrintedFile file(options);
  CHECK(file.page_sizes_mm().size() == 3);
  check_page(file, 1, {});
  ExpectedTags first, second;
  for (int i = 0; i < 16; ++i) {
    const int place = (i + 4) % 15;
    add_sticker(i < 11 ? first : second, i, {7.2 + 31.75 + 66.0 * (place % 3), 20.0 + 23.3 + 46.6 * (place / 3)}, 0.0);
  }
  check_page(file, 2, first);
  check_page(file, 3, second);
}

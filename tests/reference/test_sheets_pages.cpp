// The pages themselves as poppler sees them: their size, their margins, the scale bar, the calibration pattern, and
// that all is drawn in lines and letters.
#include <cmath>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>

#include "app/sheets/sheet_picture.h"
#include "tests/bench/opencv_charuco.h"
#include "tests/catch.h"
#include "tests/reference/printed_file.h"
#include "tests/reference/shared_folder.h"

using namespace reference;
using app::Paper;

namespace {

constexpr Paper kPapers[] = {Paper::a4, Paper::letter};

PrintedFile printed(app::Sheet sheet, Paper paper) {
  app::PrintOptions options;
  options.sheet = sheet;
  options.paper = paper;
  return PrintedFile(options);
}

// Where along a row of grey the ink of a stroke begins and ends, px from the row's left edge, from its darkness.
std::pair<double, double> stroke_px(const cv::Mat1b& row, int from, int to) {
  double ink = 0.0, moment = 0.0;
  for (int x = from; x < to; ++x) {
    const double dark = (255 - row(0, x)) / 255.0;
    ink += dark;
    moment += dark * (x + 0.5);
  }
  REQUIRE(ink > 0.0);
  return {moment / ink - ink / 2.0, moment / ink + ink / 2.0};
}

// The distance of the bar's outer edges, mm, on a row through its end strokes; the bar's left end is near `left_mm`.
double bar_length_mm(const cv::Mat1b& page, double px_per_mm, double left_mm, double row_mm) {
  const cv::Mat1b row = page.row(static_cast<int>(row_mm * px_per_mm));
  const auto px = [&](double mm) { return static_cast<int>(std::lround(mm * px_per_mm)); };
  const double first = stroke_px(row, px(left_mm - 1.0), px(left_mm + 1.0)).first;
  const double last = stroke_px(row, px(left_mm + 99.0), px(left_mm + 101.0)).second;
  return (last - first) / px_per_mm;
}

}  // namespace

// Guarantees: the paper is ISO 216's A4 or ANSI's Letter, to a hundredth of a mm (refdata/paper_svg_wcag/paper.json:
// the sizes of PWG 5101.1). Example failure: a landscape page cut from upright paper.
TEST_CASE("pages have the size of their paper", "[sheets]") {
  const auto folder = shared_folder("refdata/paper_svg_wcag");
  if (!folder) return;
  const auto sizes = nlohmann::json::parse(TemporaryFolder::content(*folder / "paper.json"));
  for (const Paper paper : kPapers) {
    const auto& size = sizes[paper == Paper::a4 ? "A4_mm" : "US_letter_mm"];
    const double width = size[0].get<double>(), height = size[1].get<double>();
    const auto pages = printed(app::Sheet::setup, paper).page_sizes_mm();
    REQUIRE(pages.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) {
      CHECK_THAT(pages[i].width, WithinAbs(i == 0 ? height : width, 0.01));
      CHECK_THAT(pages[i].height, WithinAbs(i == 0 ? width : height, 0.01));
    }
  }
}

// Guarantees: no picture hides in the file, and the typeface travels with it.
TEST_CASE("sheets are lines and letters", "[sheets]") {
  const PrintedFile file = printed(app::Sheet::setup, Paper::a4);
  CHECK(file.images().empty());
  const auto fonts = file.fonts();
  CHECK_FALSE(fonts.empty());
  for (const std::string& font : fonts) {
    INFO(font);
    CHECK(font.find("+B612-") != std::string::npos);
    // Columns: embedded, a subset.
    CHECK(font.find("yes yes") != std::string::npos);
  }
}

// Guarantees: the bar that a person checks with a ruler is 100 mm long, and nothing is printed where a printer cannot.
// 0.05 mm: what a sharp eye reads off a ruler.
TEST_CASE("the scale bar is 100 mm long and the margins are empty", "[sheets]") {
  for (const Paper paper : kPapers) {
    const PrintedFile file = printed(app::Sheet::setup, paper);
    for (const int dpi : {200, 300}) {
      const double px_per_mm = dpi / 25.4;
      for (int number = 1; number <= 4; ++number) {
        CAPTURE(dpi, number);
        const cv::Mat1b page = file.page(number, dpi);
        const double width_mm = page.cols / px_per_mm;
        const double height_mm =
            number == 1 ? (paper == Paper::a4 ? 210.0 : 215.9) : (paper == Paper::a4 ? 297.0 : 279.4);
        // The calibration sheet's bar is flush with the pattern, the others' with the column; both stand 13 mm or
        // 7.4 mm below something known, and their strokes are 5 mm high.
        const double left_mm = number == 1 ? (width_mm - 225.0) / 2.0 : width_mm / 2.0 - 88.0;
        const double foot_mm = number == 1 ? (height_mm + 175.0) / 2.0 + 7.4 : height_mm - 13.0;
        CHECK_THAT(bar_length_mm(page, px_per_mm, left_mm, foot_mm - 4.5), WithinAbs(100.0, 0.05));
        cv::Mat1b ink;
        cv::subtract(255, page, ink);
        const int margin = static_cast<int>(10.0 * px_per_mm);
        ink(cv::Rect(margin, margin, page.cols - 2 * margin, page.rows - 2 * margin)).setTo(0);
        CHECK(cv::countNonZero(ink) == 0);
      }
    }
  }
}

// Guarantees: the calibration sheet is OpenCV's own board, square by square and module by module. Example failure: the
// black and white squares exchanged, as versions of OpenCV do with even row counts.
TEST_CASE("the calibration sheet is the board that OpenCV draws", "[sheets][chart]") {
  constexpr int kPxPerMm = 14;  // 36 px a module
  const cv::Mat theirs = bench::drawn_charuco(kPxPerMm);
  const cv::Mat1b page = app::sheet_picture(app::SetupSheet::calibration, Paper::a4, kPxPerMm);
  const cv::Mat1b ours =
      page(cv::Rect((page.cols - theirs.cols) / 2, (page.rows - theirs.rows) / 2, theirs.cols, theirs.rows));
  int differ = 0, compared = 0;
  for (int y = 0; y < 7 * 25; ++y) {
    for (int x = 0; x < 9 * 25; ++x) {
      // The middle of every millimetre, but where an edge runs through within a third of a millimetre.
      const cv::Rect around(x * kPxPerMm + 2, y * kPxPerMm + 2, kPxPerMm - 4, kPxPerMm - 4);
      double low = 0.0, high = 0.0;
      cv::minMaxLoc(theirs(around), &low, &high);
      if (low != high) continue;
      ++compared;
      if (std::abs(ours((2 * y + 1) * kPxPerMm / 2, (2 * x + 1) * kPxPerMm / 2) - low) > 1.0) ++differ;
    }
  }
  CHECK(compared > 20000);
  CHECK(differ == 0);
}

// Guarantees: in the printed file OpenCV finds every marker and corner by its id at its place. Example failure: corners
// counted from the lower left. Markers are held to their place on the page; corners to one another, because OpenCV's
// come out half a pixel off in some versions.
TEST_CASE("the printed calibration sheet is found whole by OpenCV", "[sheets][chart]") {
  for (const Paper paper : kPapers) {
    const PrintedFile file = printed(app::Sheet::calibration, paper);
    const cv::Point2d centre = paper == Paper::a4 ? cv::Point2d(148.5, 105.0) : cv::Point2d(139.7, 107.95);
    for (const int dpi : {150, 240}) {
      const double px_per_mm = dpi / 25.4;
      const cv::Mat1b page = file.page(1, dpi);
      const bench::SeenCharuco seen = bench::find_charuco(page);
      CAPTURE(dpi);
      REQUIRE(seen.markers.size() == 31);
      REQUIRE(seen.corners.size() == 48);
      for (const bench::PeerTag& marker : seen.markers) {
        // Two rows of markers in turn: four in the first, five in the second.
        const int pair = marker.id / 9, in_pair = marker.id % 9;
        const int row = 2 * pair + (in_pair >= 4 ? 1 : 0), column = in_pair >= 4 ? 2 * (in_pair - 4) : 2 * in_pair + 1;
        const cv::Point2d expected = centre + cv::Point2d(25.0 * (column - 4), 25.0 * (row - 3));
        cv::Point2d mean;
        for (const cv::Point2d& corner : marker.corners_px) mean += (corner + cv::Point2d(0.5, 0.5)) / px_per_mm / 4.0;
        CHECK(cv::norm(mean - expected) < 0.05);
        CHECK(marker.corners_px[0].x < marker.corners_px[1].x);
        CHECK(marker.corners_px[1].y < marker.corners_px[2].y);
      }
      std::vector<cv::Point2d> errors_mm;
      cv::Point2d mean_mm;
      for (const auto& [id, at_px] : seen.corners) {
        const cv::Point2d expected = centre + cv::Point2d(25.0 * (id % 8 - 3.5), 25.0 * (id / 8 - 2.5));
        errors_mm.push_back(at_px / px_per_mm - expected);
        mean_mm += errors_mm.back() / 48.0;
      }
      CHECK(cv::norm(mean_mm) * px_per_mm < 0.75);
      for (const cv::Point2d& error : errors_mm) CHECK(cv::norm(error - mean_mm) < 0.05);
    }
  }
}

// The template sheet as poppler renders its file: true to scale on one page and over several.
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/commands/print_template.h"
#include "app/sheets/template_sheets.h"
#include "tests/app/drawn_shape.h"
#include "tests/catch.h"
#include "tests/reference/printed_file.h"

namespace {

constexpr int kDpi = 300;
constexpr double kPxPerMm = kDpi / 25.4;

struct Printed {
  explicit Printed(const std::string& svg, app::Paper paper, std::optional<app::TrueSize> size = {}) {
    app::TemplateOptions options;
    options.drawing = folder.put("drawing.svg", svg);
    options.out_file = file;
    options.paper = paper;
    options.size = size;
    exit_code = app::run_print_template(options, out, err);
  }
  cv::Mat1b page(int number) const {
    const std::string picture = (folder.path / "page").string(), n = std::to_string(number);
    reference::output_of("pdftoppm -gray -singlefile -r " + std::to_string(kDpi) + " -f " + n + " -l " + n + ' ' +
                         file + ' ' + picture);
    const cv::Mat1b grey = cv::imread(picture + ".pgm", cv::IMREAD_GRAYSCALE);
    REQUIRE(!grey.empty());
    return grey;
  }
  TemporaryFolder folder;
  std::string file = (folder.path / "template.pdf").string();
  std::ostringstream out, err;
  int exit_code = -1;
};

// The middle of a dark line that crosses a row or a column between two places, mm from its beginning.
double line_mm(const cv::Mat1b& strip, double from_mm, double to_mm) {
  double ink = 0.0, moment = 0.0;
  for (int i = static_cast<int>(from_mm * kPxPerMm); i < static_cast<int>(to_mm * kPxPerMm); ++i) {
    const int grey = strip.rows == 1 ? strip(0, i) : strip(i, 0);
    if (grey > 150) continue;  // paper, the design's grey, and the edge between them
    ink += 255 - grey;
    moment += (255 - grey) * (i + 0.5);
  }
  REQUIRE(ink > 0.0);
  return moment / ink / kPxPerMm;
}

cv::Mat1b row(const cv::Mat1b& page, double y_mm) { return page.row(static_cast<int>(y_mm * kPxPerMm)); }
cv::Mat1b column(const cv::Mat1b& page, double x_mm) { return page.col(static_cast<int>(x_mm * kPxPerMm)); }

const std::string kRectangle = drawn::svg("width=\"120mm\" height=\"90mm\" viewBox=\"0 0 120 90\"",
                                          "<rect x=\"10\" y=\"10\" width=\"100\" height=\"70\"/>");

}  // namespace

// Guarantees: 0.1 mm between the printed outline's sides, and the cross in the middle of them.
TEST_CASE("a design on one page has its true size", "[sheets][template]") {
  for (const app::Paper paper : {app::Paper::a4, app::Paper::letter}) {
    const Printed printed(kRectangle, paper);
    INFO(printed.err.str());
    REQUIRE(printed.exit_code == 0);
    CHECK(printed.out.str().find("100.0 x 70.0 mm (3.94 x 2.76 in), 1 page") != std::string::npos);
    const cv::Mat1b page = printed.page(1);
    const double width = page.cols / kPxPerMm;
    // The design's middle is near the page's; its own lines run through it.
    const double middle_y = app::paper_size_mm(paper).height / 2.0 - app::template_place_mm(paper).y + 3.0;
    const cv::Mat1b across = row(page, middle_y + 27.0);  // clear of the sticker's place and of the axis
    const double left = line_mm(across, width / 2.0 - 53.0, width / 2.0 - 47.0);
    const double right = line_mm(across, width / 2.0 + 47.0, width / 2.0 + 53.0);
    CHECK_THAT(right - left, WithinAbs(100.0, 0.1));
    CHECK_THAT((right + left) / 2.0, WithinAbs(width / 2.0, 0.1));
    // The upright axis stands in the middle.
    CHECK_THAT(line_mm(across, width / 2.0 - 3.0, width / 2.0 + 3.0), WithinAbs((right + left) / 2.0, 0.1));
    const cv::Mat1b down = column(page, width / 2.0 + 40.0);
    const double top = line_mm(down, middle_y - 38.0, middle_y - 32.0);
    const double bottom = line_mm(down, middle_y + 32.0, middle_y + 38.0);
    CHECK_THAT(bottom - top, WithinAbs(70.0, 0.1));
    CHECK_THAT(line_mm(down, (top + bottom) / 2.0 - 3.0, (top + bottom) / 2.0 + 3.0),
               WithinAbs((top + bottom) / 2.0, 0.1));
  }
}

// Guarantees: pages laid together by their seam give the whole design to 0.1 mm. Example failure: the overlap is
// counted once too often.
TEST_CASE("a design over several pages has its true size where they are joined", "[sheets][template]") {
  const Printed printed(kRectangle, app::Paper::a4, app::TrueSize{280.0, {}});
  INFO(printed.err.str());
  REQUIRE(printed.exit_code == 0);
  // 280 x 196 mm: two pages beside one another, or turned.
  CHECK(printed.out.str().find("2 pages") != std::string::npos);
  const cv::Mat1b first = printed.page(1), second = printed.page(2);
  const double width = first.cols / kPxPerMm, height = first.rows / kPxPerMm;
  const double part_width = app::kColumnMm, left_edge = (width - part_width) / 2.0;
  const double middle_y = height / 2.0 - app::template_place_mm(app::Paper::a4).y;
  const double row_mm = middle_y + 60.0;  // clear of axis, sticker and marks' letters
  // The seam: the middle of the overlap on both pages.
  const double on_first = left_edge + part_width - app::kTemplateOverlapMm / 2.0;
  const double on_second = left_edge + app::kTemplateOverlapMm / 2.0;
  const auto seam = [&](const cv::Mat1b& page, double near_mm) {
    // Dashes: the darkest column nearby counts.
    double best = 0.0, ink = 0.0;
    for (double x = near_mm - 2.0; x < near_mm + 2.0; x += 0.5 / kPxPerMm) {
      double dark = 0.0;
      for (double y = row_mm - 15.0; y < row_mm + 15.0; y += 1.0 / kPxPerMm)
        dark += page(static_cast<int>(y * kPxPerMm), static_cast<int>(x * kPxPerMm)) < 200 ? 1.0 : 0.0;
      if (dark > ink) ink = dark, best = x;
    }
    REQUIRE(ink > 50.0);
    return best;
  };
  const double seam_first = seam(first, on_first), seam_second = seam(second, on_second);
  const double left = line_mm(row(first, row_mm), left_edge + 1.0, left_edge + 60.0);
  const double right = line_mm(row(second, row_mm), width - left_edge - 60.0, width - left_edge - 1.0);
  CHECK_THAT(seam_first - left + right - seam_second, WithinAbs(280.0, 0.15));
}

TEST_CASE("what a template wants is said", "[sheets][template][errors]") {
  const TemporaryFolder folder;
  std::ostringstream out, err;
  app::TemplateOptions options;
  CHECK(app::run_print_template(options, out, err) == 2);
  CHECK(err.str().find("name an SVG drawing, or a job with --job NAME") != std::string::npos);
  options.job = "No such job";
  options.station_file = folder.path / "station.toml";
  CHECK(app::run_print_template(options, out, err) == 2);
  CHECK(err.str().find("there is no job 'No such job'") != std::string::npos);
  options.job.reset();
  options.drawing = folder.put("a.svg", drawn::svg("width=\"96\" height=\"96\"", "<rect width=\"50\" height=\"50\"/>"));
  options.out_file = folder.path / "a.pdf";
  CHECK(app::run_print_template(options, out, err) == 0);
  CHECK(out.str().find("in pixels, 96 to an inch, which gives 13.2 x 13.2 mm") != std::string::npos);
  CHECK(app::run_print_template(options, out, err) == 2);
  CHECK(err.str().find("is there already") != std::string::npos);
  CHECK(folder.entries() == 2);
}

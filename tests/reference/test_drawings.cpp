// Drawings of published figures: paths whose lengths, areas and points others have computed.
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/design/convex_hull.h"
#include "calib/files.h"
#include "tests/app/drawn_shape.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "vision/geometry.h"

namespace {

using vision::kPi;
constexpr double kMmPerUnit = 0.2;  // so that the figures, some hundred units wide, are as large as designs

// tests/reference/data/svg/paths.json: figures of the W3C's SVG specification (w3c/svgwg @bc3a4f9c,
// master/images/paths) and their values from github regebro/svg.path @e63fb851, tests/test_paths.py.
nlohmann::json figures() {
  return nlohmann::json::parse(
      TemporaryFolder::content(std::string(HOOPGAUGE_SOURCE_DIR) + "/tests/reference/data/svg/paths.json"));
}

// On a page of 1400 x 1000 units that holds all of them, the origin at (200, 200).
app::Design design_of(const std::string& path, const std::string& more = "") {
  return drawn::read(drawn::svg("width=\"280mm\" height=\"200mm\" viewBox=\"-200 -200 1400 1000\"",
                                "<path d=\"" + path + "\" " + more + "/>"))
      .design;
}

cv::Point2d point(const nlohmann::json& xy) { return {xy[0].get<double>(), xy[1].get<double>()}; }

std::string text(const nlohmann::json& xy) {
  return std::to_string(xy[0].get<double>()) + " " + std::to_string(xy[1].get<double>()) + " ";
}

double area_of(const app::Design& design) {
  double area = 0.0;
  for (const auto& outline : design.outlines_mm) area += drawn::area_of(outline);
  return area;
}

}  // namespace

// Guarantees: arcs with both flags as the specification says. The sectors' areas are elementary: three quarters and one
// quarter of a disc of radius 150.
TEST_CASE("the specification's sectors have their lengths and areas", "[drawing]") {
  const auto closed = figures()["closed_form"];
  const double quarter = kPi * 150.0 * 150.0 / 4.0 * kMmPerUnit * kMmPerUnit;
  for (const auto& [index, quarters] : {std::pair{0, 3.0}, {1, 1.0}}) {
    const app::Design design = design_of(closed[index]["d"]);
    REQUIRE(design.outlines_mm.size() == 1);
    // The simplified outline cuts corners: 0.1 mm along the way of some hundred.
    CHECK_THAT(drawn::length_of(design.outlines_mm[0]),
               WithinAbs(kMmPerUnit * closed[index]["value"].get<double>(), 0.3));
    CHECK_THAT(area_of(design), WithinAbs(quarters * quarter, 0.001 * quarter));
  }
}

// Radii too small are scaled up, negative ones taken without their sign: both are half discs of radius 100 then. A
// radius of zero is a straight line, and equal end points are no arc: both have no area to be filled.
TEST_CASE("odd arcs are drawn as the specification says", "[drawing]") {
  const auto closed = figures()["closed_form"];
  for (const int index : {3, 4}) {
    const app::Design design = design_of(closed[index]["d"]);
    CHECK_THAT(design.size_mm.width, WithinAbs(200.0 * kMmPerUnit, 0.1));
    CHECK_THAT(design.size_mm.height, WithinAbs(100.0 * kMmPerUnit, 0.1));
    CHECK_THAT(area_of(design), WithinAbs(kPi * 20.0 * 20.0 / 2.0, 1.0));
  }
  for (const int index : {5, 6})
    CHECK(error_of([&] { design_of(closed[index]["d"]); }).find("nothing is drawn in it") != std::string::npos);
  const app::Design line = design_of(closed[5]["d"], "stroke=\"black\" stroke-width=\"10\"");
  CHECK_THAT(line.size_mm.width, WithinAbs(kMmPerUnit * std::stod(closed[5]["length"].get<std::string>()), 0.1));
  CHECK_THAT(line.size_mm.height, WithinAbs(2.0, 0.1));
}

// Guarantees: published points on Bezier curves lie on the outline to 0.1 mm. The curve is closed by a straight line,
// which two points beside the figure fix: a small square far from it, so that the box is known.
TEST_CASE("published points of curves lie on the outline", "[drawing]") {
  int checked = 0;
  const nlohmann::json all = figures();
  for (const auto& figure : all.at("bezier_points")) {
    const bool cubic = figure.contains("cubic");
    const auto& p = figure[cubic ? "cubic" : "quad"];
    std::string path = "M" + text(p[0]) + (cubic ? "C" : "Q");
    for (std::size_t i = 1; i < p.size(); ++i) path += text(p[i]);
    // Two squares of 10 units at the page's corners: the box is (-150, -150) to (1150, 750), its middle (500, 300).
    const app::Design design = design_of(path + "z M-150 -150h10v10h-10z M1140 740h10v10h-10z");
    CHECK_THAT(design.size_mm.width, WithinAbs(1300.0 * kMmPerUnit, 0.1));
    for (const char* at : {"t0.3", "t0.5", "t0.9"}) {
      const cv::Point2d unit = point(figure[at]);
      const cv::Point2d in_design((unit.x - 500.0) * kMmPerUnit, (300.0 - unit.y) * kMmPerUnit);
      INFO(path << " at " << at);
      // A curve through the middle of its own chord is closed there and has no outline at that point.
      if (cv::norm(unit - (point(p.front()) + point(p.back())) / 2.0) < 1.0) continue;
      CHECK(drawn::distance_to(in_design, design.outlines_mm) < app::kOutlineTolerance_mm);
      ++checked;
    }
  }
  CHECK(checked >= 14);
}

// The ellipse's arc of the specification's flags: P(t) = (100 - 100 cos, 50 sin), mid point given.
TEST_CASE("an elliptic arc runs through its middle", "[drawing]") {
  const app::Design design = design_of("M0,0 A100,50 0 0 0 100,50 L100,0z");
  // Box (0, 0) to (100, 50).
  CHECK_THAT(design.size_mm.width, WithinAbs(20.0, 0.1));
  const cv::Point2d middle((29.2893218813 - 50.0) * kMmPerUnit, (25.0 - 35.3553390593) * kMmPerUnit);
  CHECK(drawn::distance_to(middle, design.outlines_mm) < app::kOutlineTolerance_mm);
}

// Drawings whose outlines are known in closed form, and how their size is said.
#include <SDL_ttf.h>

#include <cmath>

#include "app/design/convex_hull.h"
#include "app/design/drawing.h"
#include "app/jobs/job.h"
#include "app/screen/text.h"
#include "calib/files.h"
#include "tests/app/drawn_shape.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "vision/geometry.h"

namespace {

using Points = std::vector<cv::Point2d>;
using vision::kPi;

const char* const kPage = "width=\"100mm\" height=\"80mm\" viewBox=\"0 0 100 80\"";

Points rectangle(double width, double height) {
  return {{-width / 2, -height / 2}, {width / 2, -height / 2}, {width / 2, height / 2}, {-width / 2, height / 2}};
}
Points turned(Points points, double angle_deg) {
  const vision::Pose2 turn{{0.0, 0.0}, angle_deg * vision::kRadPerDeg};
  for (cv::Point2d& p : points) p = vision::apply(turn, p);
  return points;
}
Points ellipse(double rx, double ry) {
  return drawn::polygon([=](double t) { return cv::Point2d(rx * std::cos(2 * kPi * t), ry * std::sin(2 * kPi * t)); });
}

// Its outlines are these, and its hull the hull of these.
void check(const std::string& body, const std::vector<Points>& truth, const std::string& attributes = kPage) {
  INFO(body);
  const app::Drawing drawing = drawn::read(drawn::svg(attributes, body));
  const app::Design& design = drawing.design;
  CHECK(design.outlines_mm.size() == truth.size());
  CHECK(drawn::largest_distance(design.outlines_mm, truth) < app::kOutlineTolerance_mm);
  Points all;
  for (const Points& one : truth) all.insert(all.end(), one.begin(), one.end());
  CHECK(drawn::largest_distance({design.hull_mm}, {app::convex_hull(all)}) < app::kOutlineTolerance_mm);
  CHECK(drawn::area_of(design.hull_mm) > 0.0);
}

cv::Size2d size_of(const std::string& attributes, const std::string& body) {
  return drawn::read(drawn::svg(attributes, body)).design.size_mm;
}

}  // namespace

TEST_CASE("the convex hull goes round once, counter-clockwise, without points on its sides", "[design]") {
  CHECK(app::convex_hull({{0, 0}, {2, 0}, {1, 0}, {2, 2}, {0, 2}, {1, 1}, {0, 1}, {2, 2}}) ==
        Points{{0, 0}, {2, 0}, {2, 2}, {0, 2}});
  CHECK(app::convex_hull({{0, 0}, {1, 1}, {2, 2}}).size() < 3);
  CHECK(app::convex_hull({}).empty());
}

// Guarantees: outline and hull to 0.1 mm. Example failure: everything half a pixel to the right, or upside down.
TEST_CASE("outlines are where the figures' formulae put them", "[drawing]") {
  check("<rect x=\"10.03\" y=\"5.07\" width=\"50\" height=\"30\"/>", {rectangle(50, 30)});
  check("<rect x=\"-20\" y=\"-10\" width=\"40\" height=\"20\" transform=\"translate(50 40) rotate(-30)\"/>",
        {turned(rectangle(40, 20), 30)});
  check("<circle cx=\"50.5\" cy=\"40.25\" r=\"30\"/>", {ellipse(30, 30)});
  check("<ellipse cx=\"50\" cy=\"40\" rx=\"45\" ry=\"12.3\" fill=\"#0f0\"/>", {ellipse(45, 12.3)});
  // A stroke has two outlines.
  check("<circle cx=\"50\" cy=\"40\" r=\"25\" fill=\"none\" stroke=\"blue\" stroke-width=\"4\"/>",
        {ellipse(27, 27), ellipse(23, 23)});
  check("<path d=\"M20 20h60v40h-60z M30 30v20h40v-20z\" fill-rule=\"evenodd\"/>",
        {rectangle(60, 40), rectangle(40, 20)});
  check(
      "<clipPath id=\"c\"><circle cx=\"50\" cy=\"40\" r=\"20\"/></clipPath>"
      "<rect width=\"100\" height=\"80\" clip-path=\"url(#c)\"/>",
      {ellipse(20, 20)});
  check(
      "<mask id=\"m\"><circle cx=\"50\" cy=\"40\" r=\"20\" fill=\"white\"/></mask>"
      "<rect width=\"100\" height=\"80\" mask=\"url(#m)\"/>",
      {ellipse(20, 20)});
  check("<defs><rect id=\"r\" width=\"8\" height=\"4\"/></defs><use xlink:href=\"#r\" x=\"30\" y=\"30\"/>",
        {rectangle(8, 4)});
  // Two pieces, their places against one another.
  check("<path d=\"M10 10h10v10h-10z M60 40h20v30h-20z\"/>",
        {{{-35, 20}, {-25, 20}, {-25, 30}, {-35, 30}}, {{15, -30}, {35, -30}, {35, 0}, {15, 0}}});
}

// Guarantees: the top is up and left is left, outer outlines run counter-clockwise, inner ones clockwise.
TEST_CASE("a drawing is not mirrored, turned or inside out", "[drawing][sign]") {
  const app::Design design =
      drawn::read(drawn::svg(kPage, "<path d=\"M20 20h60v40h-60z M25 25v10h5v-10z\" fill-rule=\"evenodd\"/>")).design;
  REQUIRE(design.outlines_mm.size() == 2);
  const bool first_is_outer = std::abs(drawn::area_of(design.outlines_mm[0])) > 1000.0;
  const Points& outer = design.outlines_mm[first_is_outer ? 0 : 1];
  const Points& inner = design.outlines_mm[first_is_outer ? 1 : 0];
  CHECK_THAT(drawn::area_of(outer), WithinAbs(2400.0, 5.0));
  CHECK_THAT(drawn::area_of(inner), WithinAbs(-50.0, 1.0));
  // The hole lies to the left, near the top.
  for (const cv::Point2d& p : inner) {
    CHECK(p.x < -19.0);
    CHECK(p.y > 4.0);
  }
}

// Guarantees: thin things are not lost. Example failure: a hair line that covers a tenth of a pixel has no outline.
TEST_CASE("hair lines, sharp tips and thin paint are ink", "[drawing]") {
  CHECK_THAT(size_of(kPage, "<path d=\"M10 10L90 70\" stroke=\"red\" stroke-width=\"0.02\"/>").width,
             WithinAbs(80.0, 0.1));
  CHECK_THAT(size_of(kPage, "<path d=\"M10 40L90 36V44z\"/>").width, WithinAbs(80.0, 0.25));
  CHECK_THAT(size_of(kPage, "<circle cx=\"50\" cy=\"40\" r=\"30\" opacity=\"0.15\"/>").width, WithinAbs(60.0, 0.1));
}

// Against FreeType, which SDL_ttf asks: a font of 1000 px has its letters' boxes in thousandths of the em.
TEST_CASE("a letter has the size that the typeface gives it", "[drawing][text]") {
  REQUIRE(TTF_Init() == 0);
  const auto file = app::find_font(app::Weight::regular);
  REQUIRE(file);
  TTF_Font* font = TTF_OpenFont(file->c_str(), 1000);
  REQUIRE(font != nullptr);
  int left = 0, right = 0, bottom = 0, top = 0;
  TTF_SetFontHinting(font, TTF_HINTING_NONE);
  CHECK(TTF_GlyphMetrics(font, 'H', &left, &right, &bottom, &top, nullptr) == 0);
  TTF_CloseFont(font);
  TTF_Quit();
  constexpr double kEm_mm = 40.0;
  const cv::Size2d size = size_of(kPage, "<text x=\"20\" y=\"60\" font-family=\"B612\" font-size=\"40\">H</text>");
  CHECK_THAT(size.width, WithinAbs(kEm_mm * (right - left) / 1000.0, 0.15));
  CHECK_THAT(size.height, WithinAbs(kEm_mm * (top - bottom) / 1000.0, 0.15));
}

// CSS Values and Units 3, section 5.2: 1 in = 2.54 cm = 96 px, 1 pt = 1/72 in, 1 pc = 12 pt.
TEST_CASE("a drawing's size in every unit", "[drawing][units]") {
  const std::string box = "<rect width=\"10\" height=\"10\"/>", view = " viewBox=\"0 0 10 10\"";
  const auto side = [&](const std::string& length) {
    return drawn::read(drawn::svg("width=\"" + length + "\" height=\"" + length + "\"" + view, box));
  };
  for (const auto& [length, mm] :
       {std::pair{"40mm", 40.0}, {"4cm", 40.0}, {"2in", 50.8}, {"72pt", 25.4}, {"6pc", 25.4}}) {
    INFO(length);
    const app::Drawing drawing = side(length);
    CHECK_THAT(drawing.design.size_mm.width, WithinAbs(mm, 0.05));
    CHECK(drawing.scale == app::DrawingScale::physical);
  }
  for (const char* length : {"96", "96px"}) {
    const app::Drawing drawing = side(length);
    CHECK_THAT(drawing.design.size_mm.width, WithinAbs(25.4, 0.05));
    CHECK(drawing.scale == app::DrawingScale::pixels);
  }
  // One side alone: the other follows from the viewBox.
  const app::Drawing wide =
      drawn::read(drawn::svg("width=\"50mm\" viewBox=\"0 0 10 20\"", "<rect width=\"10\" height=\"20\"/>"));
  CHECK_THAT(wide.design.size_mm.height, WithinAbs(100.0, 0.1));
  CHECK(wide.scale == app::DrawingScale::physical);
}

TEST_CASE("the picture is fitted to its page as the viewBox and preserveAspectRatio say", "[drawing][units]") {
  const std::string circle = "<circle cx=\"5\" cy=\"5\" r=\"5\"/>";
  const auto size = [&](const std::string& how) {
    return size_of("width=\"80mm\" height=\"40mm\" viewBox=\"0 0 10 10\" preserveAspectRatio=\"" + how + "\"", circle);
  };
  CHECK_THAT(size("xMidYMid meet").width, WithinAbs(40.0, 0.1));
  CHECK_THAT(size("none").width, WithinAbs(80.0, 0.1));
  CHECK_THAT(size("none").height, WithinAbs(40.0, 0.1));
  CHECK_THAT(size("xMidYMid slice").width, WithinAbs(80.0, 0.1));
  // Cut off at the page.
  CHECK_THAT(size("xMidYMid slice").height, WithinAbs(40.0, 0.1));
  // A viewBox that begins elsewhere, and per cents of it.
  CHECK_THAT(size_of("width=\"60mm\" height=\"30mm\" viewBox=\"-100 -50 200 100\"",
                     "<rect x=\"-25%\" y=\"-25%\" width=\"50%\" height=\"50%\"/>")
                 .width,
             WithinAbs(30.0, 0.1));
}

TEST_CASE("a drawing without a size wants one", "[drawing][units][errors]") {
  const TemporaryFolder folder;
  const auto no_size = folder.put("a.svg", drawn::svg("viewBox=\"0 0 20 10\"", "<rect width=\"20\" height=\"10\"/>"));
  const auto nothing = folder.put("b.svg", drawn::svg("", "<rect x=\"5\" y=\"5\" width=\"20\" height=\"10\"/>"));
  for (const auto& file : {no_size, nothing}) {
    const std::string said = error_of([&] { app::read_drawing(file); });
    INFO(said);
    CHECK(said.find(file.string() + ": does not say how large it is") == 0);
    CHECK(said.find("design_mm = [80.0, 40.0]") != std::string::npos);
    const app::Drawing drawing = app::read_drawing(file, app::TrueSize{300.0, {}});
    CHECK(drawing.scale == app::DrawingScale::none);
    CHECK_THAT(drawing.design.size_mm.width, WithinAbs(300.0, 1e-6));
    CHECK_THAT(drawing.design.size_mm.height, WithinAbs(150.0, 0.1));
  }
}

TEST_CASE("a true size that is another drawing's is refused, with the one that fits", "[drawing][units][errors]") {
  const TemporaryFolder folder;
  const auto file = folder.put("a.svg", drawn::svg(kPage, "<rect x=\"10\" y=\"10\" width=\"40\" height=\"20\"/>"));
  const app::Drawing larger = app::read_drawing(file, app::TrueSize{80.0, 40.2});
  CHECK_THAT(larger.resized, WithinAbs(2.0, 0.01));
  CHECK_THAT(larger.design.size_mm.width, WithinAbs(80.0, 1e-6));
  const std::string said = error_of([&] { app::read_drawing(file, app::TrueSize{80.0, 60.0}); });
  INFO(said);
  CHECK(said.find("is 40.0 mm high where it is 80.0 mm wide, and not 60.0; write design_mm = [80.0, 40.0]") !=
        std::string::npos);
}

TEST_CASE("ink along the page's edge is told, because it may go on beyond it", "[drawing]") {
  CHECK(drawn::read(drawn::svg(kPage, "<circle cx=\"50\" cy=\"5\" r=\"20\"/>")).reaches_edge);
  CHECK_FALSE(drawn::read(drawn::svg(kPage, "<circle cx=\"50\" cy=\"40\" r=\"20\"/>")).reaches_edge);
  // It is cut off there.
  CHECK_THAT(size_of(kPage, "<circle cx=\"50\" cy=\"0\" r=\"20\"/>").height, WithinAbs(20.0, 0.1));
}

TEST_CASE("a job's design is its drawing, its size, or both", "[design]") {
  const TemporaryFolder folder;
  folder.put("oak.svg", drawn::svg(kPage, "<circle cx=\"50\" cy=\"40\" r=\"20\"/>"));
  app::Job job;
  CHECK_FALSE(app::design_of(job, folder.path));
  job.design_mm = cv::Size2d(30.0, 20.0);
  CHECK(app::design_of(job, folder.path)->hull_mm.size() == 4);
  job.design_file = "oak.svg";
  CHECK(error_of([&] { app::design_of(job, folder.path); }).find("oak.svg: is 30.0 mm high") != std::string::npos);
  job.design_mm = cv::Size2d(30.0, 30.0);
  CHECK_THAT(app::design_of(job, folder.path)->size_mm.height, WithinAbs(30.0, 0.1));
  job.design_mm.reset();
  CHECK_THAT(app::design_of(job, folder.path)->size_mm.height, WithinAbs(40.0, 0.1));
  job.design_file = "none.svg";
  CHECK(error_of([&] { app::design_of(job, folder.path); }).find("none.svg: cannot be read") != std::string::npos);
}

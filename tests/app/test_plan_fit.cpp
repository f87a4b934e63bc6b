// What the plan shows of a design's fit, in pictures.
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "app/fit/fit.h"
#include "app/screen/window.h"
#include "app/views/plan_view.h"
#include "tests/app/fake_result.h"
#include "tests/app/screen_pictures.h"
#include "tests/catch.h"

namespace {

namespace theme = app::theme;
using vision::kRadPerDeg;
using vision::Pose2;

struct Plans {
  vision::Hoop hoop = fake::hoop();  // a field of 130 x 180
  app::Plan plan;
  app::Design design;
  app::Fit fit;

  explicit Plans(app::Design one, const Pose2& pose = {}) : design(std::move(one)) {
    plan.hoop = &hoop;
    plan.board_from_hoop = Pose2{};
    plan.design = &design;
    plan.hoop_from_sticker = pose;
    plan.tolerance.offset_mm = 0.5;
    judge(pose);
  }
  void judge(const Pose2& pose) {
    fit = app::fit(design, app::field_of(hoop), pose);
    plan.fit = &fit;
  }
  // Drawn twice as large, as the window does.
  cv::Mat picture() const {
    const auto window = app::Window::in_memory({600, 600});
    app::Canvas canvas(window->renderer());
    app::Text text(window->renderer());
    canvas.clear(theme::kGround);
    app::draw_plan(canvas, text, app::Scale(2560, 1600), {0.0F, 0.0F, 1200.0F, 1200.0F}, plan);
    return window->picture();
  }
  cv::Point at(cv::Point2d p_in_hoop) const {
    const app::PlanMap map(hoop, 0.0, {0.0F, 0.0F, 1200.0F, 1200.0F}, app::Scale(2560, 1600).mm(2.5));
    const SDL_FPoint p = map.at(p_in_hoop);
    return {static_cast<int>(p.x / 2.0F), static_cast<int>(p.y / 2.0F)};
  }
  // How much of a colour stands within some pixels of a point.
  int ink(const cv::Mat& picture, app::Colour colour, cv::Point2d p_in_hoop, int around = 4) const {
    const cv::Rect box(at(p_in_hoop) - cv::Point(around, around), cv::Size(2 * around + 1, 2 * around + 1));
    return cv::countNonZero(where(picture, colour)(box & cv::Rect(0, 0, 600, 600)));
  }
};

int all_ink(const cv::Mat& picture, app::Colour colour) { return cv::countNonZero(where(picture, colour)); }

}  // namespace

// By hand: moved up by 40, 100 x 60 reaches 70 upwards of 90; the gap's line is anywhere on its upper side, from the
// corner at which it was found.
TEST_CASE("the smallest gap is marked where it is", "[plan][fit]") {
  const Plans plans(app::rectangle_design({100.0, 60.0}), {{0.0, 40.0}, 0.0});
  REQUIRE_THAT(plans.fit.gap_mm, WithinAbs(13.0, 1e-9));
  const cv::Mat picture = plans.picture();
  const cv::Point2d middle = 0.5 * (plans.fit.at_mm + plans.fit.on_edge_mm);
  CHECK(plans.ink(picture, theme::kWithin, middle) > 5);
  CHECK(plans.ink(picture, theme::kWithin, {-middle.x, -middle.y}) == 0);
  CHECK(all_ink(picture, theme::kTrouble) == 0);
}

TEST_CASE("what sticks out is crossed, with the slide as an arrow and the nearest fit dashed", "[plan][fit]") {
  const Plans plans(app::rectangle_design({60.0, 50.0}), {{60.0, -30.0}, 0.0});
  const cv::Mat picture = plans.picture();
  CHECK(plans.ink(picture, theme::kTrouble, plans.fit.at_mm) > 10);
  REQUIRE(plans.fit.slide_mm);
  CHECK_THAT(plans.fit.slide_mm->x, WithinAbs(-27.0, 1e-6));
  CHECK(plans.ink(picture, theme::kMove, cv::Point2d(60.0, -30.0) + 0.6 * *plans.fit.slide_mm) > 5);
  REQUIRE(plans.fit.hoop_from_design_nearest);
  const cv::Point2d lower_left = vision::apply(*plans.fit.hoop_from_design_nearest, {-30.0, -25.0});
  CHECK(plans.ink(picture, theme::kWithin, lower_left, 20) > 10);
  // While the cloth is on its way nothing is said.
  Plans quiet = plans;
  quiet.plan.design = &quiet.design;
  quiet.plan.hoop = &quiet.hoop;
  quiet.plan.fit = &quiet.fit;
  quiet.plan.hidden = true;
  CHECK(all_ink(quiet.picture(), theme::kTrouble) == 0);
}

TEST_CASE("the design as entered stands beside the wanted one only where that can be seen", "[plan][fit]") {
  Plans plans(app::rectangle_design({80.0, 50.0}));
  plans.plan.hoop_from_entered = Pose2{{0.02, 0.0}, 0.0};
  const int alone = all_ink(plans.picture(), theme::kTextQuiet);
  plans.plan.hoop_from_entered = Pose2{{0.0, 0.0}, 4.0 * kRadPerDeg};
  const cv::Mat both = plans.picture();
  CHECK(all_ink(both, theme::kTextQuiet) > alone + 40);
  CHECK(plans.ink(both, theme::kText, vision::apply(*plans.plan.hoop_from_entered, {40.0, -25.0})) > 5);
}

// Guarantees: what is stitched is drawn, not the box around it.
TEST_CASE("a design is drawn by its outlines", "[plan][fit]") {
  app::Design ring = app::rectangle_design({80.0, 80.0});
  ring.outlines_mm.emplace_back();
  for (int i = 0; i < 60; ++i)
    ring.outlines_mm[0].emplace_back(40.0 * std::cos(i * vision::kPi / 30.0), 40.0 * std::sin(i * vision::kPi / 30.0));
  const Plans plans(ring);
  const cv::Mat picture = plans.picture();
  CHECK(plans.ink(picture, theme::kText, {-40.0 * std::sqrt(0.5), -40.0 * std::sqrt(0.5)}) > 3);
  CHECK(plans.ink(picture, theme::kText, {-40.0, -40.0}) == 0);
}

TEST_CASE("a field has its own shape on the plan", "[plan][fit]") {
  Plans plans(app::rectangle_design({20.0, 20.0}));
  const auto marked = [&](cv::Point2d p) { return plans.ink(plans.picture(), theme::kMark, p, 12); };
  CHECK(marked({65.0, 90.0}) > 5);
  plans.hoop.field_corner_mm = 40.0;
  CHECK(marked({65.0, 90.0}) == 0);
  const double diagonal = 40.0 * (1.0 - std::sqrt(0.5));
  CHECK(marked({65.0 - diagonal, 90.0 - diagonal}) > 5);
  plans.hoop.field_corner_mm = 0.0;
  plans.hoop.field_is_round = true;
  CHECK(marked({65.0, 90.0}) == 0);
  CHECK(marked({65.0 * std::cos(1.0), 90.0 * std::sin(1.0)}) > 5);
}

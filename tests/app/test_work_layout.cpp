// Where the parts of the work view lie, and its plan to scale: arithmetic, at many sizes.
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "app/screen/button.h"
#include "app/screen/window.h"
#include "app/views/plan_view.h"
#include "app/views/work_layout.h"
#include "tests/app/fake_result.h"
#include "tests/app/screen_pictures.h"
#include "tests/app/work_bench.h"
#include "tests/catch.h"

namespace {

bool inside(const SDL_FRect& r, int width, int height) {
  return r.x >= 0.0F && r.y >= 0.0F && r.w > 0.0F && r.h > 0.0F && r.x + r.w <= static_cast<float>(width) + 0.01F &&
         r.y + r.h <= static_cast<float>(height) + 0.01F;
}

bool apart(const SDL_FRect& a, const SDL_FRect& b) {
  return a.x + a.w <= b.x + 0.01F || b.x + b.w <= a.x + 0.01F || a.y + a.h <= b.y + 0.01F || b.y + b.h <= a.y + 0.01F;
}

// A plan alone, in a square picture of 600 px; the drawing is twice as fine.
cv::Mat plan_picture(const app::Plan& plan) {
  const auto window = app::Window::in_memory({600, 600});
  app::Canvas canvas(window->renderer());
  app::Text text(window->renderer());
  canvas.clear(app::theme::kGround);
  app::draw_plan(canvas, text, app::Scale(2560, 1600), {0.0F, 0.0F, 1200.0F, 1200.0F}, plan);
  return window->picture();
}

app::Plan plan_of(const vision::Hoop& hoop, double hoop_deg) {
  app::Plan plan;
  plan.hoop = &hoop;
  plan.board_from_hoop = vision::Pose2{{3.0, -2.0}, hoop_deg * vision::kRadPerDeg};
  return plan;
}

cv::Rect box_of(const cv::Mat& picture, app::Colour colour) { return cv::boundingRect(where(picture, colour)); }

}  // namespace

TEST_CASE("the parts of the work view lie inside the screen and do not overlap, at any size", "[workview][layout]") {
  for (const auto& [w, h] : {std::pair{1024, 600},
                             {1280, 800},
                             {1920, 1080},
                             {800, 480},
                             {3840, 2160},
                             {1024, 768},
                             {600, 1024},
                             {800, 1280},
                             {1080, 1920},
                             {720, 720},
                             {2560, 1080}}) {
    INFO(w << " x " << h);
    const app::WorkLayout l = app::work_layout(w, h);
    const std::array parts{l.headline, l.large, l.small, l.facts, l.readout, l.caution, l.who, l.deeds};
    for (std::size_t i = 0; i < parts.size(); ++i) {
      INFO("part " << i);
      CHECK(inside(parts[i], w, h));
      for (std::size_t j = 0; j < i; ++j) CHECK(apart(parts[i], parts[j]));
    }
    for (std::size_t i = 1; i < l.rows.size(); ++i) CHECK(apart(l.rows[i - 1], l.rows[i]));
    // Digits and what stands over them: 25 + 2.2 + 2.2 + 3.5 mm; beside them: 25 mm and room around.
    for (const SDL_FRect& row : l.rows) CHECK(row.h >= l.scale.mm(l.landscape ? 34.0 : 28.0));
    // Sign and "0.18" with its margins: 15.9 + 74 + 2.5 mm.
    for (const SDL_FRect& row : l.rows) CHECK(row.w >= l.scale.mm(92.4));
    // To be touched: the small picture, and the buttons' rows.
    for (const SDL_FRect& touched : {l.small, l.who, l.deeds}) {
      CHECK(touched.h >= l.scale.mm(app::kTouch_mm) - 0.01F);
      CHECK(touched.w >= l.scale.mm(app::kTouch_mm));
    }
    CHECK(l.large.w >= l.scale.mm(40.0));
    CHECK(l.large.h >= l.scale.mm(40.0));
  }
}

TEST_CASE("every button of the work view can be touched", "[workview][layout]") {
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1024, 768), cv::Size(1920, 1080),
                               cv::Size(800, 1280), cv::Size(1080, 1920)}) {
    WorkBench bench(size);
    bench.desk.health.live_camera = true;
    bench.desk.health.stale = true;  // the most buttons
    bench.held(1.0, 1.0, 0.2).draw();
    const float least = bench.layout().scale.mm(app::kTouch_mm) - 0.01F;
    const auto& buttons = bench.view.buttons().all();
    CHECK(buttons.size() == 7);
    for (std::size_t i = 0; i < buttons.size(); ++i) {
      INFO(buttons[i].label);
      CHECK(buttons[i].area.w >= least);
      CHECK(buttons[i].area.h >= least);
      for (std::size_t j = 0; j < i; ++j) CHECK(apart(buttons[i].area, buttons[j].area));
    }
  }
}

// 140 x 190 mm inside, 152 x 202 mm outside, 130 x 180 mm of field: the made-up hoop.
TEST_CASE("the plan is to scale", "[workview][plan]") {
  const vision::Hoop hoop = fake::hoop();
  app::Plan plan = plan_of(hoop, 0.0);
  plan.tolerance.offset_mm = 10.0;
  const cv::Mat picture = plan_picture(plan);
  const cv::Rect outer = box_of(picture, app::theme::kRing);
  const double px_per_mm = outer.height / 202.0;
  CHECK_THAT(outer.width / px_per_mm, WithinAbs(152.0, 1.0));
  const cv::Rect field = box_of(picture, app::theme::kMark);
  CHECK_THAT(field.width / px_per_mm, WithinAbs(130.0, 1.5));
  CHECK_THAT(field.height / px_per_mm, WithinAbs(180.0, 1.5));
  const cv::Rect tolerance = box_of(picture, app::theme::kWithin);
  CHECK_THAT(tolerance.width / px_per_mm, WithinAbs(20.0, 1.5));
  CHECK_THAT(tolerance.height / px_per_mm, WithinAbs(20.0, 1.5));
  const app::PlanMap map(hoop, 0.0, {0.0F, 0.0F, 1200.0F, 1200.0F}, app::Scale(2560, 1600).mm(2.5));
  CHECK_THAT(map.px_per_mm(), WithinAbs(2.0 * px_per_mm, 0.05));
}

// Guarantees: the plan's right is the operator's right. Example failure: the sticker drawn on the mirrored side.
TEST_CASE("the sticker lies on the plan as on the board", "[workview][plan][sign]") {
  const vision::Hoop hoop = fake::hoop();
  const auto middle = [](const cv::Rect& box) {
    return cv::Point2d(box.x + box.width / 2.0, box.y + box.height / 2.0);
  };
  app::Plan plan = plan_of(hoop, 0.0);
  plan.hoop_from_sticker = vision::Pose2{{20.0, 40.0}, 0.0};
  cv::Point2d at = middle(box_of(plan_picture(plan), app::theme::kSticker));
  CHECK(at.x > 300.0 + 30.0);
  CHECK(at.y < 300.0 - 60.0);
  plan = plan_of(hoop, 90.0);  // the hoop's east points away from the operator, its north to the left
  plan.hoop_from_sticker = vision::Pose2{{20.0, 40.0}, 0.0};
  at = middle(box_of(plan_picture(plan), app::theme::kSticker));
  CHECK(at.x < 300.0 - 60.0);
  CHECK(at.y < 300.0 - 30.0);
}

TEST_CASE("a hoop that is not seen is dashed, a design that reaches out is crossed", "[workview][plan]") {
  const vision::Hoop hoop = fake::hoop();
  app::Plan plan = plan_of(hoop, 0.0);
  const auto ink = [](const cv::Mat& picture, app::Colour colour) { return cv::countNonZero(where(picture, colour)); };
  const int whole = ink(plan_picture(plan), app::theme::kRing);
  plan.board_from_hoop.reset();
  CHECK(ink(plan_picture(plan), app::theme::kRing) < 0.75 * whole);

  plan = plan_of(hoop, 0.0);
  plan.hoop_from_sticker = vision::Pose2{};
  const app::Design design = app::rectangle_design({100.0, 60.0});
  plan.design = &design;
  CHECK(ink(plan_picture(plan), app::theme::kTrouble) == 0);
  CHECK(box_of(plan_picture(plan), app::theme::kText).width > 100);
  plan.hoop_from_sticker = vision::Pose2{{20.0, 0.0}, 0.0};  // 70 mm of 65
  const app::Fit fit = app::fit(design, app::field_of(hoop), *plan.hoop_from_sticker);
  plan.fit = &fit;
  CHECK(ink(plan_picture(plan), app::theme::kTrouble) > 100);
  plan.hidden = true;  // the cloth is still on its way
  CHECK(ink(plan_picture(plan), app::theme::kTrouble) == 0);
}

// The work view, drawn into memory from made-up results and looked at as a picture.
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "app/jobs/job_store.h"
#include "tests/app/screen_pictures.h"
#include "tests/app/work_bench.h"
#include "tests/catch.h"

namespace {

using View = app::WorkView;
const cv::Size kUsual(1280, 800);

const std::vector<cv::Size>& sizes() {
  static const std::vector<cv::Size> all{{1024, 600}, {1280, 800}, {1920, 1080}, {800, 1280}};
  return all;
}

// A row's digits: its right part, below the words in landscape, without the frame of held numbers.
SDL_FRect digits_of(const WorkBench& bench, std::size_t row) {
  SDL_FRect r = bench.layout().rows[row];
  const app::Scale& scale = bench.layout().scale;
  const float left = scale.mm(bench.layout().landscape ? 15.5 : 28.0), line = scale.mm(1.0);
  return {r.x + left, r.y + line, r.w - left - line, r.h - 2.0F * line};
}

int ink(const cv::Mat& bgr, app::Colour colour) { return cv::countNonZero(where(bgr, colour)); }

void use(WorkBench& bench, app::Units units) {
  app::Settings settings = bench.desk.settings();
  settings.units = units;
  bench.desk.set(settings);
}

}  // namespace

// 25 mm on a 10-inch screen, for reading from 1.5 m: measured on what is drawn, in every unit and kind of number.
TEST_CASE("the digits of the work view are 25 mm high on a 10-inch screen", "[workview]") {
  for (const cv::Size& size : sizes()) {
    for (const app::Units units : {app::Units::mm, app::Units::inch}) {
      WorkBench bench(size);
      use(bench, units);
      const auto check = [&](const char* kind) {
        bench.draw();
        for (std::size_t row = 0; row < 3; ++row) {
          const cv::Rect box = cv::boundingRect(where(bench.part(digits_of(bench, row)), app::theme::kText));
          INFO(kind << ", row " << row << " of " << size.width << " x " << size.height << ": " << box.height << " px");
          // The layout's px are those of the drawing, twice the picture's. A px is lost to each soft edge.
          CHECK(static_cast<float>(box.height + 2) >= bench.layout().scale.mm(25.0) / 2.0F);
          CHECK(static_cast<float>(box.height) <= bench.layout().scale.mm(26.5) / 2.0F);
        }
      };
      bench.cloth_laid(-4.5, 5.2, 1.3);
      check("guide");
      bench.pressed(-4.5, 5.2, 1.3, 0.2);
      check("live");
      bench.pressed(-4.5, 5.2, 1.3, 2.0);
      check("held");
    }
  }
}

// Example failure: the comma of the turn's digits hangs over the buttons.
TEST_CASE("digits with a comma stay in their rows", "[workview]") {
  for (const cv::Size& size : sizes()) {
    WorkBench bench(size);
    bench.use_language("de");
    bench.cloth_laid(-4.5, 5.2, 1.3).draw();
    CHECK(bench.view.readout().rows()[0].digits == "4,5");
    const SDL_FRect& panel = bench.layout().readout;
    const float gap = bench.layout().scale.mm(1.8);
    CHECK(ink(bench.part({panel.x, panel.y + panel.h, panel.w, gap}), app::theme::kText) == 0);
    // Nor do they touch the line under them.
    for (const std::size_t row : {1U, 2U}) {
      const SDL_FRect& r = bench.layout().rows[row];
      CHECK(ink(bench.part({r.x, r.y - gap / 8.0F, r.w, gap / 4.0F}), app::theme::kText) == 0);
    }
  }
}

TEST_CASE("another reading shows other digits, the same reading the same picture", "[workview]") {
  WorkBench bench(kUsual);
  const auto rows = [&](double x_mm) {
    bench.pressed(x_mm, 0.1, 0.2, 0.1).draw();
    std::vector<cv::Mat> parts;
    for (const SDL_FRect& row : bench.layout().rows) parts.push_back(bench.part(row));
    return parts;
  };
  const auto first = rows(4.2), same = rows(4.2), other = rows(7.8);
  for (std::size_t i = 0; i < 3; ++i) CHECK(difference(first[i], same[i]) == 0.0);
  CHECK(difference(first[0], other[0]) > 0.02);
  CHECK(difference(first[1], other[1]) < 0.001);
  CHECK(difference(first[2], other[2]) == 0.0);
}

// Guarantees: noise on a step's edge does not show. Example failure: 3.2 and 3.3 in turn, thirty times a second.
TEST_CASE("a reading that trembles on a step's edge holds the digits still", "[workview]") {
  for (const app::Units units : {app::Units::mm, app::Units::inch}) {
    WorkBench bench(kUsual);
    use(bench, units);
    const double edge_mm = units == app::Units::mm ? 4.25 : 0.165 * 25.4;
    bench.pressed(edge_mm, 0.0, 0.0, 0.1).draw();
    const cv::Mat first = bench.part(bench.layout().rows[0]);
    for (const double noise_mm : {0.012, -0.012, 0.02, -0.02}) {
      bench.pressed(edge_mm + noise_mm, 0.0, 0.0, 0.1).draw();
      CHECK(difference(first, bench.part(bench.layout().rows[0])) == 0.0);
    }
  }
}

TEST_CASE("lengths are shown in the units that are set", "[workview]") {
  WorkBench bench(kUsual);
  bench.cloth_laid(4.5, -12.4, -2.4).draw();
  CHECK(bench.view.readout().rows()[0].digits == "4.5");
  CHECK(bench.view.readout().rows()[0].caption == "Slide left");
  CHECK(bench.view.readout().rows()[1].digits == "12");
  CHECK(bench.view.readout().rows()[1].caption == "Slide away from you");
  CHECK(bench.view.readout().rows()[2].digits == "2.4");
  CHECK(bench.view.readout().rows()[2].caption == "Turn counter-clockwise");
  const cv::Mat in_mm = bench.part(bench.layout().rows[0]);
  use(bench, app::Units::inch);
  bench.draw();
  CHECK(bench.view.readout().rows()[0].digits == "0.18");  // 4.5 / 25.4
  CHECK(bench.view.readout().rows()[0].unit == "in");
  CHECK(bench.view.readout().rows()[1].digits == "0.49");
  CHECK(bench.view.readout().rows()[2].digits == "2.4");
  CHECK(difference(in_mm, bench.part(bench.layout().rows[0])) > 0.05);
  // Held: in the hoop's frame, not as a way to go.
  bench.pressed(4.5, -12.4, -2.4, 2.0).draw();
  REQUIRE(bench.desk.work().cycle().held());
  CHECK(bench.view.readout().rows()[0].caption == "Right of the centre");
  CHECK(bench.view.readout().rows()[0].digits == "0.18");
  CHECK(bench.view.readout().rows()[1].caption == "Below the centre");
  CHECK(bench.view.readout().rows()[2].caption == "Turned clockwise");
  use(bench, app::Units::mm);
  bench.draw();
  CHECK(bench.view.readout().rows()[1].digits == "12.4");
}

// Guarantees: arrow and words go the cloth's way. Example failure: the sticker lies right and the arrow points right.
TEST_CASE("the slide's arrow points to the side that the cloth has to go to", "[workview][sign]") {
  // Ink in the sign's last two fifths over that in its first two: the head has more than the shaft. The words above are
  // cut off.
  const auto head_over_tail = [](const WorkBench& bench, std::size_t row, bool across) {
    cv::Mat area = bench.part(bench.layout().rows[row]);
    area = area(cv::Rect(0, area.rows / 3, area.cols / 6, area.rows - area.rows / 3));
    cv::Mat mask = where(area, app::theme::kMove);
    mask = mask(cv::boundingRect(mask)).clone();
    if (!across) mask = mask.t();
    const int share = mask.cols * 2 / 5;
    return static_cast<double>(cv::countNonZero(mask.colRange(mask.cols - share, mask.cols))) /
           static_cast<double>(cv::countNonZero(mask.colRange(0, share)));
  };
  WorkBench right_and_far(kUsual);
  right_and_far.cloth_laid(12.0, 8.0, 5.0).draw();
  CHECK(head_over_tail(right_and_far, 0, true) < 0.83);  // sticker right: slide left
  CHECK(head_over_tail(right_and_far, 1, false) > 1.2);  // sticker far: slide toward, the arrow points down
  WorkBench left_and_near(kUsual);
  left_and_near.cloth_laid(-12.0, -8.0, 5.0).draw();
  CHECK(head_over_tail(left_and_near, 0, true) > 1.2);
  CHECK(head_over_tail(left_and_near, 1, false) < 0.83);
  WorkBench turned(kUsual);
  turned.cloth_laid(12.0, 8.0, 5.0, 90.0).draw();  // the hoop's east points away from the operator
  CHECK(head_over_tail(turned, 0, true) > 1.2);
  CHECK(head_over_tail(turned, 1, false) > 1.2);
}

TEST_CASE("within tolerance is told by a disc with a tick, not by colour alone", "[workview]") {
  WorkBench bench(kUsual);
  bench.cloth_laid(0.8, -1.1, 0.3).draw();
  const cv::Mat within = bench.part(bench.layout().headline);
  WorkBench other(kUsual);
  other.cloth_laid(5.8, -1.1, 3.3).draw();
  const cv::Mat outside = other.part(other.layout().headline);
  cv::Mat shape_within, shape_outside;  // without colour
  cv::cvtColor(within, shape_within, cv::COLOR_BGR2GRAY);
  cv::cvtColor(outside, shape_outside, cv::COLOR_BGR2GRAY);
  const cv::Mat differs = cv::abs(shape_within - shape_outside) > 60;
  CHECK(cv::countNonZero(differs) > 0.02 * static_cast<double>(differs.total()));
  CHECK(ink(within, app::theme::kWithin) > 500);
  CHECK(ink(outside, app::theme::kWithin) == 0);
  for (const SDL_FRect& row : bench.layout().rows) {
    CHECK(ink(bench.part(row), app::theme::kWithin) > 500);
    CHECK(ink(bench.part(row), app::theme::kMove) == 0);
    CHECK(ink(other.part(row), app::theme::kMove) > 200);
  }
}

TEST_CASE("held numbers are framed, with a sign of their own", "[workview]") {
  WorkBench bench(kUsual);
  bench.cloth_laid(-4.5, 5.2, 1.3).pressed(-4.5, 5.2, 1.3, 0.2).draw();
  const auto edge = [&] {
    SDL_FRect left = bench.layout().readout;
    left.w = bench.layout().scale.mm(0.6);
    return ink(bench.part(left), app::theme::kText);
  };
  const int live = edge();
  const cv::Mat before = bench.part(bench.layout().rows[0]);
  bench.pressed(-4.5, 5.2, 1.3, 2.0).draw();
  CHECK(live == 0);
  CHECK(edge() > 500);
  CHECK(difference(before, bench.part(bench.layout().rows[0])) > 0.02);
}

TEST_CASE("every phase has a headline and a step of its own", "[workview]") {
  for (const cv::Size& size : sizes()) {
    WorkBench bench(size);
    std::vector<cv::Mat> seen;
    const auto look = [&](app::Phase phase) {
      INFO(size.width << " x " << size.height << ", phase " << static_cast<int>(phase));
      CHECK(bench.desk.work().cycle().phase() == phase);
      bench.draw();
      const cv::Mat now = bench.part(bench.layout().headline);
      for (const cv::Mat& other : seen) CHECK(difference(now, other) > 0.01);
      seen.push_back(now);
    };
    const auto nothing = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
    bench.show(nothing, 0.3);
    look(app::Phase::set_hoop);
    bench.cloth_laid(6.0, 1.0, 0.0);
    look(app::Phase::lay_cloth);
    bench.pressed(6.0, 1.0, 0.0, 0.2);
    look(app::Phase::press);
    bench.pressed(6.0, 1.0, 0.0, 2.0);
    look(app::Phase::enter);
    bench.show(nothing, 0.8);
    look(app::Phase::lift);
    bench.show(nothing, 4.0);
    CHECK(bench.desk.work().cycle().phase() == app::Phase::set_hoop);
  }
}

// Guarantees: while the reading is taken the ring shows how long hands must stay off.
TEST_CASE("the ring closes while nothing moves", "[workview]") {
  WorkBench bench(kUsual);
  bench.cloth_laid(1.0, 1.0, 0.2).pressed(1.0, 1.0, 0.2, 0.1).draw();
  const int begun = ink(bench.part(bench.layout().headline), app::theme::kWithin);
  bench.pressed(1.0, 1.0, 0.2, 0.3).draw();
  const int half = ink(bench.part(bench.layout().headline), app::theme::kWithin);
  CHECK(bench.desk.work().cycle().phase() == app::Phase::press);
  CHECK(half > begun + 200);
  bench.pressed(9.0, 1.0, 0.2, 0.1).draw();  // moved
  CHECK(ink(bench.part(bench.layout().headline), app::theme::kWithin) < half);
}

TEST_CASE("every reason has a picture of its own and no digits", "[workview]") {
  WorkBench bench({1024, 600});
  bench.pressed(4.2, 3.1, 2.2, 0.1).draw();
  const cv::Mat digits = bench.part(bench.layout().readout);
  std::vector<cv::Mat> shown;
  for (int status = 1; status < vision::kStatusCount; ++status) {
    WorkBench fresh({1024, 600});
    const auto s = static_cast<vision::Status>(status);
    fresh.show(fake::no_reading(fake::station(), fake::straight_down(), s), 0.3).draw();
    const cv::Mat readout = fresh.part(fresh.layout().readout);
    INFO(std::string(vision::name(s)));
    CHECK(difference(readout, digits) > 0.05);
    CHECK(ink(readout, app::theme::kText) < 60);
    for (const cv::Mat& other : shown) CHECK(difference(readout, other) > 0.005);
    shown.push_back(readout);
  }
}

TEST_CASE("a notice overrides what else is to be said", "[workview]") {
  WorkBench bench(kUsual);
  bench.held(1.0, 1.0, 0.2).draw();
  const cv::Mat well = bench.part(bench.layout().headline);
  bench.pressed(3.4, 1.0, 0.2, 2.0).draw();
  REQUIRE(bench.desk.work().cycle().notice() == app::CycleNotice::cloth_slipped);
  const cv::Mat slipped = bench.part(bench.layout().headline);
  CHECK(ink(well, app::theme::kTrouble) == 0);
  CHECK(ink(slipped, app::theme::kTrouble) > 500);
  CHECK(ink(slipped, app::theme::kWithin) == 0);
}

// Guarantees: no reading outlives its frame. Example failure: the cable is pulled and the last digits stay.
TEST_CASE("when frames stop or trouble comes, the digits go and the rendered station is offered", "[workview]") {
  WorkBench bench({1024, 600});
  bench.desk.health.live_camera = true;
  bench.cloth_laid(4.2, 3.1, 2.2).draw();
  const cv::Mat digits = bench.part(bench.layout().readout);
  CHECK(bench.button(View::kRendered) == nullptr);
  bench.desk.health.stale = true;
  bench.draw();
  CHECK(difference(digits, bench.part(bench.layout().readout)) > 0.05);
  CHECK(ink(bench.part(bench.layout().headline), app::theme::kTrouble) > 300);
  bench.desk.health.stale = false;
  bench.draw();
  CHECK(difference(digits, bench.part(bench.layout().readout)) == 0.0);
  bench.desk.health.trouble = "The camera was unplugged: check its cable.";
  bench.draw();
  CHECK(difference(digits, bench.part(bench.layout().readout)) > 0.05);
  REQUIRE(bench.press(View::kRendered));
  CHECK(bench.desk.leaving() == app::Leave::rendered);
  // What is no camera has no camera to lose.
  bench.desk.health.live_camera = false;
  bench.draw();
  CHECK(bench.button(View::kRendered) == nullptr);
}

TEST_CASE("what is no camera is said so on the picture, whichever is the large one", "[workview]") {
  WorkBench bench(kUsual);
  for (const bool plan : {false, true}) {
    app::Settings settings = bench.desk.settings();
    settings.large_plan = plan;
    bench.desk.set(settings);
    bench.desk.health.notice.clear();
    bench.pressed(4.2, 3.1, 2.2, 0.1).draw();
    SDL_FRect band = bench.layout().large;
    band.h = bench.layout().scale.mm(6.0);
    const cv::Mat plain = bench.part(band);
    bench.desk.health.notice = "No camera found: this is the rendered station";
    bench.draw();
    const cv::Mat noticed = bench.part(band);
    CHECK(ink(noticed, app::theme::kMove) > 0.5 * static_cast<double>(noticed.total()));
    CHECK(ink(plain, app::theme::kMove) < 0.05 * static_cast<double>(plain.total()));
  }
}

// Guarantees: the last proof is told between pieces, and is not in the way of the work.
TEST_CASE("while no hoop lies there the last proof shows, louder when a new one is wanted", "[workview]") {
  WorkBench bench(kUsual);
  const auto nothing = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  const auto band = [&] {
    bench.draw();
    SDL_FRect area = bench.layout().large;
    area.h = bench.layout().scale.mm(6.0);
    return bench.part(area);
  };
  bench.show(nothing, 0.3);
  const cv::Mat plain = band();
  bench.desk.health.proof = "Proved on 2026-01-20: it measures right.";
  const cv::Mat told = band();
  CHECK(difference(plain, told) > 0.05);
  CHECK(ink(told, app::theme::kMove) == 0);
  bench.desk.health.proof_wanted = true;
  const cv::Mat loud = band();
  CHECK(ink(loud, app::theme::kMove) > 0.5 * static_cast<double>(loud.total()));
  bench.pressed(4.2, 3.1, 2.2, 0.1);
  CHECK(ink(band(), app::theme::kMove) < 0.05 * static_cast<double>(loud.total()));
}

TEST_CASE("a frame's pixels are given back once it is drawn", "[workview]") {
  WorkBench bench({1024, 600});
  auto owner = std::make_shared<int>(1);
  app::Measured measured;
  measured.frame.grey = cv::Mat(1296, 2304, CV_8UC1, cv::Scalar(90));
  measured.frame.owner = owner;
  measured.result = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  bench.desk.see(std::move(measured));
  CHECK(owner.use_count() == 2);
  bench.draw();
  CHECK(owner.use_count() == 1);
  bench.view.textures_lost();
  bench.draw();
}

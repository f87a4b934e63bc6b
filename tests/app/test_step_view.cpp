// The screen of a set-up step, drawn into memory and looked at as a picture.
#include <cstdlib>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/screen/text_block.h"
#include "app/screen/window.h"
#include "app/setup/step_marks.h"
#include "app/setup/step_view.h"
#include "tests/app/fake_step.h"
#include "tests/app/screen_pictures.h"
#include "tests/catch.h"

namespace {

class Screen {
 public:
  explicit Screen(cv::Size size)
      : window_(app::Window::in_memory(size)), canvas_(window_->renderer()), text_(window_->renderer()) {
    state.title = "Lens";
    state.source = "rendered station";
  }
  void take(app::StepAdvice advice) {
    app::Frame frame;
    frame.grey = fake::picture_of_a_sheet();
    view_.take(std::move(frame), std::move(advice));
  }
  cv::Mat draw() {
    view_.draw(canvas_, text_, window_->size(), state);
    return window_->picture();
  }
  app::StepView& view() { return view_; }
  app::PageLayout layout(int buttons) const {
    const cv::Size size = window_->size();
    return app::page_layout(size.width, size.height, buttons);
  }

  app::StepState state;

 private:
  std::unique_ptr<app::Window> window_;
  app::Canvas canvas_;
  app::Text text_;
  app::StepView view_;
};

// Memory is drawn at twice the size.
cv::Mat part(const cv::Mat& picture, const SDL_FRect& r) {
  return picture(cv::Rect(cvRound(r.x / 2), cvRound(r.y / 2), cvRound(r.w / 2), cvRound(r.h / 2)) &
                 cv::Rect({0, 0}, picture.size()));
}

app::StepOutcome good_outcome() {
  app::StepOutcome outcome;
  outcome.good = true;
  outcome.headline = "The lens is known to 1.2 px";
  outcome.lines = {"23 of 24 pictures were used; sheet_07 was left out: it was moving.",
                   "Focal length 3120.5 px, give or take 1.2 px.",
                   "The corners lie 0.11 px from where this lens shows them.", "Distortion: two radial terms."};
  outcome.files = {"/home/station/.local/share/hoopgauge/station.toml"};
  cv::cvtColor(fake::picture_of_a_sheet(), outcome.picture, cv::COLOR_GRAY2BGR);
  return outcome;
}

const cv::Size kSizes[] = {{1024, 600}, {1280, 800}, {1920, 1080}, {600, 1024}};

bool overlap(const SDL_FRect& a, const SDL_FRect& b) {
  return a.x < b.x + b.w - 0.01F && b.x < a.x + a.w - 0.01F && a.y < b.y + b.h - 0.01F && b.y < a.y + a.h - 0.01F;
}

}  // namespace

TEST_CASE("the page's parts lie inside the screen, apart, and can be touched", "[page]") {
  for (const cv::Size& size : kSizes)
    for (const int count : {0, 1, 2, 3, 5}) {
      const auto where = count < 4 ? app::ButtonsIn::column : app::ButtonsIn::row;
      const app::PageLayout l = app::page_layout(size.width, size.height, count, where);
      INFO(size.width << " x " << size.height << ", " << count << " buttons");
      std::vector<SDL_FRect> parts{l.header, l.main, l.side};
      const auto buttons = app::placed(std::vector<app::Button>(static_cast<std::size_t>(count)), l);
      for (const app::Button& b : buttons) {
        CHECK(b.area.h >= l.scale.mm(app::kTouch_mm) - 0.01F);
        CHECK(b.area.w >= l.scale.mm(app::kTouch_mm) - 0.01F);
        parts.push_back(b.area);
      }
      for (std::size_t i = 0; i < parts.size(); ++i) {
        CHECK(parts[i].x >= 0.0F);
        CHECK(parts[i].y >= 0.0F);
        CHECK(parts[i].w > 0.0F);
        CHECK(parts[i].h > l.scale.mm(10.0));
        CHECK(parts[i].x + parts[i].w <= static_cast<float>(size.width) + 0.01F);
        CHECK(parts[i].y + parts[i].h <= static_cast<float>(size.height) + 0.01F);
        for (std::size_t j = 0; j < i; ++j) CHECK_FALSE(overlap(parts[i], parts[j]));
      }
      CHECK(l.main.w * l.main.h > 0.25F * static_cast<float>(size.area()));  // the picture is large
    }
}

// 8.7 mm on a 10-inch screen of 16 : 9 (124.5 mm high), for reading from 1.5 m; a long headline may be smaller.
TEST_CASE("the headline is large", "[step_view]") {
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080)}) {
    Screen screen(size);
    app::StepAdvice advice;
    advice.headline = "HOLD IT STILL";  // letters as high as digits, none below the line
    screen.take(advice);
    const cv::Mat header = part(screen.draw(), screen.layout(3).header);
    const cv::Rect box = cv::boundingRect(where(header, app::theme::kText));
    INFO(size.width << " x " << size.height << ": " << box.height << " px");
    CHECK(box.height * 124.5 / size.height >= 8.2);  // a px is lost to each soft edge
    CHECK(box.height * 124.5 / size.height <= 10.0);
  }
}

// Guarantees: no meaning by colour alone. Example failure: "doubt" is a found mark in red.
TEST_CASE("each kind of mark differs from the others without its colour", "[step_view]") {
  using Kind = app::StepMark::Kind;
  for (const bool closed : {false, true}) {
    std::vector<cv::Mat> shapes;
    for (const Kind kind : {Kind::found, Kind::doubt, Kind::aim, Kind::done}) {
      const auto window = app::Window::in_memory({640, 400});
      app::Canvas canvas(window->renderer());
      app::Text text(window->renderer());
      canvas.clear(app::theme::kGround);
      const app::PictureRegion region = app::fit_region({640, 400}, {}, 0, {0.0F, 0.0F, 1280.0F, 800.0F});
      app::StepMark mark;
      mark.kind = kind;
      mark.closed = closed;
      mark.points_px = {{200.0, 100.0}};
      if (closed) mark.points_px = {{200.0, 100.0}, {420.0, 100.0}, {420.0, 280.0}, {200.0, 280.0}};
      app::draw_step_marks(canvas, text, app::Scale(1280, 800), region, {mark});
      cv::Mat grey;
      cv::cvtColor(window->picture(), grey, cv::COLOR_BGR2GRAY);
      const cv::Mat ink = grey(cv::Rect(180, 80, 260, 220)) > 60;  // the mark itself, without the words below
      CHECK(cv::countNonZero(ink) > 4);
      for (const cv::Mat& other : shapes) {
        const cv::Mat differs = ink != other;
        CHECK(cv::countNonZero(differs) > 10);
      }
      shapes.push_back(ink.clone());
      CHECK_FALSE(app::word(kind).empty());
    }
  }
}

TEST_CASE("marks that cannot be drawn are passed over", "[step_view]") {
  Screen screen({640, 400});
  app::StepAdvice advice;
  const double none = std::nan("");
  advice.marks.push_back({app::StepMark::Kind::found, {}, true, "nothing"});
  advice.marks.push_back({app::StepMark::Kind::aim, {{none, 1.0}, {5.0, 5.0}}, true, "half"});
  advice.progress = none;
  screen.take(advice);
  CHECK_NOTHROW(screen.draw());
}

TEST_CASE("progress is told by a bar and by a number", "[step_view]") {
  Screen screen({1280, 800});
  app::StepAdvice advice = fake::advice_with_all_marks();
  std::vector<int> filled;
  cv::Mat before;
  for (const double progress : {0.0, 0.5, 1.0}) {
    advice.progress = progress;
    screen.take(advice);
    const cv::Mat side = part(screen.draw(), screen.layout(3).side).clone();
    filled.push_back(cv::countNonZero(where(side, app::theme::kWithin)));
    const cv::Mat number = side(cv::Rect(side.cols * 3 / 4, 0, side.cols / 4, side.rows / 4));
    if (!before.empty()) CHECK(difference(number, before) > 0.01);
    before = number;
  }
  CHECK(filled[0] == 0);
  CHECK_THAT(static_cast<double>(filled[1]) / filled[2], WithinAbs(0.5, 0.05));
}

TEST_CASE("a picture taken flashes", "[step_view]") {
  Screen screen({1280, 800});
  screen.take(fake::advice_with_all_marks());
  const cv::Mat quiet = screen.draw().clone();
  screen.state.flash = true;
  const cv::Mat flash = screen.draw().clone();
  CHECK(difference(part(quiet, screen.layout(3).main), part(flash, screen.layout(3).main)) > 0.05);
}

TEST_CASE("buttons say what the person wants, when it can be had", "[step_view]") {
  Screen screen({1280, 800});
  app::StepAdvice advice = fake::advice_with_all_marks();
  screen.take(advice);
  screen.draw();
  CHECK(screen.view().handle(app::key_event(SDLK_u)) == app::StepWish::undo);
  CHECK_FALSE(screen.view().handle(app::key_event(SDLK_c)));  // not enough yet
  CHECK(screen.view().handle(app::key_event(SDLK_ESCAPE)) == app::StepWish::leave);
  advice.enough = true;
  screen.take(advice);
  screen.state.can_undo = false;
  screen.draw();
  CHECK(screen.view().handle(app::key_event(SDLK_c)) == app::StepWish::compute);
  CHECK_FALSE(screen.view().handle(app::key_event(SDLK_u)));
  screen.state.computing = true;
  screen.draw();
  CHECK_FALSE(screen.view().handle(app::key_event(SDLK_c)));
  screen.state.computing = false;
  app::StepOutcome outcome = good_outcome();
  outcome.good = false;
  screen.view().show(outcome);
  screen.draw();
  CHECK(screen.view().handle(app::key_event(SDLK_RETURN)) == app::StepWish::more);
  screen.view().show(good_outcome());
  screen.draw();
  CHECK(screen.view().handle(app::key_event(SDLK_RETURN)) == app::StepWish::leave);
  screen.view().show(std::nullopt);
  screen.draw();
  CHECK(screen.view().handle(app::key_event(SDLK_c)) == app::StepWish::compute);
}

// Example failure: a failed computation looks like a finished one.
TEST_CASE("a bad outcome differs from a good one without its colours", "[step_view]") {
  Screen screen({1280, 800});
  screen.take(fake::advice_with_all_marks());
  const auto sign = [&](bool good) {
    app::StepOutcome outcome = good_outcome();
    outcome.good = good;
    screen.view().show(outcome);
    cv::Mat header = part(screen.draw(), screen.layout(2).header).clone();
    cv::cvtColor(header, header, cv::COLOR_BGR2GRAY);
    return cv::Mat(header(cv::Rect(0, 0, header.cols / 8, header.rows)) > 100);
  };
  CHECK(cv::countNonZero(sign(true) != sign(false)) > 300);
}

// Example failure: the last lines reach out of the panel and nobody knows that there are more.
TEST_CASE("lines that have no room are counted", "[step_view][text]") {
  const auto window = app::Window::in_memory({400, 200});
  app::Text text(window->renderer());
  const app::TextStyle style{app::Weight::regular, 20};
  const SDL_FRect area{10.0F, 10.0F, 700.0F, 200.0F};
  std::vector<std::string> lines{"one"};
  CHECK(app::paragraphs_fit(text, style, area, lines, 5.0F));
  for (int i = 0; i < 40; ++i) {
    CHECK(app::draw_paragraphs(text, style, area, lines, 5.0F, app::theme::kText) <= area.y + area.h);
    lines.emplace_back("another line of some words");
  }
  CHECK_FALSE(app::paragraphs_fit(text, style, area, lines, 5.0F));
}

TEST_CASE("the outcome's picture can be seen large, and its lines again", "[step_view]") {
  Screen screen({1280, 800});
  screen.view().show(good_outcome());
  const auto& main = screen.layout(2).main;
  const cv::Mat lines = part(screen.draw(), main).clone();
  CHECK_FALSE(screen.view().handle(app::key_event(SDLK_p)));
  const cv::Mat large = part(screen.draw(), main).clone();
  CHECK(difference(lines, large) > 0.2);
  CHECK_FALSE(screen.view().handle(app::key_event(SDLK_p)));
  CHECK(difference(lines, part(screen.draw(), main)) == 0.0);
}

// Guarantees: what the last frame showed does not outlive it. Example failure: the cable is out and the marks stay.
TEST_CASE("when frames stop or trouble comes, the advice goes", "[step_view]") {
  Screen screen({1280, 800});
  screen.take(fake::advice_with_all_marks());
  const cv::Mat live = screen.draw().clone();
  const auto& header = screen.layout(3).header;
  screen.state.stale = true;
  const cv::Mat stale = screen.draw().clone();
  CHECK(difference(part(live, header), part(stale, header)) > 0.02);
  CHECK(cv::countNonZero(where(part(stale, screen.layout(3).main), app::theme::kRing)) == 0);
  screen.state.stale = false;
  screen.state.trouble = "The camera was unplugged: check its cable.";
  CHECK(difference(part(live, header), part(screen.draw(), header)) > 0.02);
}

TEST_CASE("a frame's pixels are given back once the step's screen is drawn", "[step_view]") {
  Screen screen({640, 400});
  auto owner = std::make_shared<int>(1);
  app::Frame frame;
  frame.grey = fake::picture_of_a_sheet();
  frame.owner = owner;
  screen.view().take(std::move(frame), {});
  CHECK(owner.use_count() == 2);
  screen.draw();
  CHECK(owner.use_count() == 1);
}

// For looking at: HOOPGAUGE_PICTURES=DIR writes what the tests above draw.
TEST_CASE("step screens for looking at", "[.pictures]") {
  const char* folder = std::getenv("HOOPGAUGE_PICTURES");
  REQUIRE(folder != nullptr);
  for (const cv::Size& size : kSizes) {
    Screen screen(size);
    const std::string stem = std::string(folder) + "/step_" + std::to_string(size.width) + "_";
    screen.state.notice = "This is the rendered station, for show only";
    screen.take(fake::advice_with_all_marks());
    cv::imwrite(stem + "live.png", screen.draw());
    screen.state.flash = true;
    screen.state.remark = "The last picture was taken back";
    cv::imwrite(stem + "flash.png", screen.draw());
    screen.state.flash = false;
    screen.state.computing = true;
    cv::imwrite(stem + "computing.png", screen.draw());
    screen.state.computing = false;
    screen.view().show(good_outcome());
    cv::imwrite(stem + "good.png", screen.draw());
    app::StepOutcome many = good_outcome();
    for (int mark = 400; mark < 412; ++mark)
      many.lines.push_back("board mark " + std::to_string(mark) +
                           ": x -192.24 mm, y 146.54 mm, angle -1.969 deg, sure to 0.11 mm and 0.04 deg");
    screen.view().show(many);
    cv::imwrite(stem + "many.png", screen.draw());
    app::StepOutcome bad;
    bad.headline = "No result";
    bad.lines = {"12 pictures are too few: 15 are needed. Take more, with the sheet tilted in all four directions."};
    screen.view().show(bad);
    cv::imwrite(stem + "bad.png", screen.draw());
  }
}

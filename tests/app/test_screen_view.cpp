// The measuring screen, drawn into memory from made-up results and looked at as a picture.
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/screen/measure_view.h"
#include "app/screen/window.h"
#include "tests/app/fake_result.h"
#include "tests/app/screen_pictures.h"
#include "tests/catch.h"

namespace {

const cv::Mat& grey() {
  static const cv::Mat frame(1296, 2304, CV_8UC1, cv::Scalar(90));
  return frame;
}

// One screen of its own size with what is drawn on it.
class Screen {
 public:
  explicit Screen(cv::Size size)
      : window_(app::Window::in_memory(size)),
        canvas_(window_->renderer()),
        text_(window_->renderer()),
        view_(fake::station(), fake::hoop()),
        layout_(app::measure_layout(size.width, size.height)) {}

  cv::Mat draw(vision::FrameResult result) {
    app::Measured measured;
    measured.frame.grey = grey();
    measured.result = std::move(result);
    view_.take(std::move(measured));
    return draw_again();
  }
  cv::Mat draw_again() {
    view_.draw(canvas_, text_, window_->size(), state);
    return window_->picture();
  }
  static vision::FrameResult at(double x_mm, double y_mm, double deg, double hoop_deg = 0.0) {
    return fake::result(fake::station(), fake::hoop(), fake::straight_down(),
                        {{3.0, -2.0}, hoop_deg * vision::kRadPerDeg}, x_mm, y_mm, deg);
  }
  static vision::FrameResult without(vision::Status status) {
    return fake::no_reading(fake::station(), fake::straight_down(), status);
  }
  const app::MeasureLayout& layout() const { return layout_; }

  app::StationState state;

 private:
  std::unique_ptr<app::Window> window_;
  app::Canvas canvas_;
  app::Text text_;
  app::MeasureView view_;
  app::MeasureLayout layout_;
};

cv::Mat part(const cv::Mat& picture, const SDL_FRect& r) {
  return picture(cv::Rect(cvRound(r.x), cvRound(r.y), cvRound(r.w), cvRound(r.h)) & cv::Rect({0, 0}, picture.size()));
}

}  // namespace

// 25 mm on a 10-inch screen of 16 : 9, the lowest of the usual ones (124.5 mm high), for reading from 1.5 m.
TEST_CASE("the digits are a fifth of the screen high", "[screen][view]") {
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080)}) {
    Screen screen(size);
    const cv::Mat picture = screen.draw(Screen::at(-3.2, 2.1, 1.7));
    for (const SDL_FRect& row : screen.layout().rows) {
      const cv::Rect box = cv::boundingRect(where(part(picture, row), app::theme::kText));
      INFO(size.width << " x " << size.height << ": " << box.height << " px");
      CHECK(box.height * 124.5 / size.height >= 24.8);  // a px is lost to each soft edge
      CHECK(box.height <= 0.24 * size.height);
    }
  }
}

TEST_CASE("another reading shows other digits, the same reading the same picture", "[screen][view]") {
  Screen screen({1280, 800});
  const cv::Mat first = screen.draw(Screen::at(4.2, 0.1, 0.2)).clone();
  const cv::Mat same = screen.draw(Screen::at(4.2, 0.1, 0.2)).clone();
  const cv::Mat other = screen.draw(Screen::at(7.8, 0.1, 0.2)).clone();
  const auto& rows = screen.layout().rows;
  CHECK(difference(first, same) == 0.0);
  CHECK(difference(part(first, rows[0]), part(other, rows[0])) > 0.02);
  CHECK(difference(part(first, rows[1]), part(other, rows[1])) < 0.001);
  CHECK(difference(part(first, rows[2]), part(other, rows[2])) == 0.0);
}

// Guarantees: arrow and words go the cloth's way. Example failure: the sticker lies right and the arrow points right.
TEST_CASE("the slide's arrow points to the side that the cloth has to go to", "[screen][view][sign]") {
  Screen screen({1280, 800});
  // Ink in the sign's last two fifths over that in its first two: the head has more than the shaft. The caption above
  // is cut off.
  const auto head_over_tail = [&](const cv::Mat& picture, std::size_t row, bool across) {
    cv::Mat area = part(picture, screen.layout().rows[row]);
    area = area(cv::Rect(0, area.rows / 3, area.cols / 4, area.rows - area.rows / 3));
    cv::Mat ink = where(area, app::theme::kMove);
    ink = ink(cv::boundingRect(ink));
    if (!across) ink = ink.t();
    const int share = ink.cols * 2 / 5;
    return static_cast<double>(cv::countNonZero(ink.colRange(ink.cols - share, ink.cols))) /
           static_cast<double>(cv::countNonZero(ink.colRange(0, share)));
  };
  cv::Mat picture = screen.draw(Screen::at(12.0, 8.0, 5.0)).clone();
  CHECK(head_over_tail(picture, 0, true) < 0.83);  // sticker right: slide left
  CHECK(head_over_tail(picture, 1, false) > 1.2);  // sticker far: slide toward, the arrow points down
  picture = screen.draw(Screen::at(-12.0, -8.0, 5.0)).clone();
  CHECK(head_over_tail(picture, 0, true) > 1.2);
  CHECK(head_over_tail(picture, 1, false) < 0.83);
  picture = screen.draw(Screen::at(12.0, 8.0, 5.0, 180.0)).clone();  // the hoop lies the other way round
  CHECK(head_over_tail(picture, 0, true) > 1.2);
  CHECK(head_over_tail(picture, 1, false) < 0.83);
}

TEST_CASE("within tolerance is told by a disc with a tick, not by colour alone", "[screen][view]") {
  Screen screen({1280, 800});
  const cv::Mat within = screen.draw(Screen::at(0.8, -1.1, 0.3)).clone();
  const cv::Mat outside = screen.draw(Screen::at(5.8, -1.1, 3.3)).clone();
  const SDL_FRect& verdict = screen.layout().verdict;
  cv::Mat shape_within, shape_outside;  // without colour
  cv::cvtColor(part(within, verdict), shape_within, cv::COLOR_BGR2GRAY);
  cv::cvtColor(part(outside, verdict), shape_outside, cv::COLOR_BGR2GRAY);
  const cv::Mat differs = cv::abs(shape_within - shape_outside) > 60;
  CHECK(cv::countNonZero(differs) > 0.02 * static_cast<double>(differs.total()));
  CHECK(cv::countNonZero(where(part(within, verdict), app::theme::kWithin)) > 500);
  CHECK(cv::countNonZero(where(part(outside, verdict), app::theme::kWithin)) == 0);
}

TEST_CASE("every reason has a picture of its own and no digits", "[screen][view]") {
  Screen screen({1024, 600});
  const cv::Mat digits = screen.draw(Screen::at(4.2, 3.1, 2.2)).clone();
  std::vector<cv::Mat> shown;
  for (int status = 1; status < vision::kStatusCount; ++status) {
    const cv::Mat picture = screen.draw(Screen::without(static_cast<vision::Status>(status)));
    const cv::Mat readout = part(picture, screen.layout().readout).clone();
    INFO(std::string(vision::name(static_cast<vision::Status>(status))));
    CHECK(difference(readout, part(digits, screen.layout().readout)) > 0.05);
    CHECK(cv::countNonZero(where(readout, app::theme::kTrouble)) > 200);
    for (const cv::Mat& other : shown) CHECK(difference(readout, other) > 0.01);
    shown.push_back(readout);
  }
}

// Guarantees: no reading outlives its frame. Example failure: the cable is pulled and the last digits stay.
TEST_CASE("when frames stop or trouble comes, the digits go", "[screen][view]") {
  Screen screen({1024, 600});
  const cv::Mat digits = part(screen.draw(Screen::at(4.2, 3.1, 2.2)), screen.layout().readout).clone();
  screen.state.stale = true;
  const cv::Mat stale = part(screen.draw_again(), screen.layout().readout).clone();
  CHECK(difference(digits, stale) > 0.05);
  screen.state.stale = false;
  CHECK(difference(digits, part(screen.draw_again(), screen.layout().readout)) == 0.0);
  screen.state.trouble = "The camera was unplugged: check its cable.";
  CHECK(difference(digits, part(screen.draw_again(), screen.layout().readout)) > 0.05);
}

TEST_CASE("what is no camera is said so on the picture", "[screen][view]") {
  Screen screen({1280, 800});
  const cv::Mat plain = screen.draw(Screen::at(4.2, 3.1, 2.2)).clone();
  screen.state.notice = "No camera found: this is the rendered station";
  const cv::Mat noticed = screen.draw(Screen::at(4.2, 3.1, 2.2)).clone();
  SDL_FRect band = screen.layout().picture;
  band.h = screen.layout().scale.mm(6.0);
  CHECK(cv::countNonZero(where(part(noticed, band), app::theme::kMove)) > 0.5 * band.w * band.h);
  CHECK(cv::countNonZero(where(part(plain, band), app::theme::kMove)) == 0);
}

// Guarantees: the last proof is told between pieces, and is not in the way of the work.
TEST_CASE("while no hoop lies there the last proof shows, louder when a new one is wanted", "[screen][view]") {
  Screen screen({1280, 800});
  SDL_FRect band = screen.layout().picture;
  band.h = screen.layout().scale.mm(6.0);
  const double area = band.w * band.h;
  const auto amber = [&](const cv::Mat& picture) {
    return cv::countNonZero(where(part(picture, band), app::theme::kMove));
  };
  const cv::Mat plain = screen.draw(Screen::without(vision::Status::no_ring)).clone();
  screen.state.proof = "Proved on 2026-01-20: it measures right.";
  const cv::Mat told = screen.draw(Screen::without(vision::Status::no_ring)).clone();
  CHECK(difference(part(plain, band), part(told, band)) > 0.05);
  CHECK(amber(told) == 0);
  screen.state.proof_wanted = true;
  CHECK(amber(screen.draw(Screen::without(vision::Status::no_ring))) > 0.5 * area);
  const cv::Mat working = screen.draw(Screen::at(4.2, 3.1, 2.2)).clone();
  CHECK(amber(working) < 0.05 * area);
}

TEST_CASE("a frame's pixels are given back once it is drawn", "[screen][view]") {
  Screen screen({1024, 600});
  app::MeasureView view(fake::station(), fake::hoop());
  auto owner = std::make_shared<int>(1);
  app::Measured measured;
  measured.frame.grey = grey();
  measured.frame.owner = owner;
  measured.result = Screen::at(1.0, 1.0, 1.0);
  view.take(std::move(measured));
  CHECK(owner.use_count() == 2);
  const auto window = app::Window::in_memory({640, 400});
  app::Canvas canvas(window->renderer());
  app::Text text(window->renderer());
  view.draw(canvas, text, window->size(), {});
  CHECK(owner.use_count() == 1);
  view.textures_lost();
}

TEST_CASE("text is broken between words and measured as it is drawn", "[screen][text]") {
  const auto window = app::Window::in_memory({640, 400});
  app::Text text(window->renderer());
  const app::TextStyle style{app::Weight::regular, 20};
  const std::string_view sentence = "Lay the outer ring in its place, and check that the right hoop is chosen.";
  std::string together;
  for (std::string_view line : text.wrap(style, sentence, 300.0F)) {
    CHECK(text.width(style, line) <= 300.0F);
    if (!together.empty()) together += ' ';
    together += line;
  }
  CHECK(together == sentence);
  CHECK(text.wrap(style, "Unbreakablelongwordwithoutend no", 50.0F).size() == 2);
  CHECK(text.wrap(style, "", 50.0F).empty());
  CHECK(text.width(style, "±0.06°") > text.width(style, "0.06"));
  CHECK_NOTHROW(text.width(style, "\xff\xc3"));  // bytes that are no text
}

// For looking at: HOOPGAUGE_PICTURES=DIR writes what the tests above draw.
TEST_CASE("screens for looking at", "[.pictures]") {
  const char* folder = std::getenv("HOOPGAUGE_PICTURES");
  REQUIRE(folder != nullptr);
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080), cv::Size(600, 1024)}) {
    Screen screen(size);
    screen.state.notice = "No camera found: this is the rendered station";
    const std::string stem = std::string(folder) + "/" + std::to_string(size.width) + "_";
    cv::imwrite(stem + "ok.png", screen.draw(Screen::at(-3.2, 2.1, 1.7)));
    for (int status = 1; status < vision::kStatusCount; ++status) {
      const auto s = static_cast<vision::Status>(status);
      cv::imwrite(stem + std::string(vision::name(s)) + ".png", screen.draw(Screen::without(s)));
    }
  }
}

// Touch buttons: where they can be hit, what presses them, and how they look.
#include <algorithm>
#include <map>
#include <opencv2/core.hpp>
#include <tuple>

#include "app/screen/button.h"
#include "app/screen/window.h"
#include "tests/catch.h"

namespace {

using Kind = app::InputEvent::Kind;

app::Button button(int id, const std::string& label) {
  app::Button b;
  b.id = id;
  b.label = label;
  return b;
}

// 1 Undo, 2 (cannot be pressed) Compute, 3 Back: 100 px each, 10 px apart.
app::Buttons three() {
  std::vector<app::Button> row{button(1, "Undo"), button(2, "Compute"), button(3, "Back")};
  row[0].key = SDLK_u;
  row[1].enabled = false;
  row[1].key = SDLK_c;
  row[2].main = true;
  app::place_in_row(row, {0.0F, 0.0F, 320.0F, 80.0F}, 10.0F);
  app::Buttons buttons;
  buttons.set(row);
  return buttons;
}

std::optional<int> click(app::Buttons& buttons, SDL_FPoint down, SDL_FPoint up) {
  CHECK_FALSE(buttons.handle(app::pointer_event(Kind::pointer_down, down)));
  CHECK_FALSE(buttons.handle(app::pointer_event(Kind::pointer_move, up)));
  return buttons.handle(app::pointer_event(Kind::pointer_up, up));
}

std::optional<int> press(app::Buttons& buttons, SDL_Keycode key, bool shift = false) {
  return buttons.handle(app::key_event(key, shift));
}

}  // namespace

TEST_CASE("buttons in a row share its width", "[button]") {
  const app::Buttons buttons = three();
  const auto& all = buttons.all();
  CHECK_THAT(all[0].area.w, WithinAbs(100.0, 0.01));
  CHECK_THAT(all[1].area.x, WithinAbs(110.0, 0.01));
  CHECK_THAT(all[2].area.x + all[2].area.w, WithinAbs(320.0, 0.01));
}

// Guarantees: only down and up on the same button is a press. Example failure: a finger that slid onto it presses it.
TEST_CASE("a button is pressed by down and up on it, and by nothing else", "[button]") {
  app::Buttons buttons = three();
  CHECK(click(buttons, {50.0F, 40.0F}, {90.0F, 70.0F}) == 1);
  CHECK(click(buttons, {250.0F, 40.0F}, {250.0F, 40.0F}) == 3);
  CHECK_FALSE(click(buttons, {50.0F, 40.0F}, {250.0F, 40.0F}));   // slid off, onto another
  CHECK_FALSE(click(buttons, {105.0F, 40.0F}, {50.0F, 40.0F}));   // came from the gap
  CHECK_FALSE(click(buttons, {150.0F, 40.0F}, {150.0F, 40.0F}));  // cannot be pressed
  CHECK_FALSE(click(buttons, {50.0F, 81.0F}, {50.0F, 81.0F}));
  CHECK_FALSE(buttons.handle(app::pointer_event(Kind::pointer_up, {50.0F, 40.0F})));  // no down before
}

TEST_CASE("what is held down is shown as long as the pointer is on it", "[button]") {
  app::Buttons buttons = three();
  buttons.handle(app::pointer_event(Kind::pointer_down, {50.0F, 40.0F}));
  CHECK(buttons.pressed() == 1);
  buttons.handle(app::pointer_event(Kind::pointer_move, {50.0F, 200.0F}));
  CHECK_FALSE(buttons.pressed());
  buttons.handle(app::pointer_event(Kind::pointer_move, {50.0F, 40.0F}));
  CHECK(buttons.pressed() == 1);
  buttons.set(buttons.all());  // drawn anew meanwhile
  CHECK(buttons.handle(app::pointer_event(Kind::pointer_up, {50.0F, 40.0F})) == 1);
}

// Example failure: "Compute" turns off under the finger and is pressed all the same.
TEST_CASE("a button that is turned off or gone while it is held is not pressed", "[button]") {
  for (const bool gone : {false, true}) {
    app::Buttons buttons = three();
    buttons.handle(app::pointer_event(Kind::pointer_down, {50.0F, 40.0F}));
    std::vector<app::Button> now = buttons.all();
    if (gone) {
      now.erase(now.begin());
    } else {
      now[0].enabled = false;
    }
    buttons.set(now);
    CHECK_FALSE(buttons.handle(app::pointer_event(Kind::pointer_up, {50.0F, 40.0F})));
  }
}

TEST_CASE("keys press their button, Tab moves the focus past what cannot be pressed", "[button]") {
  app::Buttons buttons = three();
  CHECK(press(buttons, SDLK_u) == 1);
  CHECK_FALSE(press(buttons, SDLK_c));
  CHECK_FALSE(press(buttons, SDLK_SPACE));  // no focus yet
  CHECK(press(buttons, SDLK_RETURN) == 3);  // the main one
  CHECK_FALSE(press(buttons, SDLK_TAB));
  CHECK(buttons.focus() == 1);
  CHECK(press(buttons, SDLK_RETURN) == 1);
  press(buttons, SDLK_RIGHT);
  CHECK(buttons.focus() == 3);
  CHECK(press(buttons, SDLK_SPACE) == 3);
  press(buttons, SDLK_TAB);
  CHECK(buttons.focus() == 1);
  press(buttons, SDLK_TAB, true);
  CHECK(buttons.focus() == 3);
  click(buttons, {105.0F, 40.0F}, {105.0F, 40.0F});  // the pointer takes over
  CHECK_FALSE(buttons.focus());
  app::Buttons none;
  CHECK_FALSE(press(none, SDLK_TAB));
  CHECK_FALSE(press(none, SDLK_RETURN));
}

namespace {

// The drawn colours of one button of 60 x 15 mm, by how often they come.
std::vector<std::pair<int, app::Colour>> colours_of(const app::Button& wanted, bool held) {
  const auto window = app::Window::in_memory({600, 300});
  app::Canvas canvas(window->renderer());
  app::Text text(window->renderer());
  const app::Scale scale(1280, 800);
  app::Button b = wanted;
  b.area = {200.0F, 200.0F, scale.mm(60.0), scale.mm(15.0)};
  app::Buttons buttons;
  buttons.set({b});
  if (held) buttons.handle(app::pointer_event(Kind::pointer_down, {210.0F, 210.0F}));
  canvas.clear(app::theme::kGround);
  buttons.draw(canvas, text, scale);
  const cv::Mat picture = window->picture();
  // The middle alone: neither edge nor ground. In memory everything is drawn at twice the size.
  const cv::Rect middle(100 + 10, 100 + 10, cvFloor(b.area.w / 2) - 20, cvFloor(b.area.h / 2) - 20);
  std::map<std::tuple<int, int, int>, int> counts;
  for (int y = middle.y; y < middle.br().y; ++y)
    for (int x = middle.x; x < middle.br().x; ++x) {
      const cv::Vec3b p = picture.at<cv::Vec3b>(y, x);
      ++counts[{p[2], p[1], p[0]}];
    }
  std::vector<std::pair<int, app::Colour>> sorted;
  for (const auto& [rgb, count] : counts) {
    const auto [r, g, bl] = rgb;
    sorted.emplace_back(
        count, app::Colour{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g), static_cast<std::uint8_t>(bl)});
  }
  std::sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b2) { return a.first > b2.first; });
  return sorted;
}

}  // namespace

// WCAG 2.2, success criterion 1.4.6: 7 : 1. Computed from what is drawn: the fill is the commonest colour, the letters'
// the next one of any number (the rest are their soft edges).
TEST_CASE("the label stands out by 7 to 1 in every state", "[button][theme]") {
  for (const bool enabled : {true, false})
    for (const bool main : {true, false})
      for (const bool held : {true, false}) {
        app::Button b = button(1, "Take it back");
        b.enabled = enabled;
        b.main = main;
        const auto colours = colours_of(b, held && enabled);
        INFO("enabled " << enabled << ", main " << main << ", held " << held);
        REQUIRE(colours.size() >= 2);
        CHECK(colours[1].first > 50);
        CHECK(app::contrast_ratio(colours[0].second, colours[1].second) >= 7.0);
      }
}

// A choice that is on is told by more than a colour: its grey picture differs.
TEST_CASE("a selected button has a tick and a wider edge", "[button]") {
  const auto grey = [](bool selected) {
    const auto window = app::Window::in_memory({300, 100});
    app::Canvas canvas(window->renderer());
    app::Text text(window->renderer());
    app::Button b = button(1, "North");
    b.selected = selected;
    b.area = {20.0F, 20.0F, 500.0F, 150.0F};
    app::Buttons buttons;
    buttons.set({b});
    canvas.clear(app::theme::kGround);
    buttons.draw(canvas, text, app::Scale(1280, 800));
    cv::Mat1b g;
    cv::extractChannel(window->picture(), g, 1);
    return g;
  };
  const cv::Mat differs = cv::abs(grey(true) - grey(false)) > 60;
  CHECK(cv::countNonZero(differs) > 300);
}

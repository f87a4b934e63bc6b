// Lists longer than their place.
#include "app/screen/touch_list.h"
#include "tests/catch.h"

namespace {

using Kind = app::InputEvent::Kind;

// 100 x 100 mm on a screen of 10 px a mm.
struct Drawn {
  explicit Drawn(int count, int columns = 1) : count_(count), columns_(columns) { draw(); }
  void draw() {
    std::vector<app::Button> entries(static_cast<std::size_t>(count_));
    for (int i = 0; i < count_; ++i) entries[static_cast<std::size_t>(i)].id = 1000 + i;
    buttons.set(list.placed(entries, area, scale, {.columns = columns_, .line_mm = 15.0}));
  }
  std::optional<int> pointer(Kind kind, float x, float y) {
    const auto id = list.handle(app::pointer_event(kind, {x, y}), buttons);
    draw();
    return id;
  }
  std::optional<int> key(SDL_Keycode key) {
    const auto id = list.handle(app::key_event(key), buttons);
    draw();
    return id;
  }
  const SDL_FRect area{0.0F, 0.0F, 1000.0F, 1000.0F};
  const app::Scale scale{1900, 1245};
  app::TouchList list;
  app::Buttons buttons;

 private:
  int count_, columns_;
};

}  // namespace

TEST_CASE("a short list shows all and has no buttons to move it", "[views][list]") {
  Drawn d(4);
  CHECK(d.buttons.all().size() == 4);
  CHECK(d.list.end() == 4);
  CHECK(d.pointer(Kind::pointer_down, 100.0F, 20.0F) == std::nullopt);
  CHECK(d.pointer(Kind::pointer_up, 100.0F, 20.0F) == 1000);
}

TEST_CASE("a long list moves by pages, never past its ends, always whole lines", "[views][list]") {
  Drawn d(20);
  const int page = d.list.end();
  CHECK(page >= 5);
  CHECK(page <= 6);
  for (const app::Button& b : d.buttons.all()) CHECK(b.area.y + b.area.h <= 1000.5F);
  d.key(SDLK_PAGEUP);
  CHECK(d.list.first() == 0);
  d.key(SDLK_PAGEDOWN);
  CHECK(d.list.first() == page);
  d.key(SDLK_END);
  CHECK(d.list.end() == 20);
  CHECK(d.list.first() == 20 - page);
  d.key(SDLK_PAGEDOWN);
  CHECK(d.list.end() == 20);
  d.key(SDLK_HOME);
  CHECK(d.list.first() == 0);
  // The same by its button, at the lower right.
  d.pointer(Kind::pointer_down, 950.0F, 980.0F);
  CHECK(d.pointer(Kind::pointer_up, 950.0F, 980.0F) == std::nullopt);
  CHECK(d.list.first() == page);
}

// Example failure: a finger that only wanted to see more chooses what it lifted off.
TEST_CASE("dragging moves the list and presses nothing; a tap that trembles still presses", "[views][list]") {
  Drawn d(20);
  d.pointer(Kind::pointer_down, 100.0F, 700.0F);
  d.pointer(Kind::pointer_move, 100.0F, 500.0F);
  d.pointer(Kind::pointer_move, 100.0F, 360.0F);
  CHECK(d.list.first() == 2);  // two lines of some 170 px
  CHECK(d.pointer(Kind::pointer_up, 100.0F, 360.0F) == std::nullopt);
  CHECK(d.list.first() == 2);
  d.pointer(Kind::pointer_down, 100.0F, 60.0F);
  d.pointer(Kind::pointer_move, 104.0F, 70.0F);
  CHECK(d.pointer(Kind::pointer_up, 104.0F, 70.0F) == 1002);
}

TEST_CASE("arrows walk through a long list to its end", "[views][list]") {
  Drawn d(20);
  d.key(SDLK_TAB);
  CHECK(d.buttons.focus() == 1000);
  for (int i = 1; i < 20; ++i) {
    d.key(SDLK_DOWN);
    CHECK(d.buttons.focus() == 1000 + i);
  }
  CHECK(d.key(SDLK_RETURN) == 1019);
  for (int i = 18; i >= 0; --i) {
    d.key(SDLK_UP);
    CHECK(d.buttons.focus() == 1000 + i);
  }
  CHECK(d.list.first() == 0);
}

TEST_CASE("in two columns the arrows go by line and side", "[views][list]") {
  Drawn d(21, 2);
  d.key(SDLK_TAB);
  d.key(SDLK_RIGHT);
  CHECK(d.buttons.focus() == 1001);
  for (int i = 0; i < 9; ++i) d.key(SDLK_DOWN);
  CHECK(d.buttons.focus() == 1019);
  d.key(SDLK_LEFT);
  CHECK(d.buttons.focus() == 1018);
  d.key(SDLK_DOWN);
  CHECK(d.buttons.focus() == 1020);
}

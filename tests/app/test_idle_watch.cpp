// When the board is at rest, on rendered frames.
#include "app/render/renderer.h"
#include "app/work/idle_watch.h"
#include "tests/app/small_station.h"
#include "tests/catch.h"

namespace {

// Shows scenes to a watch, two frames a second, each with noise of its own.
class Watched {
 public:
  Watched() : renderer_(small_station(), app::demo_hoop("demo 130 x 180")) {
    scene.camera_from_board = app::camera_from_board(app::demo_camera_place());
    scene.cloth.reset();
    scene.ring.state = app::RingState::none;
  }
  void show(int frames, double light = 1.0) {
    scene.light.level = light;
    for (int i = 0; i < frames; ++i, time_s += 0.5) watch.see(renderer_.render(scene, ++seed_), time_s);
  }
  void show_light(double light) { show(1, light); }

  app::Scene scene;
  app::IdleWatch watch;
  double time_s = 100.0;

 private:
  app::Renderer renderer_;
  std::uint64_t seed_ = 0;
};

}  // namespace

// Guarantees: nothing but something on the board wakes the screen. Example failure: a sunny afternoon keeps it lit.
TEST_CASE("noise, slow light and a flickering lamp leave the board at rest", "[idle]") {
  Watched w;
  w.show(20);
  CHECK_THAT(w.watch.idle_s(), WithinAbs(9.5, 1e-9));
  for (int i = 0; i < 60; ++i) w.show_light(1.0 + (i % 2 == 0 ? 0.04 : -0.04));
  CHECK(w.watch.idle_s() > 39.0);
  for (int i = 0; i < 120; ++i) w.show_light(1.0 - 0.5 * i / 120.0);  // to half in a minute
  CHECK(w.watch.idle_s() > 99.0);
}

// Example failure: the screen stays dark while somebody lays a badge on the board.
TEST_CASE("a hand, a hoop, cloth, a card and the lamp's switch end the rest", "[idle]") {
  Watched w;
  w.show(20);
  REQUIRE(w.watch.idle_s() > 9.0);
  SECTION("a hand") {
    w.scene.hand = app::Hand{};
    w.scene.hand->board_from_hand = {{60.0, -150.0}, 0.2};
    w.show(1);
  }
  SECTION("a hand's finger tips at the edge of the picture") {
    w.scene.hand = app::Hand{};
    w.scene.hand->board_from_hand = {{0.0, -250.0}, 0.0};
    w.show(1);
  }
  SECTION("a hoop") {
    w.scene.ring.state = app::RingState::assembled;
    w.scene.ring.albedo = 0.12;
    w.show(1);
  }
  SECTION("cloth") {
    w.scene.cloth = app::Cloth{};
    w.show(1);
  }
  SECTION("a sticker") {
    w.scene.stickers.push_back({3, {{100.0, 50.0}, 0.0}, 0.0, {}});
    w.show(1);
  }
  SECTION("the lamp is switched off") { w.show_light(0.6); }
  CHECK(w.watch.idle_s() < 0.1);
  w.show(4, w.scene.light.level);
  CHECK_THAT(w.watch.idle_s(), WithinAbs(2.0, 1e-9));  // and whatever lies there now rests again
}

TEST_CASE("a touch ends the rest; a clock that jumps neither ends nor makes it", "[idle]") {
  Watched w;
  w.show(20);
  w.watch.touched();
  CHECK(w.watch.idle_s() == 0.0);
  w.show(10);
  CHECK_THAT(w.watch.idle_s(), WithinAbs(5.0, 1e-9));
  w.time_s += 5000.0;
  w.show(1);
  CHECK_THAT(w.watch.idle_s(), WithinAbs(5.0, 1e-9));
  w.time_s = 3.0;
  w.show(3);
  CHECK_THAT(w.watch.idle_s(), WithinAbs(6.0, 1e-9));
}

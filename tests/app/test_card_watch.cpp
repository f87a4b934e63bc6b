// Badges and tickets laid on the board.
#include "app/work/card_watch.h"
#include "tests/catch.h"

namespace {

vision::SeenTag tag(int id, double x_px = 300.0, double y_px = 200.0) {
  vision::SeenTag seen;
  seen.id = id;
  seen.corners_px = {{{x_px, y_px}, {x_px + 100.0, y_px}, {x_px + 100.0, y_px + 100.0}, {x_px, y_px + 100.0}}};
  return seen;
}

class Shown {
 public:
  void show(const std::vector<vision::SeenTag>& tags, double seconds) {
    for (int i = 0; i < static_cast<int>(seconds * 10.0 + 0.5); ++i, time_s += 0.1)
      for (const int card : watch.see(tags, time_s)) cards.push_back(card);
  }
  app::CardWatch watch;
  std::vector<int> cards;
  double time_s = 7.0;
};

using Ids = std::vector<int>;

}  // namespace

// Guarantees: a card that lies there is said once. Example failure: the job is chosen anew at every frame.
TEST_CASE("a card counts once it has lain, and again after it was gone", "[cards]") {
  Shown s;
  s.show({tag(500)}, 0.3);
  CHECK(s.cards.empty());
  s.show({tag(500)}, 5.0);
  CHECK(s.cards == Ids{500});
  s.show({}, 1.0);  // a hand over it
  s.show({tag(500)}, 1.0);
  CHECK(s.cards == Ids{500});
  s.show({}, 3.0);
  s.show({tag(500)}, 1.0);
  CHECK(s.cards == Ids{500, 500});
}

TEST_CASE("a card that is carried, or shows between fingers, does not count", "[cards]") {
  Shown s;
  for (int i = 0; i < 30; ++i) s.show({tag(486, 100.0 + 20.0 * i)}, 0.1);
  for (int i = 0; i < 10; ++i) {
    s.show({tag(486)}, 0.2);
    s.show({}, 0.7);
  }
  CHECK(s.cards.empty());
  // Laid down where it was carried to.
  s.show({tag(486, 680.0)}, 0.6);
  CHECK(s.cards == Ids{486});
}

TEST_CASE("two cards at once are both said; other tags are none", "[cards]") {
  Shown s;
  s.show({tag(586), tag(480, 900.0), tag(479, 500.0), tag(430, 700.0), tag(12, 50.0)}, 1.0);
  CHECK(s.cards == Ids{480, 586});
}

// Guarantees: neither a new camera nor a jumping clock says a card twice, or one that hardly lay.
TEST_CASE("cards and frames that were lost", "[cards]") {
  Shown s;
  s.show({tag(500)}, 1.0);
  s.watch.frames_lost();
  s.time_s = 0.5;
  s.show({tag(500)}, 1.0);
  s.time_s += 500.0;
  s.show({tag(500)}, 1.0);
  s.time_s = 3.0;
  s.show({tag(500)}, 1.0);
  CHECK(s.cards == Ids{500});
  s.show({tag(510)}, 0.3);
  s.time_s += 500.0;
  s.show({tag(510)}, 0.3);
  CHECK(s.cards == Ids{500});
  s.show({tag(510)}, 0.3);
  CHECK(s.cards == Ids{500, 510});
}

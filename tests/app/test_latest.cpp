#include <atomic>
#include <chrono>
#include <memory>
#include <thread>

#include "app/source/latest.h"
#include "tests/catch.h"

using namespace std::chrono_literals;

// Guarantees: the newest wins. Example failure: a slow screen shows ever older frames.
TEST_CASE("the mailbox keeps the newest item and counts the dropped ones", "[latest]") {
  app::Latest<int> box;
  box.put(1);
  box.put(2);
  box.put(3);
  CHECK(box.take_within(0ms) == 3);
  CHECK(box.drops() == 2);
  CHECK_FALSE(box.take_within(1ms).has_value());
  CHECK(box.drops() == 2);
}

TEST_CASE("closing wakes the one who waits and keeps what lies in the slot", "[latest]") {
  app::Latest<int> box;
  std::thread closer([&box] {
    std::this_thread::sleep_for(20ms);
    box.put(7);
    box.close();
    box.put(8);
  });
  CHECK(box.take() == 7);
  CHECK_FALSE(box.take().has_value());
  closer.join();
  CHECK(box.closed());
}

// A dropped frame's buffer must go back to the camera at once, not when the next frame is taken.
TEST_CASE("a dropped item is let go of at once", "[latest]") {
  app::Latest<std::shared_ptr<int>> box;
  auto first = std::make_shared<int>(1);
  const std::weak_ptr<int> watch = first;
  box.put(std::move(first));
  CHECK_FALSE(watch.expired());
  box.put(std::make_shared<int>(2));
  CHECK(watch.expired());
}

TEST_CASE("what is taken from another thread comes in order and none is lost uncounted", "[latest]") {
  app::Latest<int> box;
  constexpr int kCount = 20000;
  std::thread giver([&box] {
    for (int i = 1; i <= kCount; ++i) box.put(i);
    box.close();
  });
  int last = 0;
  int taken = 0;
  bool in_order = true;
  while (const auto item = box.take()) {
    in_order = in_order && *item > last;
    last = *item;
    ++taken;
  }
  giver.join();
  CHECK(in_order);
  CHECK(last == kCount);
  CHECK(taken + box.drops() == kCount);
}

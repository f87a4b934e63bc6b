// A person at the records view, which reads on a thread of its own: each touch waits until what was read is shown.
#pragma once

#include <chrono>
#include <thread>

#include "app/views/records/records_view.h"
#include "tests/app/view_person.h"

class RecordsPerson {
 public:
  explicit RecordsPerson(app::Desk& desk, cv::Size size = {1024, 600}) : desk_(desk), person_(desk, size) {}

  bool open() {
    desk_.open(app::ViewId::work);
    person_.draw();
    person_.open(app::ViewId::records);
    return settle();
  }
  // Draws until what is asked for is shown.
  bool settle() {
    const auto give_up = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    person_.draw();
    while (view().reading() && std::chrono::steady_clock::now() < give_up) {
      while (view().reader_busy() && std::chrono::steady_clock::now() < give_up)
        std::this_thread::sleep_for(std::chrono::milliseconds(1));
      person_.draw();
    }
    return !view().reading();
  }
  // Labels one after another; "" is the first card or line that has the view's own drawing on it.
  bool touch(std::initializer_list<std::string> labels) {
    for (const std::string& label : labels)
      if (!person_.touch(label) || !settle()) return false;
    return true;
  }
  bool key(SDL_Keycode key) {
    person_.key(key);
    return settle();
  }
  app::RecordsView& view() { return dynamic_cast<app::RecordsView&>(person_.view()); }
  const app::RecordsSeen& seen() { return *view().seen(); }
  ViewPerson& person() { return person_; }

 private:
  app::Desk& desk_;
  ViewPerson person_;
};

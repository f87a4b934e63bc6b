// Plays the station's sounds through SDL. A thread of its own opens the device at the first sound and closes it when
// nothing was played for a while, so that no slow or missing device holds up the screen.
#pragma once

#include <condition_variable>
#include <mutex>
#include <optional>
#include <thread>

#include "app/desk/desk.h"

namespace app {

class Sounds {
 public:
  explicit Sounds();
  // What sounds just now is let finish, for a second at most.
  ~Sounds();
  Sounds(const Sounds&) = delete;
  Sounds& operator=(const Sounds&) = delete;

  // Returns at once. Sounds that come faster than they can be played are left out. Without a device nothing is heard,
  // which the log says once.
  void play(Sound sound);

 private:
  void run();

  std::mutex gate_;
  std::condition_variable news_;
  std::optional<Sound> wanted_;
  bool over_ = false;
  std::thread thread_;  // last: it uses the others
};

}  // namespace app

// Whether the station makes progress, so that the service manager may be told so.
#pragma once

#include <chrono>
#include <optional>

namespace app {

// Progress is, within half of the limit:
//  - the screen was drawn. It is drawn twice a second without any frame, and every two seconds while it rests.
//  - both threads of the frames gave a sign of life. A camera that is lost and sought, opened anew, or delivers what
//    cannot be measured is progress of the threads; a thread that hangs in the camera's or the system's code is not.
//  - or the frames have ended for good, as a folder of pictures does.
// Then the manager is told a few times within the limit; otherwise it is not, and starts the station anew.
class Watchdog {
 public:
  using Time = std::chrono::steady_clock::time_point;
  using Seconds = std::chrono::duration<double>;

  // Without a limit nobody watches, and feed() never asks to tell anybody.
  Watchdog(std::optional<Seconds> limit, Time now) : limit_(limit), drawn_(now), frames_(now) {}

  void screen_drawn(Time at) { drawn_ = at; }
  // The last sign of life of whichever thread is longer silent.
  void frames_alive(Time at) { frames_ = at; }
  void frames_ended() { ended_ = true; }

  // To be asked every turn; whether the manager is to be told now.
  bool feed(Time now);

 private:
  std::optional<Seconds> limit_;
  Time drawn_, frames_;
  bool ended_ = false;
  std::optional<Time> fed_;
};

}  // namespace app

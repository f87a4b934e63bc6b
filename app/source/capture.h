// The frames of a source, taken on a thread of its own; the newest one waits in a mailbox.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "app/source/frame_source.h"
#include "app/source/latest.h"

namespace app {

using Clock = std::chrono::steady_clock;

struct ArrivedFrame {
  Frame frame;
  Clock::time_point arrived;  // when the source handed it over
};

// A moment that one thread sets and others read.
class Beat {
 public:
  void now() { at_ = Clock::now(); }
  Clock::time_point last() const { return at_; }

 private:
  std::atomic<Clock::time_point> at_{Clock::now()};
};

class Capture {
 public:
  // Starts the thread. A live camera that gives nothing is asked again and again; it never ends by itself.
  explicit Capture(std::unique_ptr<FrameSource> source);
  // Stops the source and waits for the thread.
  ~Capture();
  Capture(const Capture&) = delete;
  Capture& operator=(const Capture&) = delete;

  // Closed when no more frames will come: a source that is no live camera ended or failed (then trouble() says why).
  Latest<ArrivedFrame>& frames() { return frames_; }
  const Latest<ArrivedFrame>& frames() const { return frames_; }
  const FrameSource& source() const { return *source_; }
  // What is wrong just now, in the operator's words; empty while all is well. A camera that hangs, so that not even its
  // source answers any more, is named as well.
  std::string trouble() const;
  // What the system said of it; may be empty.
  std::string trouble_detail() const;
  // The last sign of life of the thread: a frame, a wait that ended in time, a try to open the camera. Older than some
  // seconds it hangs in the system's camera code, which only a new start of the program mends.
  Clock::time_point last_beat() const { return beat_.last(); }
  // From any thread.
  void resettle() { source_->resettle(); }
  // From any thread.
  void stop();

 private:
  void run();
  bool take_one();
  void pause();
  void set_trouble(std::string text, std::string detail);

  std::unique_ptr<FrameSource> source_;
  Latest<ArrivedFrame> frames_;
  Beat beat_;
  mutable std::mutex gate_;
  std::condition_variable stopping_;
  bool stop_ = false;
  std::string trouble_, detail_;
  std::thread thread_;
};

}  // namespace app

// The frames of a source, taken on a thread of its own; the newest one waits in a mailbox.
#pragma once

#include <atomic>
#include <chrono>
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

class Capture {
 public:
  // Starts the thread.
  explicit Capture(std::unique_ptr<FrameSource> source);
  // Stops the source and waits for the thread.
  ~Capture();
  Capture(const Capture&) = delete;
  Capture& operator=(const Capture&) = delete;

  // Closed when no more frames will come: the source ended, or it failed for good (then trouble() says why).
  Latest<ArrivedFrame>& frames() { return frames_; }
  const Latest<ArrivedFrame>& frames() const { return frames_; }
  const FrameSource& source() const { return *source_; }
  // What is wrong just now, in the operator's words; empty while all is well.
  std::string trouble() const;
  // From any thread.
  void stop();

 private:
  void run();
  void set_trouble(std::string text);

  std::unique_ptr<FrameSource> source_;
  Latest<ArrivedFrame> frames_;
  std::atomic<bool> stop_{false};
  mutable std::mutex trouble_gate_;
  std::string trouble_;
  std::thread thread_;
};

}  // namespace app

// From a source of frames to the newest reading: capture and measuring, each on a thread of its own.
#pragma once

#include <atomic>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "app/source/capture.h"
#include "vision/reading.h"

namespace app {

// A frame with what was read from it.
struct Measured {
  Frame frame;
  vision::FrameResult result;
  Clock::time_point arrived;  // when the source handed the frame over
  double measuring_ms = 0.0;
  std::string other_hoop;  // a taught hoop that lies there instead of the one looked for; empty: none
};

// Reads the frame and fills in what it gave; called from one thread only. Throws for a frame it cannot take (wrong
// size).
using ReadFrame = std::function<void(Measured& measured)>;

class Measuring {
 public:
  // Starts both threads.
  Measuring(std::unique_ptr<FrameSource> source, ReadFrame read);
  // Stops the source and waits for both threads.
  ~Measuring();
  Measuring(const Measuring&) = delete;
  Measuring& operator=(const Measuring&) = delete;

  Latest<Measured>& results() { return results_; }
  const FrameSource& source() const { return capture_.source(); }

  // What is wrong just now, in the operator's words; empty while all is well.
  std::string trouble() const;
  // No more frames will come: the source ended, or it failed for good (then trouble() says why).
  bool ended() const { return ended_; }
  // Frames that came faster than they were measured.
  long frames_dropped() const { return capture_.frames().drops(); }

 private:
  void measure();

  ReadFrame read_;
  Latest<Measured> results_;
  std::atomic<bool> stop_{false};
  std::atomic<bool> ended_{false};
  mutable std::mutex fault_gate_;
  std::string fault_;  // of measuring itself
  Capture capture_;
  std::thread measure_thread_;
};

}  // namespace app

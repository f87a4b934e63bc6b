// From a source of frames to the newest reading: capture and measuring, each on a thread of its own.
#pragma once

#include <algorithm>
#include <atomic>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "app/source/capture.h"
#include "app/source/light_watch.h"
#include "app/straighten/line_look.h"
#include "vision/reading.h"

namespace app {

// A frame with what was read from it.
struct Measured {
  Frame frame;
  vision::FrameResult result;
  Clock::time_point arrived;  // when the source handed the frame over
  double measuring_ms = 0.0;
  std::string other_hoop;          // a taught hoop that lies there instead of the one looked for; empty: none
  std::optional<LineSeen> line{};  // of the cloth itself, while that is wanted
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

  // What is wrong just now, in the operator's words (app/source/trouble.h); empty while all is well. A live camera's
  // frame that cannot be measured is passed over and named here until the next one that can.
  std::string trouble() const;
  // What the system said of it; may be empty.
  std::string trouble_detail() const;
  // No more frames will come: a source that is no live camera ended or failed (then trouble() says why).
  bool ended() const { return ended_; }
  // The last sign of life of whichever thread is longer silent. A camera that is merely lost lets both go on; older
  // than some seconds, before the end, one of them hangs.
  Clock::time_point last_beat() const { return std::min(beat_.last(), capture_.last_beat()); }
  // Frames measured so far, those that came faster than they were measured, and those that could not be measured.
  long frames_measured() const { return measured_; }
  long frames_dropped() const { return capture_.frames().drops(); }
  long frames_refused() const { return refused_; }
  // Of one frame, over the last twenty or so.
  double mean_measuring_ms() const { return mean_ms_; }
  // From any thread: the camera shall find exposure and colours anew. Frames that are too dark or too bright for long
  // have the same effect.
  void resettle() { capture_.resettle(); }

 private:
  void work();
  bool measure(ArrivedFrame next);
  void set_fault(std::string text, std::string detail);

  ReadFrame read_;
  Latest<Measured> results_;
  LightWatch light_;
  Beat beat_;
  std::atomic<bool> stop_{false}, ended_{false};
  std::atomic<long> measured_{0}, refused_{0};
  std::atomic<double> mean_ms_{0.0};
  mutable std::mutex fault_gate_;
  std::string fault_, fault_detail_;  // of measuring itself
  Capture capture_;
  std::thread measure_thread_;
};

}  // namespace app

// A set-up step on its thread: fed with the newest frames until it is complete, then computing. Only that thread
// touches the step; what a person wants of it is handed over.
#pragma once

#include <atomic>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "app/setup/step.h"
#include "app/source/capture.h"

namespace app {

// finish(), with a fault told as an outcome that is not good. Never throws.
StepOutcome outcome_of(SetupStep& step);

class StepRun {
 public:
  enum class Phase { taking, computing, finished };
  struct Shown {
    Frame frame;
    StepAdvice advice;
  };

  // The step outlives the run.
  StepRun(SetupStep& step, std::unique_ptr<FrameSource> source);
  // Waits for the computing, if it goes on just now.
  ~StepRun();
  StepRun(const StepRun&) = delete;
  StepRun& operator=(const StepRun&) = delete;

  // The newest frame with what the step says of it.
  Latest<Shown>& shown() { return shown_; }
  Phase phase() const { return phase_; }
  // Pictures taken so far, also those of frames that nobody saw.
  long taken() const { return taken_; }
  // How often it has computed, and what came of it the last time.
  long outcomes() const { return outcomes_; }
  StepOutcome outcome() const;
  // What is wrong just now, in the person's words; empty while all is well.
  std::string trouble() const;
  // No more frames will come.
  bool ended() const { return capture_.frames().closed(); }

  // Takes the last kept picture back, once the frame in work is done. undone() then tells once what came of it.
  void undo() { wish_undo_ = true; }
  std::optional<bool> undone();
  // Computes with what there is.
  void compute() { wish_compute_ = true; }
  // After a result that is not wanted: takes pictures again. A step that says it is complete computes again only after
  // another picture was taken, or on compute().
  void take_more() { wish_more_ = true; }

 private:
  void work();
  void take_frame();
  void finish();
  void set_fault(std::string text);

  SetupStep& step_;
  Latest<Shown> shown_;
  std::atomic<Phase> phase_{Phase::taking};
  std::atomic<long> taken_{0}, outcomes_{0};
  std::atomic<bool> stop_{false}, wish_undo_{false}, wish_compute_{false}, wish_more_{false};
  bool may_finish_ = true;  // of the thread: completeness counts
  mutable std::mutex gate_;
  StepOutcome outcome_;
  std::string fault_;
  std::optional<bool> undone_;
  Capture capture_;
  std::thread thread_;
};

}  // namespace app

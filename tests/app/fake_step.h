// A set-up step and a source made up for what runs and shows steps: nothing is measured here.
#pragma once

#include <atomic>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "app/setup/step.h"
#include "app/source/frame_source.h"

namespace fake {

// Keeps every frame until it has enough of them.
struct StepScript {
  int needed = 3;          // pictures until it is complete
  int enough = 2;          // from so many on a poorer result could be computed
  bool good = true;        // the outcome
  std::string fails_with;  // finish() throws StepError with this text, the first time
  int breaks_at = -1;      // take() throws at this frame
};

class Step : public app::SetupStep {
 public:
  explicit Step(StepScript script) : script_(std::move(script)) {}

  std::string title() const override { return "Invented step"; }
  app::StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override;
  app::StepOutcome finish() override;
  bool undo() override;

  int kept() const { return kept_; }
  int finished() const { return finished_; }
  bool finishing() const { return finishing_; }  // finish() was called
  int undone() const { return undone_; }
  // The step was used from one thread only, but for the one that made it.
  bool one_thread() const { return one_thread_; }
  // While held, finish() waits.
  std::mutex hold_finish;
  // While false, frames are looked at and none is kept.
  std::atomic<bool> keeping{true};

 private:
  void note_thread();

  StepScript script_;
  std::atomic<int> kept_{0}, finished_{0}, undone_{0}, seen_{0};
  std::atomic<bool> one_thread_{true}, finishing_{false};
  std::mutex gate_;
  std::thread::id thread_;
};

struct SourceScript {
  int frames = -1;      // then it ends; -1: never
  std::string trouble;  // why it ended
  bool live = false;
};

// Grey frames of 320 x 180, one a millisecond or two.
std::unique_ptr<app::FrameSource> source(SourceScript script = {});

// All kinds of marks over a picture of 1280 x 720.
app::StepAdvice advice_with_all_marks();
cv::Mat picture_of_a_sheet();

}  // namespace fake

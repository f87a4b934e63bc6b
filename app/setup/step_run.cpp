#include "app/setup/step_run.h"

#include <exception>
#include <utility>

#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr auto kPatience = std::chrono::milliseconds(20);  // then the wishes are looked at

}  // namespace

StepOutcome outcome_of(SetupStep& step) {
  try {
    return step.finish();
  } catch (const std::exception& error) {
    StepOutcome outcome;
    outcome.headline = tr("No result");
    outcome.lines.emplace_back(error.what());
    return outcome;
  }
}

StepRun::StepRun(SetupStep& step, std::unique_ptr<FrameSource> source) : step_(step), capture_(std::move(source)) {
  thread_ = std::thread([this] { work(); });
}

StepRun::~StepRun() {
  stop_ = true;
  capture_.stop();
  shown_.close();
  thread_.join();
}

StepOutcome StepRun::outcome() const {
  const std::scoped_lock lock(gate_);
  return outcome_;
}

std::string StepRun::trouble() const {
  {
    const std::scoped_lock lock(gate_);
    if (!fault_.empty()) return fault_;
  }
  return capture_.trouble();
}

std::optional<bool> StepRun::undone() {
  const std::scoped_lock lock(gate_);
  return std::exchange(undone_, std::nullopt);
}

void StepRun::set_fault(std::string text) {
  const std::scoped_lock lock(gate_);
  fault_ = std::move(text);
}

void StepRun::work() {
  while (!stop_) {
    try {
      if (wish_undo_.exchange(false)) {
        const bool done = step_.undo();
        const std::scoped_lock lock(gate_);
        undone_ = done;
      }
      if (phase_ == Phase::finished) {
        if (wish_more_.exchange(false)) {
          may_finish_ = false;
          phase_ = Phase::taking;
        }
        capture_.frames().take_within(kPatience);
        if (ended()) std::this_thread::sleep_for(kPatience);
        continue;
      }
      if (wish_compute_.exchange(false)) {
        finish();
      } else {
        take_frame();
      }
    } catch (const std::exception& error) {
      set_fault(format(tr("This step stopped: %s"), error.what()));
      capture_.stop();
      return;
    }
  }
}

void StepRun::take_frame() {
  auto next = capture_.frames().take_within(kPatience);
  if (!next) {
    if (ended()) std::this_thread::sleep_for(kPatience);
    return;
  }
  StepAdvice advice = step_.take(next->frame.grey, next->frame.time_s, {});
  if (advice.taken) {
    ++taken_;
    may_finish_ = true;
  }
  const bool complete = advice.complete && may_finish_;
  shown_.put({std::move(next->frame), std::move(advice)});
  if (complete && !stop_) finish();
}

void StepRun::finish() {
  phase_ = Phase::computing;
  StepOutcome outcome = outcome_of(step_);
  {
    const std::scoped_lock lock(gate_);
    outcome_ = std::move(outcome);
  }
  wish_more_ = wish_compute_ = wish_undo_ = false;
  phase_ = Phase::finished;
  ++outcomes_;
}

}  // namespace app

#include "app/setup/step_loop.h"

#include <cstdio>
#include <optional>
#include <ostream>
#include <sstream>
#include <string>
#include <utility>

#include "app/screen/screen.h"
#include "app/setup/step_run.h"
#include "app/setup/step_view.h"
#include "app/words/words.h"

namespace app {
namespace {

using Seconds = std::chrono::duration<double>;

constexpr double kStale_s = 2.0;
constexpr double kFlash_s = 0.5;
constexpr double kRemark_s = 3.0;
constexpr double kRedraw_s = 0.5;         // without new frames, for what changes by time alone
constexpr double kMovingRedraw_s = 0.05;  // what moves on the screen
constexpr auto kPatience = std::chrono::milliseconds(10);

double since(Clock::time_point start) { return Seconds(Clock::now() - start).count(); }

void say(std::ostream& out, const StepOutcome& outcome) {
  out << outcome.headline << '\n';
  for (const std::string& line : outcome.lines) out << "  " << line << '\n';
  for (const auto& file : outcome.files) out << "  written: " << file.string() << '\n';
  out.flush();
}

// One run on a display.
class DisplayLoop {
 public:
  DisplayLoop(Window& window, SetupStep& step, StepSource source, const LiveOptions& options, const StopSignal& stop)
      : screen_(window), options_(options), stop_(stop) {
    state_.title = step.title();
    state_.source = tr(source.source->title());
    state_.notice = tr(source.notice);
    run_.emplace(step, std::move(source.source));
  }

  int run() {
    while (!over_ && !stop_.received() && !(options_.seconds && since(start_) >= *options_.seconds)) {
      take_input();
      take_frame();
      follow_run();
      if (!redraw_ && since(drawn_) < (moving() ? kMovingRedraw_s : kRedraw_s)) continue;
      draw();
      screen_.present();
    }
    if (options_.picture) {
      draw();
      write_picture(screen_.window(), *options_.picture);
      std::printf("The screen's picture is in %s.\n", options_.picture->c_str());
    }
    if (!good_ && !state_.trouble.empty()) std::fprintf(stderr, "hoopgauge: %s\n", state_.trouble.c_str());
    return good_ ? 0 : 1;
  }

 private:
  bool moving() const { return state_.computing || state_.flash; }

  void take_input() {
    const WindowEvents events = screen_.poll();
    if (events.closed) over_ = true;
    if (events.textures_lost) view_.textures_lost();
    redraw_ = redraw_ || events.redraw || !events.input.empty();
    for (const InputEvent& event : events.input) {
      if (const auto wish = view_.handle(event)) fulfil(*wish);
    }
  }

  void fulfil(StepWish wish) {
    switch (wish) {
      case StepWish::undo:
        return run_->undo();
      case StepWish::compute:
        return run_->compute();
      case StepWish::more:
        framed_ = Clock::now();
        view_.show(std::nullopt);
        return run_->take_more();
      case StepWish::leave:
        over_ = true;
    }
  }

  void take_frame() {
    auto shown = run_->shown().take_within(kPatience);
    if (!shown) return;
    framed_ = Clock::now();
    view_.take(std::move(shown->frame), std::move(shown->advice));
    redraw_ = true;
  }

  // What happened on the step's thread.
  void follow_run() {
    const StepRun::Phase phase = run_->phase();
    if (phase == StepRun::Phase::computing && !state_.computing) computing_ = Clock::now();
    if (const long outcomes = run_->outcomes(); outcomes != outcomes_) {
      outcomes_ = outcomes;
      redraw_ = true;
      const StepOutcome outcome = run_->outcome();
      good_ = outcome.good;
      std::ostringstream text;
      say(text, outcome);
      std::fputs(text.str().c_str(), stdout);
      std::fflush(stdout);
      view_.show(outcome);
    }
    const bool computing = phase == StepRun::Phase::computing;
    redraw_ = redraw_ || computing != state_.computing;
    state_.computing = computing;
    state_.computing_s = since(computing_);
    if (const auto undone = run_->undone()) {
      state_.remark = *undone ? tr("The last picture was taken back") : tr("There is nothing to take back");
      remarked_ = Clock::now();
      redraw_ = true;
    }
    if (!state_.remark.empty() && since(remarked_) >= kRemark_s) state_.remark.clear();
    if (const long taken = run_->taken(); taken != taken_) {
      taken_ = taken;
      flashed_ = Clock::now();
      redraw_ = true;
    }
    state_.flash = taken_ > 0 && since(flashed_) < kFlash_s;
    state_.can_undo = taken_ > 0;
    const std::string trouble = run_->trouble();
    redraw_ = redraw_ || trouble != state_.trouble;
    state_.trouble = trouble;
    state_.stale = !state_.computing && since(framed_) >= kStale_s;
  }

  void draw() {
    view_.draw(screen_.canvas, screen_.text, screen_.size(), state_);
    drawn_ = Clock::now();
    redraw_ = false;
  }

  Screen screen_;
  const LiveOptions& options_;
  const StopSignal& stop_;
  StepState state_;
  StepView view_;
  std::optional<StepRun> run_;  // its thread ends before the view gives its pixels back
  bool over_ = false, redraw_ = true, good_ = false;
  long taken_ = 0, outcomes_ = 0;
  Clock::time_point start_ = Clock::now(), framed_ = start_, drawn_{}, computing_ = start_, flashed_{}, remarked_{};
};

}  // namespace

int run_step_on_display(Window& window, SetupStep& step, StepSource source, const LiveOptions& options,
                        const StopSignal& stop) {
  return DisplayLoop(window, step, std::move(source), options, stop).run();
}

int run_step_without_display(SetupStep& step, StepSource source, const LiveOptions& options, const StopSignal& stop,
                             std::ostream& out, std::ostream& err) {
  StepState state;
  state.title = step.title();
  state.source = source.source->title();
  state.notice = source.notice;
  const auto start = Clock::now();
  std::string headline;
  StepAdvice advice;
  StepView view;
  bool complete = false;
  std::string trouble;
  {
    Capture capture(std::move(source.source));
    while (!complete && !stop.received() && !(options.seconds && since(start) >= *options.seconds)) {
      auto next = capture.frames().take_within(std::chrono::milliseconds(100));
      if (!next && capture.frames().closed()) break;
      if (!next) {
        if (std::string now = capture.trouble(); now != trouble) {
          trouble = std::move(now);
          if (!trouble.empty()) err << "hoopgauge: " << trouble << std::endl;
        }
        continue;
      }
      advice = step.take(next->frame.grey, next->frame.time_s, {});
      if (advice.headline != headline) out << advice.headline << std::endl;
      headline = advice.headline;
      complete = advice.complete;
      if (options.picture)
        view.take({next->frame.grey.clone(), next->frame.time_s, next->frame.number, {}, {}}, advice);
    }
    trouble = capture.trouble();
  }
  std::optional<StepOutcome> outcome;
  if (complete) {
    outcome = outcome_of(step);
    say(out, *outcome);
    view.show(outcome);
  }
  if (options.picture) {
    const auto memory = Window::in_memory(options.size);
    Screen screen(*memory);
    state.trouble = trouble;
    view.draw(screen.canvas, screen.text, screen.size(), state);
    write_picture(*memory, *options.picture);
    out << "The screen's picture is in " << options.picture->string() << ".\n";
    view.textures_lost();  // while their renderer is there
  }
  if (outcome) return outcome->good ? 0 : 1;
  err << "hoopgauge: " << (trouble.empty() ? "not finished: " + advice.sentence : trouble) << '\n';
  return 1;
}

}  // namespace app

#include "tests/app/fake_step.h"

#include <chrono>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

using namespace std::chrono_literals;

namespace fake {

void Step::note_thread() {
  const std::scoped_lock lock(gate_);
  if (thread_ == std::thread::id()) thread_ = std::this_thread::get_id();
  if (thread_ != std::this_thread::get_id()) one_thread_ = false;
}

app::StepAdvice Step::take(const cv::Mat& grey, double, const std::string&) {
  note_thread();
  if (seen_++ == script_.breaks_at) throw std::runtime_error("an invented fault");
  app::StepAdvice advice;
  advice.taken = !grey.empty() && keeping && kept_ < script_.needed;
  if (advice.taken) ++kept_;
  advice.complete = kept_ >= script_.needed;
  advice.enough = kept_ >= script_.enough;
  advice.headline = "Picture " + std::to_string(kept_);
  advice.sentence = "Hold it still.";
  advice.details = {std::to_string(kept_) + " of " + std::to_string(script_.needed) + " pictures"};
  advice.progress = static_cast<double>(kept_) / script_.needed;
  return advice;
}

app::StepOutcome Step::finish() {
  note_thread();
  finishing_ = true;
  const std::scoped_lock hold(hold_finish);
  if (++finished_ == 1 && !script_.fails_with.empty()) throw app::StepError(script_.fails_with);
  app::StepOutcome outcome;
  outcome.good = script_.good;
  outcome.headline = script_.good ? "It is known" : "It is not good";
  outcome.lines = {std::to_string(kept_) + " pictures were used"};
  return outcome;
}

bool Step::undo() {
  note_thread();
  if (kept_ == 0) return false;
  --kept_;
  ++undone_;
  return true;
}

namespace {

class Source : public app::FrameSource {
 public:
  explicit Source(SourceScript script) : script_(std::move(script)) {}
  std::optional<app::Frame> next() override {
    std::this_thread::sleep_for(1ms);  // a pace, as a camera has one
    if (stopped_ || number_ == script_.frames) return std::nullopt;
    app::Frame frame;
    frame.grey = cv::Mat(180, 320, CV_8UC1, cv::Scalar(static_cast<double>(60 + number_ % 100)));
    frame.number = number_;
    frame.time_s = 0.1 * number_++;
    return frame;
  }
  void stop() override { stopped_ = true; }
  std::string title() const override { return "invented frames"; }
  std::string trouble() const override { return script_.trouble; }
  bool is_live_camera() const override { return script_.live; }

 private:
  SourceScript script_;
  std::atomic<bool> stopped_{false};
  int number_ = 0;
};

}  // namespace

std::unique_ptr<app::FrameSource> source(SourceScript script) { return std::make_unique<Source>(std::move(script)); }

cv::Mat picture_of_a_sheet() {
  cv::Mat picture(720, 1280, CV_8UC1, cv::Scalar(95));
  cv::rectangle(picture, {330, 130}, {950, 590}, cv::Scalar(235), cv::FILLED);
  for (int row = 0; row < 7; ++row)
    for (int column = row % 2; column < 9; column += 2)
      cv::rectangle(picture, {370 + 60 * column, 150 + 60 * row}, {429 + 60 * column, 209 + 60 * row}, cv::Scalar(25),
                    cv::FILLED);
  return picture;
}

app::StepAdvice advice_with_all_marks() {
  using Kind = app::StepMark::Kind;
  app::StepAdvice advice;
  advice.headline = "Tilt the sheet to the left";
  advice.sentence = "Lift its right side by about a hand's width, and hold it still.";
  advice.details = {"7 of 20 pictures", "Missing: top left, bottom right", "Missing: tilted to the left, to the front"};
  advice.progress = 0.35;
  for (int row = 0; row < 6; ++row)
    for (int column = 0; column < 8; ++column)
      advice.marks.push_back({Kind::found, {{430.0 + 60.0 * column, 210.0 + 60.0 * row}}, false, {}});
  advice.marks.push_back(
      {Kind::aim, {{80.0, 60.0}, {420.0, 60.0}, {420.0, 300.0}, {80.0, 300.0}}, true, "Bring it here"});
  advice.marks.push_back({Kind::done, {{900.0, 60.0}, {1220.0, 60.0}, {1220.0, 260.0}, {900.0, 260.0}}, true, {}});
  advice.marks.push_back(
      {Kind::doubt, {{1000.0, 450.0}, {1150.0, 460.0}, {1140.0, 600.0}, {990.0, 590.0}}, true, "bent?"});
  return advice;
}

}  // namespace fake

#include "app/setup/hoop_check_step.h"

#include <algorithm>
#include <cstdio>
#include <utility>

#include "app/format.h"
#include "app/words/words.h"
#include "calib/teach_ring.h"

namespace app {
namespace {

long counted(const calib::CheckOutcome& outcome) {
  return std::count_if(outcome.frames.begin(), outcome.frames.end(),
                       [](const calib::CheckedFrame& one) { return one.found && one.moved; });
}

}  // namespace

calib::TaughtRing taught_ring_of(const vision::Hoop& hoop) {
  // What a good teaching leaves, where the file does not say: mm.
  constexpr double kOutline = 0.05, kOrigin = 0.1, kAngle_deg = 0.05;
  constexpr double kNowhere_mm = 1e5;
  calib::TaughtRing ring;
  ring.hoop = hoop;
  ring.hoop.rim_height_mm = std::max(calib::kLeastRimHeightMm, hoop.rim_height_mm - hoop.cloth_height_mm);
  ring.hoop.cloth_height_mm = 0.0;
  ring.board_from_hoop.origin_mm = {kNowhere_mm, kNowhere_mm};
  ring.notch_found = {true, true, true, true};
  ring.north_certain = true;
  ring.seen_share = 1.0;
  ring.u_inner_mm = ring.u_outer_mm = kOutline;
  ring.u_origin_mm = kOrigin;
  ring.u_angle_deg = kAngle_deg;
  return ring;
}

HoopCheckStep::HoopCheckStep(vision::Station station, const vision::Hoop& hoop)
    : station_(std::move(station)), name_(hoop.name), check_(taught_ring_of(hoop), station_) {}

StepAdvice HoopCheckStep::waiting() const {
  const calib::CheckOutcome outcome = check_.outcome();
  const long places = counted(outcome);
  StepAdvice advice;
  advice.headline = places == 0 ? tr("Lay the hoop on the board") : tr("Shift and turn the hoop");
  advice.sentence = places == 0 ? tr("Both rings pressed together, no cloth. Then take your hands away.")
                                : tr("To another part of the board, and turned a little. Then take your hands away.");
  advice.progress = static_cast<double>(places) / calib::kCheckFrames;
  advice.complete = outcome.complete;
  advice.details.push_back(
      format(tr("%d of %d places seen"), static_cast<int>(places), static_cast<int>(calib::kCheckFrames)));
  return advice;
}

StepAdvice HoopCheckStep::take(const cv::Mat& grey, double time_s, const std::string& name) {
  if (grey.size() != cv::Size(station_.lens.width_px, station_.lens.height_px)) {
    StepAdvice advice = waiting();
    advice.sentence = tr("This picture is not of the size that the station's lens is known for.");
    return advice;
  }
  if (name.empty() && !still_.take(grey, time_s)) {
    said_.reset();
    StepAdvice advice = waiting();
    if (still_.share() > 0.3) advice.headline = tr("Hands away, hold still");
    return advice;
  }
  if (said_ && name.empty()) {
    said_->taken = false;
    return *said_;
  }
  const calib::CheckedFrame frame = check_.take(grey);
  StepAdvice advice = waiting();
  advice.headline = !frame.found   ? tr("The hoop is not found")
                    : !frame.moved ? tr("It lies where it lay")
                    : frame.agrees ? tr("Found again")
                                   : tr("Not as it was taught");
  advice.sentence = tr(frame.sentence);
  advice.taken = frame.found && frame.moved;
  said_ = advice;
  return advice;
}

StepOutcome HoopCheckStep::finish() {
  const calib::CheckOutcome outcome = check_.outcome();
  if (!outcome.complete) throw StepError(outcome.sentence);
  StepOutcome out;
  out.good = outcome.good;
  out.headline = outcome.good ? tr("The hoop is found again") : tr("The hoop is not as it was taught");
  out.lines.push_back(tr(outcome.sentence));
  for (const calib::CheckedFrame& one : outcome.frames) {
    if (!one.found || !one.moved) continue;
    const vision::Pose2& pose = one.board_from_hoop;
    out.lines.push_back(format(tr("at (%s, %s) mm, turned %s deg: %s mm larger than taught, notches within %s mm, "
                                  "%s %% of the outline seen"),
                               number(pose.origin_mm.x, 0), number(pose.origin_mm.y, 0),
                               number(pose.angle_rad * vision::kDegPerRad, 1), number(one.size_mm, 2),
                               number(one.notch_mm, 2), number(100.0 * one.support, 0)));
  }
  return out;
}

}  // namespace app

#include "calib/teach_check.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "calib/ring_refine.h"
#include "vision/ring.h"

namespace calib {
namespace {

constexpr double kMovedMm = 15.0, kTurnedDeg = 5.0;
constexpr double kSizeMm = 0.25;   // beside twice the outline's own uncertainty
constexpr double kNotchMm = 0.60;  // a groove is found to about 0.2 mm
constexpr double kLeastSupport = 0.6;
constexpr int kLeastNotches = 3;

std::string rounded(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.1f", value);
  return text.data();
}

bool apart(const vision::Pose2& a, const vision::Pose2& b) {
  return cv::norm(a.origin_mm - b.origin_mm) >= kMovedMm ||
         std::abs(vision::wrapped_rad(a.angle_rad - b.angle_rad)) >= kTurnedDeg * vision::kRadPerDeg;
}

// How much further out the outer edge lies than it was taught: the median all round.
double size_off_mm(const RingScene& scene, const TaughtRing& ring, const vision::Pose2& board_from_hoop) {
  std::vector<cv::Point2d> outline = ring.hoop.outer_mm;
  for (cv::Point2d& p : outline) p = vision::apply(board_from_hoop, p);
  const Contour contour = contour_of(std::move(outline), 1.0);
  const EdgePoints edge = outer_edge(scene, contour, Boundary::step, 0.8, 0.8);
  std::vector<double> off;
  size_t next = 0;
  for (size_t i = 0; i < contour.size(); ++i) {
    if (edge.seen[i]) off.push_back((edge.at_mm[next++] - contour[i].at_mm).dot(contour[i].outward));
  }
  if (off.empty()) return 1e9;
  const auto middle = off.begin() + static_cast<long>(off.size() / 2);
  std::nth_element(off.begin(), middle, off.end());
  return *middle;
}

std::string sentence_of(const CheckedFrame& frame) {
  if (!frame.found) return "The hoop was not found in this picture: clear it of hands, and keep all of it in view.";
  if (!frame.moved) return "The hoop lies as before: shift it by a few centimetres and turn it.";
  if (frame.agrees) return "The hoop was found, of the size and with the notches that were taught.";
  if (std::abs(frame.size_mm) > kSizeMm)
    return "The hoop appears " + rounded(std::abs(frame.size_mm)) + " mm " +
           (frame.size_mm > 0.0 ? "larger" : "smaller") +
           " here than it was taught: check the rim height, and teach it again.";
  if (frame.notch_mm > kNotchMm)
    return "A notch lies " + rounded(frame.notch_mm) + " mm off its taught place: look at the notches again.";
  return "The hoop was found only in part: clear it, and light it evenly.";
}

}  // namespace

HoopCheck::HoopCheck(const TaughtRing& ring, vision::Station station) : ring_(ring), station_(std::move(station)) {}

const CheckedFrame& HoopCheck::take(const cv::Mat& grey) {
  CheckedFrame frame;
  const vision::Lens& lens = station_.lens;
  const bool fits = grey.type() == CV_8UC1 && grey.cols == lens.width_px && grey.rows == lens.height_px;
  const std::optional<vision::CameraPose> pose = fits ? teach_camera(grey, station_) : std::nullopt;
  if (!pose) {
    frame.sentence = sentence(TeachFault::no_board);
    frames_.push_back(std::move(frame));
    return frames_.back();
  }
  vision::RingGauge gauge(ring_.hoop);
  const vision::RingOutcome& outcome = gauge.measure(grey, lens, *pose, std::nullopt, std::nullopt);
  // Where the notches cannot tell north, or something else is to, its place is enough.
  const bool north_open = ring_.hoop.north_by != vision::NorthBy::taught || !north_can_be_told(ring_);
  frame.found = outcome.status == vision::Status::ok || (north_open && outcome.status == vision::Status::which_way_up);
  frame.board_from_hoop = outcome.board_from_hoop;
  frame.support = outcome.support;
  if (frame.found) {
    frame.moved = apart(frame.board_from_hoop, ring_.board_from_hoop);
    for (const CheckedFrame& before : frames_)
      if (before.found && before.moved)
        frame.moved = frame.moved && apart(frame.board_from_hoop, before.board_from_hoop);
    frame.size_mm = size_off_mm({grey, lens, *pose, ring_.hoop.rim_height_mm}, ring_, frame.board_from_hoop);
    double common = 0.0;
    for (const vision::FoundNotch& notch : outcome.notches)
      if (notch.found) common += notch.shift_mm / std::max(1, outcome.notches_found);
    for (const vision::FoundNotch& notch : outcome.notches)
      if (notch.found) frame.notch_mm = std::max(frame.notch_mm, std::abs(notch.shift_mm - common));
    frame.agrees = std::abs(frame.size_mm) <= kSizeMm + 2.0 * ring_.u_outer_mm && frame.notch_mm <= kNotchMm &&
                   outcome.notches_found >= kLeastNotches && frame.support >= kLeastSupport;
  }
  frame.sentence = sentence_of(frame);
  frames_.push_back(std::move(frame));
  return frames_.back();
}

CheckOutcome HoopCheck::outcome() const {
  CheckOutcome outcome;
  outcome.frames = frames_;
  int counted = 0, agreeing = 0;
  for (const CheckedFrame& frame : frames_) {
    if (!frame.found || !frame.moved) continue;
    ++counted;
    agreeing += frame.agrees ? 1 : 0;
  }
  outcome.complete = counted >= kCheckFrames;
  outcome.good = outcome.complete && agreeing == counted;
  if (!outcome.complete) {
    const int missing = kCheckFrames - counted;
    outcome.sentence = "Shift and turn the hoop by hand: " + std::to_string(missing) + " more " +
                       (missing == 1 ? "picture." : "pictures.");
  } else if (outcome.good) {
    outcome.sentence = "Good: the hoop was found again at " + std::to_string(counted) + " other places.";
  } else {
    outcome.sentence = "Not good: " + std::to_string(counted - agreeing) + " of " + std::to_string(counted) +
                       " pictures do not agree with what was taught.";
  }
  return outcome;
}

}  // namespace calib

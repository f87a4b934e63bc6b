#include "app/setup/teach_step.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr std::size_t kMoves = calib::kCheckFrames;
// A hoop that lies so near to where it lay before teaches nothing new.
constexpr double kMoved_mm = 15.0, kTurned_deg = 8.0;

std::vector<StepMark> marks_of(const calib::TaughtRing& ring, const vision::Station& station,
                               const vision::CameraPose& camera_from_board) {
  const calib::RingPicture picture = calib::picture_of(ring, station, camera_from_board);
  std::vector<StepMark> marks;
  marks.push_back({StepMark::Kind::found, picture.inner_px, true, ""});
  marks.push_back({StepMark::Kind::found, picture.outer_px, true, ""});
  constexpr std::array<const char*, 4> kNames{noop("north"), noop("east"), noop("south"), noop("west")};
  for (std::size_t i = 0; i < picture.notch_px.size(); ++i)
    marks.push_back({ring.notch_found[i] ? StepMark::Kind::found : StepMark::Kind::doubt,
                     {picture.notch_px[i]},
                     false,
                     tr(kNames[i])});
  return marks;
}

}  // namespace

TeachStep::TeachStep(vision::Station station, Find find, Keep keep)
    : station_(std::move(station)), find_(std::move(find)), keep_(std::move(keep)) {}

TeachStep::TeachStep(vision::Station station, double rim_height_mm, Keep keep)
    : TeachStep(
          station,
          [station, rim_height_mm](const cv::Mat& grey) {
            Look look;
            look.camera_from_board = calib::teach_camera(grey, station);
            if (look.camera_from_board)
              look.seen = calib::teach_ring(grey, station, *look.camera_from_board, rim_height_mm);
            return look;
          },
          std::move(keep)) {}

bool TeachStep::moved(const vision::Pose2& board_from_hoop) const {
  return std::all_of(seen_.begin(), seen_.end(), [&](const Seen& one) {
    const vision::Pose2& before = one.ring.board_from_hoop;
    const double turn_deg =
        std::abs(vision::wrapped_rad(board_from_hoop.angle_rad - before.angle_rad)) * vision::kDegPerRad;
    return cv::norm(board_from_hoop.origin_mm - before.origin_mm) >= kMoved_mm || turn_deg >= kTurned_deg;
  });
}

void TeachStep::add_progress(StepAdvice& advice) const {
  const std::size_t moves = seen_.empty() ? 0 : seen_.size() - 1;
  advice.progress = static_cast<double>(seen_.size()) / static_cast<double>(kMoves + 1);
  advice.enough = !seen_.empty();
  advice.complete = seen_.size() > kMoves;
  advice.details.push_back(seen_.empty()
                               ? tr("The first picture is still to come")
                               : format(tr("%d of %d moves seen"), static_cast<int>(moves), static_cast<int>(kMoves)));
  if (!seen_.empty())
    advice.details.emplace_back(tr("The moves show that the hoop is found again, and how high its rim is."));
}

StepAdvice TeachStep::waiting() const {
  StepAdvice advice;
  if (seen_.empty()) {
    advice.headline = tr("Lay the hoop on the board");
    advice.sentence =
        tr("Both rings pressed together, no cloth, alone on the board and away from the marks. Then take your "
           "hands away.");
  } else {
    advice.headline = tr("Shift and turn the hoop");
    advice.sentence =
        tr("By a hand's width or more, to another part of the board, and turned a little. Then take your hands "
           "away.");
  }
  add_progress(advice);
  return advice;
}

StepAdvice TeachStep::refused(const std::string& sentence) const {
  StepAdvice advice = waiting();
  if (seen_.empty()) advice.headline = tr("The hoop is not seen yet");
  advice.sentence = sentence;
  return advice;
}

StepAdvice TeachStep::look(const cv::Mat& grey, const std::string& name) {
  const auto [camera, outcome] = find_(grey);
  if (!camera) return refused(tr(calib::sentence(calib::TeachFault::no_board)));
  const bool usable =
      outcome.ring && (outcome.fault == calib::TeachFault::none || outcome.fault == calib::TeachFault::notches_missing);
  if (!usable) {
    StepAdvice advice = refused(tr(calib::sentence(outcome.fault)));
    if (outcome.ring) advice.marks = marks_of(*outcome.ring, station_, *camera);
    return advice;
  }
  if (!moved(outcome.ring->board_from_hoop)) {
    StepAdvice advice = waiting();
    advice.marks = marks_of(*outcome.ring, station_, *camera);
    return advice;
  }
  seen_.push_back({{grey.clone(), *camera, name}, *outcome.ring});
  teaching_.reset();
  StepAdvice advice = waiting();
  if (advice.complete) {
    advice.headline = tr("The hoop is seen");
    advice.sentence = tr("Nothing needs to be moved any more.");
  }
  advice.taken = true;
  advice.marks = marks_of(*outcome.ring, station_, *camera);
  return advice;
}

StepAdvice TeachStep::take(const cv::Mat& grey, double time_s, const std::string& name) {
  if (grey.size() != cv::Size(station_.lens.width_px, station_.lens.height_px))
    return refused(tr("This picture is not of the size that the station's lens is known for."));
  if (!name.empty()) return look(grey, name);
  if (!still_.take(grey, time_s)) {
    said_.reset();
    StepAdvice advice = waiting();
    if (still_.share() > 0.3) advice.headline = tr("Hands away, hold still");
    return advice;
  }
  if (!said_) {
    said_ = look(grey, name);
    return *said_;
  }
  said_->taken = false;
  return *said_;
}

bool TeachStep::undo() {
  if (seen_.empty()) return false;
  seen_.pop_back();
  said_.reset();
  still_.forget();
  return true;
}

StepOutcome TeachStep::finish() {
  if (seen_.empty()) throw StepError(tr("No picture of the hoop was kept: lay it on the board, both rings together."));
  Teaching teaching(station_, seen_.front().frame, seen_.front().ring);
  for (std::size_t i = 1; i < seen_.size(); ++i) teaching.add_frame(seen_[i].frame);
  StepOutcome outcome = keep_(teaching);
  teaching_ = std::move(teaching);
  return outcome;
}

}  // namespace app

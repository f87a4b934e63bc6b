// What the work cycle says of a frame besides.
#include <algorithm>
#include <cmath>

#include "app/cycle/hooping_cycle.h"
#include "app/cycle/seen_parts.h"

namespace app {
namespace {

constexpr double kReversedDeg = 120.0;

bool opposite(double angle_rad) { return std::abs(vision::wrapped_rad(angle_rad)) > kReversedDeg * vision::kRadPerDeg; }

}  // namespace

// With the sticker seen its arrow says which way the hoop should lie; without it, the last piece's hoop does, and
// before the first one the board's far side.
bool HoopingCycle::reversed(const vision::FrameResult& result) const {
  if (result.reading) return opposite(result.reading->rotation_deg * vision::kRadPerDeg);
  if (ring_alone(result)) return opposite(result.board_from_hoop->angle_rad - usual_angle_rad_);
  const std::optional<vision::Pose2> board_from_design = seen_design(result, options_.stickers);
  return kept_ && ring_hidden(result) && board_from_design && opposite(board_from_design->angle_rad - kept_->angle_rad);
}

CycleNotice HoopingCycle::notice_of(const vision::FrameResult& result, bool other_hoop) const {
  if (other_hoop) return CycleNotice::wrong_hoop;
  if (slipped_ && held_) return CycleNotice::cloth_slipped;
  if (too_many_stickers(result, options_.stickers)) return CycleNotice::second_sticker;
  const std::vector<int>& numbers = options_.stickers;
  const bool wanted = numbers.empty() || result.stickers.empty() ||
                      std::count(numbers.begin(), numbers.end(), counted_sticker(result, numbers)) > 0;
  if (result.status == vision::Status::wrong_sticker || !wanted) return CycleNotice::wrong_sticker;
  if (result.status == vision::Status::stickers_disagree) return CycleNotice::stickers_disagree;
  if (held_) return hoop_shifted_ && phase_ == Phase::enter ? CycleNotice::hoop_shifted : CycleNotice::none;
  if (!over_sticker_is_meant_ && ring_over_paper(result)) return CycleNotice::ring_over_sticker;
  if (!reversed_is_meant_ && reversed(result)) return CycleNotice::hoop_reversed;
  if (hoop_shifted_ && phase_ == Phase::press) return CycleNotice::hoop_shifted;
  return CycleNotice::none;
}

bool HoopingCycle::forbids_hold(CycleNotice notice) const {
  switch (notice) {
    case CycleNotice::ring_over_sticker:
    case CycleNotice::wrong_sticker:
    case CycleNotice::second_sticker:
    case CycleNotice::stickers_disagree:
    case CycleNotice::hoop_reversed:
    case CycleNotice::wrong_hoop:
      return true;
    case CycleNotice::none:
    case CycleNotice::hoop_shifted:
    case CycleNotice::cloth_slipped:
      return false;
  }
  return true;
}

}  // namespace app

#include "app/cycle/hooping_cycle.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace app {
namespace {

constexpr double kReversedDeg = 120.0;

bool ring_alone(const vision::FrameResult& result) {
  return result.board_from_hoop && result.status == vision::Status::no_sticker;
}

bool ring_and_sticker(const vision::FrameResult& result) { return result.reading && result.board_from_hoop; }

bool anything(const vision::FrameResult& result) {
  const bool ring = result.board_from_hoop && result.status != vision::Status::no_ring;
  return ring || !result.stickers.empty();
}

int sticker_of(const vision::FrameResult& result) {
  return result.stickers.empty() ? -1 : result.stickers.front().number;
}

// Frames that say nothing about what lies on the board.
bool blind(vision::Status status) {
  return status == vision::Status::no_board || status == vision::Status::board_moved ||
         status == vision::Status::blurred || status == vision::Status::too_dark ||
         status == vision::Status::too_bright;
}

}  // namespace

std::optional<HoopedPiece> HoopingCycle::see(const vision::FrameResult& result, double time_s) {
  // A source that starts anew may count its time from zero again: such a step counts as none.
  now_s_ = started_ ? now_s_ + std::max(0.0, time_s - last_s_) : 0.0;
  if (started_) phase_s_[static_cast<int>(phase_)] += std::max(0.0, time_s - last_s_);
  started_ = true;
  last_s_ = time_s;
  if (ring_and_sticker(result)) seen_s_ = now_s_;
  if (anything(result) || blind(result.status)) anything_s_ = now_s_;

  std::optional<HoopedPiece> piece;
  switch (phase_) {
    case Phase::set_hoop:
      set_hoop(result);
      break;
    case Phase::lay_cloth:
      lay_cloth(result);
      break;
    case Phase::press:
      press(result);
      break;
    case Phase::enter:
      enter(result);
      break;
    case Phase::lift:
      piece = lift(result);
      break;
  }
  notice_ = notice_of(result);
  return piece;
}

void HoopingCycle::go(Phase phase) {
  phase_ = phase;
  still_.forget();
  average_.forget();
}

void HoopingCycle::keep(const vision::Pose2& board_from_hoop) { kept_ = board_from_hoop; }

void HoopingCycle::set_hoop(const vision::FrameResult& result) {
  if (ring_and_sticker(result)) return go(Phase::press);  // hooped already, or laid on a hooped stabilizer
  if (!ring_alone(result)) return still_.forget();
  still_.update({*result.board_from_hoop}, now_s_);
  if (still_.still_s() < options_.still_s) return;
  keep(*result.board_from_hoop);
  hoop_shifted_ = false;
  go(Phase::lay_cloth);
}

void HoopingCycle::lay_cloth(const vision::FrameResult& result) {
  if (ring_and_sticker(result)) {
    const StillLimits limits{options_.hoop_shift_mm, options_.hoop_shift_deg};
    hoop_shifted_ = kept_ && moved(*kept_, *result.board_from_hoop, limits);
    return go(Phase::press);
  }
  if (!ring_alone(result)) return still_.forget();
  // The cloth is off again and the ring is seen: where it lies now is what counts.
  still_.update({*result.board_from_hoop}, now_s_);
  if (still_.still_s() < options_.still_s) return;
  keep(*result.board_from_hoop);
  hoop_shifted_ = false;
}

void HoopingCycle::press(const vision::FrameResult& result) {
  if (!ring_and_sticker(result)) {
    if (now_s_ - seen_s_ > options_.covered_s) go(kept_ ? Phase::lay_cloth : Phase::set_hoop);
    if (result.status == vision::Status::moving) {
      still_.forget();
      average_.forget();
    }
    return;
  }
  const bool wanted = options_.stickers.empty() ||
                      std::count(options_.stickers.begin(), options_.stickers.end(), sticker_of(result)) > 0;
  if (!wanted) {
    average_.forget();
    return still_.forget();
  }
  const vision::Pose2 hoop_from_sticker{{result.reading->offset_x_mm, result.reading->offset_y_mm},
                                        result.reading->rotation_deg * vision::kRadPerDeg};
  still_.update({*result.board_from_hoop, hoop_from_sticker}, now_s_);
  if (still_.still_s() == 0.0) average_.forget();
  average_.add(*result.reading);
  if (still_.still_s() < options_.still_s || average_.count() < options_.least_readings) return;
  held_hoop_ = *result.board_from_hoop;
  held_sticker_ = sticker_of(result);
  hold();
}

void HoopingCycle::hold() {
  held_ = average_.mean();
  held_readings_ = average_.count();
  ++tries_;
  taken_ = slipped_ = false;
  slipping_since_s_.reset();
  go(Phase::enter);
}

void HoopingCycle::watch_for_slip(const vision::FrameResult& result) {
  const vision::Reading& now = *result.reading;
  const double apart_mm = std::hypot(now.offset_x_mm - held_->offset_x_mm, now.offset_y_mm - held_->offset_y_mm);
  const double apart_deg =
      std::abs(vision::wrapped_rad((now.rotation_deg - held_->rotation_deg) * vision::kRadPerDeg)) * vision::kDegPerRad;
  // Twice the noise of a single reading: what the two share cancels in their difference.
  const double noise_mm = 2.0 * std::sqrt(std::max(now.noise_covariance(0, 0), now.noise_covariance(1, 1)));
  const double noise_deg = 2.0 * std::sqrt(now.noise_covariance(2, 2)) * vision::kDegPerRad;
  const bool same = apart_mm <= options_.slip_mm + noise_mm && apart_deg <= options_.slip_deg + noise_deg;
  if (same) {
    slipping_since_s_.reset();
    slipped_ = false;
    return;
  }
  if (!slipping_since_s_) slipping_since_s_ = now_s_;
  if (now_s_ - *slipping_since_s_ >= options_.slip_s) slipped_ = true;
}

void HoopingCycle::enter(const vision::FrameResult& result) {
  if (ring_and_sticker(result) && sticker_of(result) == held_sticker_) watch_for_slip(result);
  if (!anything(result) && !blind(result.status)) go(Phase::lift);
  // The next hoop may be set while the last one was out of sight for a moment only.
  if (ring_alone(result) && now_s_ - seen_s_ > options_.covered_s) go(Phase::lift);
  if (ring_and_sticker(result) && sticker_of(result) != held_sticker_) go(Phase::lift);
}

bool HoopingCycle::is_held_piece(const vision::FrameResult& result) const {
  return ring_and_sticker(result) && sticker_of(result) == held_sticker_;
}

std::optional<HoopedPiece> HoopingCycle::lift(const vision::FrameResult& result) {
  if (is_held_piece(result)) {
    go(Phase::enter);  // it was only covered, or it is laid back to be looked at again
    return std::nullopt;
  }
  const bool another = ring_and_sticker(result) || (ring_alone(result) && now_s_ - seen_s_ > options_.covered_s);
  if (!another && now_s_ - anything_s_ < options_.gone_s) return std::nullopt;
  HoopedPiece piece = finished();
  next_piece();
  return piece;
}

HoopedPiece HoopingCycle::finished() const {
  HoopedPiece piece;
  piece.number = number_;
  piece.reading = *held_;
  piece.board_from_hoop = held_hoop_;
  piece.sticker = held_sticker_;
  piece.readings = held_readings_;
  piece.tries = tries_;
  piece.taken = taken_;
  piece.notice = slipped_ ? CycleNotice::cloth_slipped : CycleNotice::none;
  piece.started_s = started_s_;
  piece.lifted_s = seen_s_;
  std::copy(std::begin(phase_s_), std::end(phase_s_), std::begin(piece.phase_s));
  return piece;
}

void HoopingCycle::next_piece() {
  ++number_;
  tries_ = 0;
  held_.reset();
  kept_.reset();
  held_sticker_ = -1;
  taken_ = slipped_ = hoop_shifted_ = false;
  slipping_since_s_.reset();
  started_s_ = now_s_;
  std::fill(std::begin(phase_s_), std::end(phase_s_), 0.0);
  go(Phase::set_hoop);
}

bool HoopingCycle::take() {
  if (phase_ != Phase::enter && phase_ != Phase::lift) return false;
  taken_ = true;
  return true;
}

bool HoopingCycle::repeat() {
  if (phase_ != Phase::enter && phase_ != Phase::lift) return false;
  held_.reset();
  taken_ = slipped_ = false;
  seen_s_ = now_s_;
  go(Phase::press);
  return true;
}

bool HoopingCycle::start_over() {
  const int number = number_;
  next_piece();
  number_ = number;
  return true;
}

double HoopingCycle::stillness() const {
  if (phase_ != Phase::set_hoop && phase_ != Phase::press) return 0.0;
  return std::clamp(still_.still_s() / options_.still_s, 0.0, 1.0);
}

CycleNotice HoopingCycle::notice_of(const vision::FrameResult& result) const {
  if (slipped_ && held_) return CycleNotice::cloth_slipped;
  if (result.status == vision::Status::several_stickers) return CycleNotice::second_sticker;
  const bool wanted = options_.stickers.empty() || result.stickers.empty() ||
                      std::count(options_.stickers.begin(), options_.stickers.end(), sticker_of(result)) > 0;
  if (result.status == vision::Status::wrong_sticker || !wanted) return CycleNotice::wrong_sticker;
  if (result.status == vision::Status::sticker_covered && result.board_from_hoop && !result.stickers.empty() &&
      phase_ == Phase::press)
    return CycleNotice::ring_over_sticker;
  if (hoop_shifted_ && (phase_ == Phase::press || phase_ == Phase::enter)) return CycleNotice::hoop_shifted;
  if (result.board_from_hoop && std::abs(result.board_from_hoop->angle_rad) > kReversedDeg * vision::kRadPerDeg)
    return CycleNotice::hoop_reversed;
  return CycleNotice::none;
}

}  // namespace app

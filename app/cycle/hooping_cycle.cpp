#include "app/cycle/hooping_cycle.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "app/cycle/seen_parts.h"

namespace app {

std::optional<HoopedPiece> HoopingCycle::see(const vision::FrameResult& result, double time_s, bool other_hoop) {
  pass_time(time_s);
  look(result, other_hoop);
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
      piece = enter(result);
      break;
    case Phase::lift:
      piece = lift(result, other_hoop);
      break;
  }
  notices_.update(notice_of(result, other_hoop), now_s_);
  return piece;
}

void HoopingCycle::pass_time(double time_s) {
  const std::optional<double> step = time_.step(time_s);
  if (!step) return rest_anew();
  now_s_ += *step;
  phase_s_[static_cast<int>(phase_)] += *step;
}

// What lay still before does not count any more.
void HoopingCycle::rest_anew() {
  still_.forget();
  average_.forget();
  differs_since_s_.reset();
  notices_.start_anew(now_s_);
  if (held_) watched_ = Watched::frames_were_lost;
}

void HoopingCycle::frames_lost() {
  time_.forget();
  rest_anew();
  kept_.reset();
  if (held_) return;
  hoop_shifted_ = false;
  notices_.say_at_once(CycleNotice::none);
  go(Phase::set_hoop);
}

// The marks of time that the phases go by.
void HoopingCycle::look(const vision::FrameResult& result, bool other_hoop) {
  if (held_ && is_held_piece(result) && now_s_ - seen_s_ > options_.covered_s && watched_ == Watched::all_along)
    watched_ = Watched::ring_was_hidden;
  if (ring_and_sticker(result)) seen_s_ = now_s_;
  if (ring_with_sticker(result)) pressed_s_ = now_s_;
  if (held_ && !other_hoop && (blind(result.status) || shows_held_piece(result))) held_seen_s_ = now_s_;
  if (result.status != vision::Status::board_moved) board_agreed_s_ = now_s_;
  seen_notice_ = notice_of(result, other_hoop);
}

void HoopingCycle::go(Phase phase) {
  phase_ = phase;
  still_.forget();
  average_.forget();
}

// The ring lies there alone: where it rests is where the cloth is to be brought.
void HoopingCycle::keep_when_still(const vision::FrameResult& result) {
  if (!ring_alone(result)) return still_.forget();
  still_.update({*result.board_from_hoop}, now_s_);
  if (still_.still_s() < options_.still_s) return;
  kept_ = *result.board_from_hoop;
  hoop_shifted_ = false;
  if (phase_ == Phase::set_hoop) go(Phase::lay_cloth);
}

void HoopingCycle::set_hoop(const vision::FrameResult& result) {
  // Hooped already, or laid on a hooped stabilizer.
  if (ring_with_sticker(result)) return go(Phase::press);
  keep_when_still(result);
}

void HoopingCycle::lay_cloth(const vision::FrameResult& result) {
  if (ring_with_sticker(result)) return go(Phase::press);
  // Marks that went astray: nobody knows where the kept hoop is by them.
  if (now_s_ - board_agreed_s_ > options_.board_moved_s) {
    kept_.reset();
    return go(Phase::set_hoop);
  }
  // The cloth may be off again: then the ring's place of now is what counts.
  keep_when_still(result);
}

void HoopingCycle::press(const vision::FrameResult& result) {
  if (!ring_and_sticker(result)) {
    if (result.status == vision::Status::moving) go(Phase::press);
    if (now_s_ - pressed_s_ > options_.covered_s) give_up_press(result);
    return;
  }
  if (forbids_hold(seen_notice_)) return go(Phase::press);
  // Another part of the group says something else, by the way its stickers were stuck.
  if (std::vector<int> used = used_stickers(result); used != averaged_stickers_) {
    averaged_stickers_ = std::move(used);
    go(Phase::press);
  }
  const vision::Pose2 hoop_from_sticker{{result.reading->offset_x_mm, result.reading->offset_y_mm},
                                        result.reading->rotation_deg * vision::kRadPerDeg};
  still_.update({*result.board_from_hoop, hoop_from_sticker}, now_s_);
  if (still_.still_s() == 0.0) average_.forget();
  average_.add(*result.reading);
  // A ring that is just being carried off has not shifted.
  const StillLimits limits{options_.hoop_shift_mm, options_.hoop_shift_deg};
  if (still_.still_s() > 0.0) hoop_shifted_ = kept_ && moved(*kept_, *result.board_from_hoop, limits);
  if (still_.still_s() >= options_.still_s && average_.count() >= options_.least_readings) hold(result);
}

// Ring and sticker are not seen together any more: with the sticker still there the cloth is laid anew over the kept
// hoop; with nothing there the hoop was carried off before it could be read.
void HoopingCycle::give_up_press(const vision::FrameResult& result) {
  const bool cloth_lies = kept_ && (!result.stickers.empty() || blind(result.status));
  if (!cloth_lies) kept_.reset(), hoop_shifted_ = false;
  go(cloth_lies ? Phase::lay_cloth : Phase::set_hoop);
}

void HoopingCycle::hold(const vision::FrameResult& result) {
  held_ = average_.mean();
  held_readings_ = average_.count();
  held_hoop_ = *result.board_from_hoop;
  held_sticker_ = counted_sticker(result, options_.stickers);
  held_stickers_ = averaged_stickers_;
  held_seen_s_ = now_s_;
  usual_angle_rad_ = held_hoop_.angle_rad;
  ++tries_;
  taken_ = slipped_ = false;
  watched_ = Watched::all_along;
  differs_since_s_.reset();
  go(Phase::enter);
}

bool HoopingCycle::is_held_piece(const vision::FrameResult& result) const {
  return ring_and_sticker(result) && counted_sticker(result, options_.stickers) == held_sticker_;
}

// Its sticker; or its ring where it lay, with the sticker under a hand or peeled off.
bool HoopingCycle::shows_held_piece(const vision::FrameResult& result) const {
  if (sees_sticker(result, held_sticker_)) return true;
  if (!ring_alone(result)) return false;
  const StillLimits limits{options_.hoop_shift_mm, options_.hoop_shift_deg};
  return !moved(held_hoop_, *result.board_from_hoop, limits);
}

bool HoopingCycle::differs(const vision::Reading& now) const {
  const double apart_mm = std::hypot(now.offset_x_mm - held_->offset_x_mm, now.offset_y_mm - held_->offset_y_mm);
  const double apart_deg =
      std::abs(vision::wrapped_rad((now.rotation_deg - held_->rotation_deg) * vision::kRadPerDeg)) * vision::kDegPerRad;
  // Twice the noise of a single reading: what the two share cancels in their difference.
  const double noise_mm = 2.0 * std::sqrt(std::max(now.noise_covariance(0, 0), now.noise_covariance(1, 1)));
  const double noise_deg = 2.0 * std::sqrt(now.noise_covariance(2, 2)) * vision::kDegPerRad;
  return !(apart_mm <= options_.slip_mm + noise_mm && apart_deg <= options_.slip_deg + noise_deg);
}

// The held piece lies there: does it still read what is held? Where it does not,
// - and it was watched all along: it slipped, which is said;
// - and its ring was out of sight while the sticker was not: it was pressed anew, and is read anew; what the operator
//   called entered is finished instead;
// - and frames were lost and the hoop lies elsewhere: it is another piece with the same number.
std::optional<HoopedPiece> HoopingCycle::compare_with_held(const vision::FrameResult& result) {
  if (used_stickers(result) != held_stickers_) {  // a hand over one of them: not to be compared
    differs_since_s_.reset();
    return std::nullopt;
  }
  if (!differs(*result.reading)) {
    differs_since_s_.reset();
    slipped_ = false;
    watched_ = Watched::all_along;
    return std::nullopt;
  }
  if (!differs_since_s_) differs_since_s_ = now_s_;
  if (now_s_ - *differs_since_s_ < options_.slip_s) return std::nullopt;
  const StillLimits limits{options_.hoop_shift_mm, options_.hoop_shift_deg};
  const bool elsewhere = moved(held_hoop_, *result.board_from_hoop, limits);
  if (watched_ == Watched::frames_were_lost && elsewhere) return finish_and_go_on();
  if (watched_ == Watched::ring_was_hidden) {
    if (taken_) return finish_and_go_on();
    repeat();
    return std::nullopt;
  }
  slipped_ = true;
  watched_ = Watched::all_along;
  return std::nullopt;
}

std::optional<HoopedPiece> HoopingCycle::enter(const vision::FrameResult& result) {
  if (is_held_piece(result)) return compare_with_held(result);
  differs_since_s_.reset();
  if (now_s_ - held_seen_s_ > options_.lift_s || ring_and_sticker(result)) go(Phase::lift);
  return std::nullopt;
}

std::optional<HoopedPiece> HoopingCycle::lift(const vision::FrameResult& result, bool other_hoop) {
  if (is_held_piece(result)) {
    go(Phase::enter);  // it was only covered, or it is laid back to be looked at again
    return compare_with_held(result);
  }
  // A ring set elsewhere is the next piece's; the held one's, still there without its sticker, is not.
  const bool next_ring = ring_alone(result) && !shows_held_piece(result) && now_s_ - seen_s_ > options_.covered_s;
  const bool another = ring_and_sticker(result) || next_ring || other_hoop;
  if (!another && now_s_ - held_seen_s_ < options_.gone_s) return std::nullopt;
  return finish_and_go_on();
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
  piece.notice = slipped_ ? CycleNotice::cloth_slipped : hoop_shifted_ ? CycleNotice::hoop_shifted : CycleNotice::none;
  piece.started_s = started_s_;
  piece.lifted_s = held_seen_s_;
  std::copy(std::begin(phase_s_), std::end(phase_s_), std::begin(piece.phase_s));
  return piece;
}

std::optional<HoopedPiece> HoopingCycle::finish_and_go_on() {
  const HoopedPiece piece = finished();
  next_piece();
  return piece;
}

void HoopingCycle::next_piece() {
  ++number_;
  tries_ = 0;
  held_.reset();
  kept_.reset();
  held_sticker_ = -1;
  taken_ = slipped_ = hoop_shifted_ = over_sticker_is_meant_ = false;
  watched_ = Watched::all_along;
  differs_since_s_.reset();
  started_s_ = now_s_;
  std::fill(std::begin(phase_s_), std::end(phase_s_), 0.0);
  notices_.say_at_once(CycleNotice::none);
  go(Phase::set_hoop);
}

void HoopingCycle::set_stickers(std::vector<int> numbers) {
  options_.stickers = std::move(numbers);
  still_.forget();
  average_.forget();
}

bool HoopingCycle::take() {
  if (held_) {
    taken_ = true;
    return true;
  }
  if (seen_notice_ == CycleNotice::hoop_reversed) return reversed_is_meant_ = true;
  if (seen_notice_ == CycleNotice::ring_over_sticker) return over_sticker_is_meant_ = true;
  return false;
}

bool HoopingCycle::repeat() {
  if (!held_) return false;
  held_.reset();
  taken_ = slipped_ = false;
  watched_ = Watched::all_along;
  differs_since_s_.reset();
  pressed_s_ = now_s_;
  go(Phase::press);
  return true;
}

bool HoopingCycle::start_over() {
  const int number = number_;
  next_piece();
  number_ = number;
  reversed_is_meant_ = false;
  return true;
}

std::optional<HoopedPiece> HoopingCycle::finish() {
  if (!held_) {
    start_over();
    return std::nullopt;
  }
  return finish_and_go_on();
}

double HoopingCycle::stillness() const {
  if (phase_ != Phase::set_hoop && phase_ != Phase::press) return 0.0;
  return std::clamp(still_.still_s() / options_.still_s, 0.0, 1.0);
}

}  // namespace app

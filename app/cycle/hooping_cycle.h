// The work on one piece after another, followed by what the camera sees: set hoop, lay cloth, press, enter, lift.
// Plain code: no camera, screen, clock or file. Time is that of the frames, seconds, and never runs back.
#pragma once

#include <optional>
#include <vector>

#include "app/cycle/reading_average.h"
#include "app/cycle/stillness.h"
#include "app/nudge.h"
#include "vision/reading.h"

namespace app {

enum class Phase {
  set_hoop,   // the outer ring is wanted in its place on the board
  lay_cloth,  // its pose is kept; the cloth is brought onto it
  press,      // ring and sticker are seen; they must lie still
  enter,      // the reading is held: to be entered at the machine
  lift,       // the hoop is out of sight; it may only have been covered
};
inline constexpr int kPhaseCount = 5;

// What is worth saying besides. Each holds as long as it is true.
enum class CycleNotice {
  none,
  hoop_shifted,       // while the cloth was laid the ring moved under it
  cloth_slipped,      // ring or sticker moved against one another since the reading was held
  ring_over_sticker,  // the ring lies askew over the sticker's paper
  wrong_sticker,      // another number than the job's
  second_sticker,     // more than one, and none is named by the job
  hoop_reversed,      // the hoop's north lies toward the operator
};

struct CycleOptions {
  double still_s = 0.7;
  int least_readings = 5;  // in the average that is held
  double covered_s = 1.5;  // ring or sticker out of sight for less is a passing hand
  double gone_s = 2.0;     // nothing of ring and sticker for so long: the hoop was lifted
  double slip_mm = 0.5;    // beyond the uncertainty
  double slip_deg = 0.3;
  double slip_s = 0.5;  // and for so long
  double hoop_shift_mm = 1.0;
  double hoop_shift_deg = 0.5;
  std::vector<int> stickers;  // the job's numbers; empty: any
};

// A piece that was hooped, read and lifted.
struct HoopedPiece {
  int number = 0;  // counts from 1
  vision::Reading reading;
  vision::Pose2 board_from_hoop;
  int sticker = -1;
  int readings = 0;                        // in the average
  int tries = 1;                           // readings held, the last one counts
  bool taken = false;                      // the operator said so; otherwise the hoop was lifted without a word
  CycleNotice notice = CycleNotice::none;  // that still held when it was lifted
  double started_s = 0.0, lifted_s = 0.0;
  double phase_s[kPhaseCount] = {};  // time spent in each phase
};

class HoopingCycle {
 public:
  explicit HoopingCycle(CycleOptions options = {}) : options_(std::move(options)) {}

  // One frame. A piece is given back exactly once: with the frame that shows that its hoop has gone.
  std::optional<HoopedPiece> see(const vision::FrameResult& result, double time_s);

  // The operator's word: pedal, key or touch. Each says whether it meant anything in this phase.
  bool take();    // the held reading is entered
  bool repeat();  // the held reading is dropped and taken anew
  // The piece in hand is given up, the kept hoop forgotten. A held reading is lost, which the caller asks about first.
  bool start_over();

  Phase phase() const { return phase_; }
  CycleNotice notice() const { return notice_; }
  bool taken() const { return taken_; }
  int tries() const { return tries_; }
  // The hoop as it was set, while it is kept.
  const std::optional<vision::Pose2>& kept_hoop() const { return kept_; }
  // In enter and lift.
  const std::optional<vision::Reading>& held() const { return held_; }
  // How much of the stillness is reached, 0 to 1, in set_hoop and press.
  double stillness() const;

 private:
  void set_hoop(const vision::FrameResult& result);
  void lay_cloth(const vision::FrameResult& result);
  void press(const vision::FrameResult& result);
  void enter(const vision::FrameResult& result);
  std::optional<HoopedPiece> lift(const vision::FrameResult& result);

  void go(Phase phase);
  void keep(const vision::Pose2& board_from_hoop);
  void hold();
  void watch_for_slip(const vision::FrameResult& result);
  CycleNotice notice_of(const vision::FrameResult& result) const;
  bool is_held_piece(const vision::FrameResult& result) const;
  HoopedPiece finished() const;
  void next_piece();

  CycleOptions options_;
  Phase phase_ = Phase::set_hoop;
  CycleNotice notice_ = CycleNotice::none;
  double now_s_ = 0.0, last_s_ = 0.0;
  bool started_ = false;

  std::optional<vision::Pose2> kept_;
  bool hoop_shifted_ = false;
  Stillness still_;
  ReadingAverage average_;
  std::optional<vision::Reading> held_;
  vision::Pose2 held_hoop_;
  int held_sticker_ = -1, held_readings_ = 0;
  bool taken_ = false, slipped_ = false;
  int tries_ = 0, number_ = 1;
  double seen_s_ = 0.0;      // when ring and sticker were last seen together
  double anything_s_ = 0.0;  // when ring or sticker was last seen
  std::optional<double> slipping_since_s_;
  double started_s_ = 0.0;
  double phase_s_[kPhaseCount] = {};
};

}  // namespace app

// The work on one piece after another, followed by what the camera sees: set hoop, lay cloth, press, enter, lift.
// Plain code: no camera, screen, clock or file. Time is that of the frames, seconds; only what was watched counts.
#pragma once

#include <optional>
#include <vector>

#include "app/cycle/cycle_notice.h"
#include "app/cycle/reading_average.h"
#include "app/cycle/seen_time.h"
#include "app/cycle/stillness.h"
#include "app/nudge.h"
#include "app/stretch/stretch.h"
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

struct CycleOptions {
  double still_s = 0.7;
  int least_readings = 5;  // in the average that is held
  double covered_s = 1.5;  // ring or sticker out of sight for less is a passing hand
  double lift_s = 0.3;     // the held piece out of sight for so long: it is being lifted, or covered
  double gone_s = 2.0;     // and for so long: it was lifted
  double slip_mm = 0.5;    // beyond the uncertainty
  double slip_deg = 0.3;
  double slip_s = 0.5;  // and for so long
  double hoop_shift_mm = 1.0;
  double hoop_shift_deg = 0.5;
  double board_moved_s = 0.5;  // a board that does not agree for so long takes the kept hoop with it
  std::vector<int> stickers;   // the job's numbers; empty: any
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
  std::optional<Stretch> stretch;          // where it was measured (app/work fills it in)
  double started_s = 0.0, lifted_s = 0.0;
  double phase_s[kPhaseCount] = {};  // time spent in each phase
};

class HoopingCycle {
 public:
  explicit HoopingCycle(CycleOptions options = {}) : options_(std::move(options)) {}

  // One frame. A piece is given back exactly once: with the frame that shows that its hoop has gone.
  // `other_hoop`: another taught hoop than the one looked for lies on the board.
  std::optional<HoopedPiece> see(const vision::FrameResult& result, double time_s, bool other_hoop = false);
  // No frames came for a while, or they come from another camera: nothing seen before counts as seen now. What is held
  // stays held: it was entered, or will be; the first frames tell whether its piece still lies there.
  void frames_lost();
  // The job's numbers; empty: any. What is being averaged starts anew, what is held stays.
  void set_stickers(std::vector<int> numbers);

  // The operator's word: pedal, key or touch. Each says whether it meant anything in this phase.
  // The held reading is entered; before one is held: hoop_reversed and ring_over_sticker are as they are meant.
  bool take();
  bool repeat();  // the held reading is dropped and taken anew
  // The piece in hand is given up, the kept hoop forgotten. A held reading is lost, which the caller asks about first.
  bool start_over();
  // Another hoop or job takes over: the held piece, if there is one, is finished now; everything starts over.
  std::optional<HoopedPiece> finish();

  Phase phase() const { return phase_; }
  CycleNotice notice() const { return notices_.said(); }
  bool taken() const { return taken_; }
  int tries() const { return tries_; }
  // The hoop as it was set, while it is kept.
  const std::optional<vision::Pose2>& kept_hoop() const { return kept_; }
  // In enter and lift.
  const std::optional<vision::Reading>& held() const { return held_; }
  // In its average.
  int held_readings() const { return held_readings_; }
  // Where its hoop lay then.
  const vision::Pose2& held_hoop() const { return held_hoop_; }
  // How much of the stillness is reached, 0 to 1, in set_hoop and press.
  double stillness() const;
  const std::vector<int>& stickers() const { return options_.stickers; }
  // Seconds that were watched since the first frame.
  double watched_s() const { return now_s_; }

 private:
  // What has happened to the held piece since it was last seen with its reading.
  enum class Watched { all_along, ring_was_hidden, frames_were_lost };

  void pass_time(double time_s);
  void look(const vision::FrameResult& result, bool other_hoop);
  void set_hoop(const vision::FrameResult& result);
  void lay_cloth(const vision::FrameResult& result);
  void press(const vision::FrameResult& result);
  std::optional<HoopedPiece> enter(const vision::FrameResult& result);
  std::optional<HoopedPiece> lift(const vision::FrameResult& result, bool other_hoop);

  void go(Phase phase);
  void rest_anew();
  void keep_when_still(const vision::FrameResult& result);
  void give_up_press(const vision::FrameResult& result);
  void hold(const vision::FrameResult& result);
  bool is_held_piece(const vision::FrameResult& result) const;
  bool shows_held_piece(const vision::FrameResult& result) const;
  bool differs(const vision::Reading& now) const;
  std::optional<HoopedPiece> compare_with_held(const vision::FrameResult& result);
  CycleNotice notice_of(const vision::FrameResult& result, bool other_hoop) const;
  bool reversed(const vision::FrameResult& result) const;
  bool forbids_hold(CycleNotice notice) const;
  HoopedPiece finished() const;
  std::optional<HoopedPiece> finish_and_go_on();
  void next_piece();

  CycleOptions options_;
  Phase phase_ = Phase::set_hoop;
  Said<CycleNotice> notices_{CycleNotice::none};
  CycleNotice seen_notice_ = CycleNotice::none;  // of the last frame
  SeenTime time_;
  double now_s_ = 0.0;  // watched time

  std::optional<vision::Pose2> kept_;
  bool hoop_shifted_ = false;
  bool reversed_is_meant_ = false, over_sticker_is_meant_ = false;
  double usual_angle_rad_ = 0.0;  // of the hoop on the board: that of the last piece
  Stillness still_;
  ReadingAverage average_;
  std::optional<vision::Reading> held_;
  vision::Pose2 held_hoop_;
  int held_sticker_ = -1, held_readings_ = 0;
  std::vector<int> averaged_stickers_, held_stickers_;  // of a group, which of it
  bool taken_ = false, slipped_ = false;
  Watched watched_ = Watched::all_along;
  int tries_ = 0, number_ = 1;
  double seen_s_ = 0.0;       // when there was a reading last
  double pressed_s_ = 0.0;    // when a sticker was last seen within the ring
  double held_seen_s_ = 0.0;  // when anything of the held piece was last seen
  double board_agreed_s_ = 0.0;
  std::optional<double> differs_since_s_;
  double started_s_ = 0.0;
  double phase_s_[kPhaseCount] = {};
};

}  // namespace app

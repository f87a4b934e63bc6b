// What the work cycle notices besides, and when it is said.
#pragma once

namespace app {

// What is worth saying besides. Each holds as long as it is true.
enum class CycleNotice {
  none,
  hoop_shifted,       // while the cloth was laid the ring moved under it
  cloth_slipped,      // ring or sticker moved against one another since the reading was held
  ring_over_sticker,  // the ring lies askew over the sticker's paper
  wrong_sticker,      // another number than the job's
  second_sticker,     // more than one, and none is named by the job
  hoop_reversed,      // the hoop's north and the sticker's arrow point opposite ways
  wrong_hoop,         // another taught hoop lies there than the one looked for
  stickers_disagree,  // those that belong together do not lie to one another as the job says
};
inline constexpr int kCycleNoticeCount = 9;

// What one frame says may be a passing hand's doing: said is what held for a moment.
template <typename What>
class Said {
 public:
  static constexpr double kSay_s = 0.25;

  explicit Said(What at_first) : seen_(at_first), said_(at_first) {}
  void update(What seen, double now_s) {
    if (seen != seen_) seen_ = seen, since_s_ = now_s;
    if (now_s - since_s_ >= kSay_s) said_ = seen_;
  }
  // Whatever was said is not taken back before something else held for a moment.
  void start_anew(double now_s) { since_s_ = now_s; }
  void say_at_once(What what) { seen_ = said_ = what; }
  What said() const { return said_; }

 private:
  What seen_, said_;
  double since_s_ = 0.0;
};

}  // namespace app

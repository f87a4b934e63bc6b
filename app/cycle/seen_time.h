// Time that was watched, from the frames' own times.
#pragma once

#include <optional>

namespace app {

// Another source may count its time from elsewhere, a clock may jump, frames may stay away: such a step is none.
class SeenTime {
 public:
  static constexpr double kLongestStep_s = 2.0;

  explicit SeenTime(double longest_step_s = kLongestStep_s) : longest_step_s_(longest_step_s) {}

  // Seconds from the last frame to this one; nothing at the first frame, and where time ran back or leapt: then nobody
  // can say what happened meanwhile.
  std::optional<double> step(double time_s) {
    const double from = last_s_.value_or(time_s);
    const bool first = !last_s_;
    last_s_ = time_s;
    if (first || !(time_s >= from && time_s - from <= longest_step_s_)) return std::nullopt;
    return time_s - from;
  }
  void forget() { last_s_.reset(); }

 private:
  double longest_step_s_;
  std::optional<double> last_s_;
};

}  // namespace app

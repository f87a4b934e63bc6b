// When a camera's automatics have settled, so that exposure and colours can be fixed: measuring wants frames that are
// alike, and a hand under the camera shall not change the light of the ring.
#pragma once

#include <optional>

namespace app {

// What a frame says of how it was taken; empty where the camera does not tell.
struct TakenWith {
  std::optional<double> exposure_us, gain;
  std::optional<double> red_gain, blue_gain;
  bool operator==(const TakenWith&) const = default;
};

struct SettlingOptions {
  int steady_frames = 15;  // in a row that are alike
  // Alike: the largest value is within this share of the smallest. Exposure and gain count as their product, which is
  // what the picture shows.
  double alike = 0.02;
  // Automatics that never come to rest, as under lamps that flicker, are fixed as they are after so many frames.
  int longest = 300;
};

class Settling {
 public:
  explicit Settling(const SettlingOptions& options = {}) : options_(options) {}

  // Takes the next frame's values. Once they have settled: what to fix, and then nothing any more until anew().
  std::optional<TakenWith> see(const TakenWith& values);
  // The automatics run again.
  void anew() { *this = Settling(options_); }
  bool settled() const { return settled_; }

 private:
  // The smallest and largest of a value over the frames that were alike.
  struct Range {
    double low = 0.0, high = 0.0;
    bool any = false;
    bool takes(std::optional<double> value, double alike);
  };
  bool alike(const TakenWith& values);

  SettlingOptions options_;
  Range light_, red_, blue_;
  int steady_ = 0, seen_ = 0;
  bool settled_ = false;
};

}  // namespace app

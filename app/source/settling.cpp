#include "app/source/settling.h"

#include <algorithm>

namespace app {
namespace {

// Empty where the frame tells neither.
std::optional<double> light_of(const TakenWith& values) {
  if (!values.exposure_us && !values.gain) return std::nullopt;
  return values.exposure_us.value_or(1.0) * values.gain.value_or(1.0);
}

}  // namespace

bool Settling::Range::takes(std::optional<double> value, double alike) {
  if (value.has_value() != any) return false;
  if (!any) return true;
  low = std::min(low, *value);
  high = std::max(high, *value);
  return high <= low * (1.0 + alike);
}

bool Settling::alike(const TakenWith& values) {
  const double share = options_.alike;
  const bool light = light_.takes(light_of(values), share);
  const bool red = red_.takes(values.red_gain, share);
  const bool blue = blue_.takes(values.blue_gain, share);
  return light && red && blue;
}

std::optional<TakenWith> Settling::see(const TakenWith& values) {
  // A frame that tells nothing cannot settle anything.
  if (settled_ || values == TakenWith{}) return std::nullopt;
  ++seen_;
  if (steady_ > 0 && alike(values)) {
    ++steady_;
  } else {
    const auto start = [](std::optional<double> value) {
      return Range{value.value_or(0), value.value_or(0), value.has_value()};
    };
    light_ = start(light_of(values));
    red_ = start(values.red_gain);
    blue_ = start(values.blue_gain);
    steady_ = 1;
  }
  if (steady_ < options_.steady_frames && seen_ < options_.longest) return std::nullopt;
  settled_ = true;
  return values;
}

}  // namespace app

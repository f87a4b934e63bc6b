#include "app/source/camera/automatics.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace app {
namespace lc = libcamera;

namespace {

// Within what the camera says of this control, where it says it.
template <class Value>
Value within(const lc::ControlInfoMap& offered, const lc::Control<Value>& control, Value value) {
  const auto found = offered.find(&control);
  if (found == offered.end()) return value;
  const lc::ControlValue &low = found->second.min(), &high = found->second.max();
  const lc::ControlType type = static_cast<const lc::ControlId&>(control).type();
  if (low.type() != type || high.type() != type || high.get<Value>() < low.get<Value>()) return value;
  return std::clamp(value, low.get<Value>(), high.get<Value>());
}

}  // namespace

Automatics::Automatics(const lc::ControlInfoMap& offered, const CameraSettings& settings)
    : offered_(offered), settings_(settings) {}

lc::ControlList Automatics::at_start() const {
  lc::ControlList controls = automatic();
  if (has(lc::controls::AfMode))
    controls.set(lc::controls::AfMode, static_cast<std::int32_t>(lc::controls::AfModeManual));
  if (has(lc::controls::LensPosition)) {
    const auto place = static_cast<float>(settings_.lens_position_dioptre);
    controls.set(lc::controls::LensPosition, within(offered_, lc::controls::LensPosition, place));
  }
  if (settings_.frames_per_s && has(lc::controls::FrameDurationLimits)) {
    const std::int64_t duration_us = std::llround(1e6 / *settings_.frames_per_s);
    const std::array<std::int64_t, 2> limits{duration_us, duration_us};
    controls.set(lc::controls::FrameDurationLimits, lc::Span<const std::int64_t, 2>(limits));
  }
  return controls;
}

// The automatics run, but for what the settings fix.
lc::ControlList Automatics::automatic() const {
  lc::ControlList controls(offered_);
  const bool exposure_fixed = settings_.exposure_us && has(lc::controls::ExposureTime);
  const bool gain_fixed = settings_.gain && has(lc::controls::AnalogueGain);
  if (has(lc::controls::AeEnable)) controls.set(lc::controls::AeEnable, !(exposure_fixed && gain_fixed));
  if (exposure_fixed) {
    const std::int32_t exposure = *settings_.exposure_us;
    controls.set(lc::controls::ExposureTime, within(offered_, lc::controls::ExposureTime, exposure));
  }
  if (gain_fixed) {
    const auto gain = static_cast<float>(*settings_.gain);
    controls.set(lc::controls::AnalogueGain, within(offered_, lc::controls::AnalogueGain, gain));
  }
  if (has(lc::controls::AwbEnable)) controls.set(lc::controls::AwbEnable, true);
  return controls;
}

TakenWith Automatics::told_by(const lc::ControlList& metadata) const {
  TakenWith told;
  if (has(lc::controls::AeEnable) && !(settings_.exposure_us && settings_.gain)) {
    const auto exposure = metadata.get(lc::controls::ExposureTime);
    const auto gain = metadata.get(lc::controls::AnalogueGain);
    const bool sets_exposure = has(lc::controls::ExposureTime), sets_gain = has(lc::controls::AnalogueGain);
    // Automatic exposure goes off for both together: what then keeps no known value must not be there.
    if ((exposure || !sets_exposure) && (gain || !sets_gain)) {
      if (sets_exposure) told.exposure_us = *exposure;
      if (sets_gain) told.gain = *gain;
    }
  }
  if (has(lc::controls::AwbEnable) && has(lc::controls::ColourGains)) {
    if (const auto gains = metadata.get(lc::controls::ColourGains)) {
      told.red_gain = (*gains)[0];
      told.blue_gain = (*gains)[1];
    }
  }
  return told;
}

lc::ControlList Automatics::fixed(const TakenWith& values) const {
  lc::ControlList controls(offered_);
  if (values.exposure_us || values.gain) controls.set(lc::controls::AeEnable, false);
  if (values.exposure_us)
    controls.set(lc::controls::ExposureTime, static_cast<std::int32_t>(std::lround(*values.exposure_us)));
  if (values.gain) controls.set(lc::controls::AnalogueGain, static_cast<float>(*values.gain));
  if (values.red_gain && values.blue_gain) {
    const std::array<float, 2> gains{static_cast<float>(*values.red_gain), static_cast<float>(*values.blue_gain)};
    controls.set(lc::controls::AwbEnable, false);
    controls.set(lc::controls::ColourGains, lc::Span<const float, 2>(gains));
  }
  return controls;
}

std::optional<lc::ControlList> Automatics::see(const lc::ControlList& metadata) {
  if (resettle_.exchange(false)) {
    settling_.anew();
    return automatic();
  }
  if (const auto values = settling_.see(told_by(metadata))) return fixed(*values);
  return std::nullopt;
}

}  // namespace app

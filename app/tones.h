// The station's three sounds as samples: short tones that differ in rhythm and pitch, so that they are told apart
// across a workshop and by those who hear one pitch badly.
#pragma once

#include <vector>

#include "app/desk/desk.h"

namespace app {

inline constexpr int kSoundRate_hz = 48000;

// One channel, -1 to 1, at kSoundRate_hz; begins and ends at rest, without a click.
// locked: a rising pair. accepted: one short high tone. problem: two low ones.
std::vector<float> tone(Sound sound);

}  // namespace app

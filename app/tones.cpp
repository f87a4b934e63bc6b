#include "app/tones.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace app {
namespace {

struct Note {
  double pitch_hz = 0.0;  // 0: a rest
  double length_s = 0.0;
};

constexpr double kLevel = 0.3;     // clear beside a running machine, and no fright
constexpr double kRamp_s = 0.012;  // in and out, a raised cosine
// Parts of the octave and of the twelfth above: a small speaker gives a low note by them.
constexpr double kSecond = 0.35, kThird = 0.15;

std::vector<Note> notes(Sound sound) {
  switch (sound) {
    case Sound::locked:
      return {{660.0, 0.10}, {0.0, 0.03}, {990.0, 0.16}};
    case Sound::accepted:
      return {{1320.0, 0.11}};
    case Sound::problem:
      return {{277.0, 0.20}, {0.0, 0.10}, {277.0, 0.20}};
  }
  return {};
}

double ramp(double since_edge_s) {
  const double part = std::clamp(since_edge_s / kRamp_s, 0.0, 1.0);
  return 0.5 - 0.5 * std::cos(std::numbers::pi * part);
}

}  // namespace

std::vector<float> tone(Sound sound) {
  std::vector<float> samples;
  for (const Note& note : notes(sound)) {
    const auto count = static_cast<int>(std::lround(note.length_s * kSoundRate_hz));
    for (int i = 0; i < count; ++i) {
      const double at_s = static_cast<double>(i) / kSoundRate_hz;
      const double to_end_s = static_cast<double>(count - 1 - i) / kSoundRate_hz;
      const double turn = 2.0 * std::numbers::pi * note.pitch_hz * at_s;
      const double wave =
          (std::sin(turn) + kSecond * std::sin(2.0 * turn) + kThird * std::sin(3.0 * turn)) / (1.0 + kSecond + kThird);
      samples.push_back(static_cast<float>(kLevel * wave * std::min(ramp(at_s), ramp(to_end_s))));
    }
  }
  return samples;
}

}  // namespace app

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "app/sounds.h"
#include "app/tones.h"
#include "tests/catch.h"

namespace {

namespace fs = std::filesystem;

constexpr double kRate_hz = app::kSoundRate_hz;

struct HeardNote {
  double start_s = 0.0, length_s = 0.0, pitch_hz = 0.0;
};

double pitch_of(const std::vector<float>& samples, std::size_t from, std::size_t to) {
  std::size_t first = 0, last = 0;
  int periods = -1;
  for (std::size_t i = from + 1; i < to; ++i) {
    if (!(samples[i - 1] < 0.0F && samples[i] >= 0.0F)) continue;
    if (periods < 0) first = i;
    last = i;
    ++periods;
  }
  return periods > 0 ? periods * kRate_hz / static_cast<double>(last - first) : 0.0;
}

// What an ear makes of it: stretches between rests of 5 ms or more, and how often each swings upward through zero.
std::vector<HeardNote> hear(const std::vector<float>& samples) {
  constexpr double kRest_s = 0.005, kSilent = 1e-3;
  std::vector<HeardNote> notes;
  std::size_t start = 0, end = 0;
  bool in_note = false;
  const auto close = [&] {
    if (in_note)
      notes.push_back({static_cast<double>(start) / kRate_hz, static_cast<double>(end - start) / kRate_hz,
                       pitch_of(samples, start, end)});
    in_note = false;
  };
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (std::abs(samples[i]) > kSilent) {
      if (!in_note) start = i;
      in_note = true;
      end = i;
    } else if (in_note && static_cast<double>(i - end) / kRate_hz > kRest_s) {
      close();
    }
  }
  close();
  return notes;
}

}  // namespace

// Guarantees: every sound is short, neither faint nor loud, and clicks nowhere. Example failure: a note that is cut at
// its crest.
TEST_CASE("the sounds are short, of moderate level, and do not click", "[sounds]") {
  for (const app::Sound sound : {app::Sound::locked, app::Sound::accepted, app::Sound::problem}) {
    const std::vector<float> samples = app::tone(sound);
    REQUIRE(!samples.empty());
    const double length_s = static_cast<double>(samples.size()) / kRate_hz;
    CHECK(length_s >= 0.05);
    CHECK(length_s <= 0.6);
    double peak = 0.0, steepest = 0.0;
    for (std::size_t i = 0; i < samples.size(); ++i) {
      peak = std::max(peak, std::abs(static_cast<double>(samples[i])));
      if (i > 0) steepest = std::max(steepest, std::abs(static_cast<double>(samples[i] - samples[i - 1])));
    }
    CHECK(peak >= 0.15);
    CHECK(peak <= 0.4);
    CHECK(std::abs(samples.front()) < 1e-6);
    CHECK(std::abs(samples.back()) < 1e-6);
    // A full swing of a 2 kHz tone at this level is no steeper; a click is.
    CHECK(steepest <= 2.0 * 3.1416 * 2000.0 * 0.3 / kRate_hz);
  }
}

// Guarantees: rhythm or pitch tells any two of them apart. Example failure: 'problem' sounds like 'accepted'.
TEST_CASE("the sounds differ in rhythm and pitch", "[sounds]") {
  const auto locked = hear(app::tone(app::Sound::locked));
  const auto accepted = hear(app::tone(app::Sound::accepted));
  const auto problem = hear(app::tone(app::Sound::problem));
  REQUIRE(locked.size() == 2);
  REQUIRE(accepted.size() == 1);
  REQUIRE(problem.size() == 2);
  CHECK(locked[1].pitch_hz > 1.3 * locked[0].pitch_hz);
  CHECK(accepted[0].pitch_hz > 1.2 * locked[1].pitch_hz);
  CHECK(accepted[0].length_s < 0.15);
  CHECK_THAT(problem[1].pitch_hz, WithinAbs(problem[0].pitch_hz, 5.0));
  CHECK(problem[0].pitch_hz < 0.6 * locked[0].pitch_hz);
}

// Guarantees: what SDL's device gets is the sound, whole. SDL's "disk" driver writes it down.
TEST_CASE("a sound is really played", "[sounds]") {
  const fs::path file = fs::temp_directory_path() / ("hoopgauge-sound-" + std::to_string(::getpid()) + ".raw");
  ::setenv("SDL_AUDIODRIVER", "disk", 1);
  ::setenv("SDL_DISKAUDIOFILE", file.c_str(), 1);
  {
    app::Sounds sounds;
    sounds.play(app::Sound::locked);
  }
  ::unsetenv("SDL_AUDIODRIVER");
  ::unsetenv("SDL_DISKAUDIOFILE");
  std::ifstream in(file, std::ios::binary);
  const std::vector<char> bytes{std::istreambuf_iterator<char>(in), {}};
  fs::remove(file);
  std::vector<float> written(bytes.size() / sizeof(float));
  std::copy_n(bytes.begin(), written.size() * sizeof(float), reinterpret_cast<char*>(written.data()));
  const std::vector<float> wanted = app::tone(app::Sound::locked);
  const auto begin = std::find_if(written.begin(), written.end(), [](float s) { return s != 0.0F; });
  const auto wanted_begin = std::find_if(wanted.begin(), wanted.end(), [](float s) { return s != 0.0F; });
  REQUIRE(std::distance(begin, written.end()) >= std::distance(wanted_begin, wanted.end()));
  CHECK(std::equal(wanted_begin, wanted.end(), begin));
}

// Guarantees: a station without a sound device works on. Example failure: the first sound ends the program.
TEST_CASE("without a sound device the sounds are silent", "[sounds]") {
  ::setenv("SDL_AUDIODRIVER", "no such driver", 1);
  {
    app::Sounds sounds;
    for (int i = 0; i < 3; ++i) sounds.play(app::Sound::problem);
  }
  ::unsetenv("SDL_AUDIODRIVER");
  const app::Sounds never_used;
  SUCCEED();
}

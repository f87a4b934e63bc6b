#include "app/station_run.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <map>
#include <string_view>

#include "app/frame_json.h"

namespace app {
namespace {

using Seconds = std::chrono::duration<double>;
using Milliseconds = std::chrono::duration<double, std::milli>;

constexpr double kStale_s = 2.0;
constexpr double kTroubleShown_s = 10.0;
constexpr auto kPatience = std::chrono::milliseconds(10);
constexpr double kRedraw_s = 0.5;  // without new frames, for what changes by time alone

double since(Clock::time_point start) { return Seconds(Clock::now() - start).count(); }

// Rate and delay over the last frames.
class Pace {
 public:
  void shown(Clock::time_point arrived) {
    const auto now = Clock::now();
    // The first frame waits for fonts and textures and says nothing about the others.
    const double weight = count_ == 0 ? 0.0 : count_ == 1 ? 1.0 : 0.1;
    latency_ms_ += weight * (Milliseconds(now - arrived).count() - latency_ms_);
    times_[count_++ % times_.size()] = now;
  }
  double latency_ms() const { return latency_ms_; }
  double per_second() const {
    if (count_ < 2) return 0.0;
    const std::size_t n = std::min(count_, times_.size());
    const auto newest = times_[(count_ - 1) % times_.size()];
    const auto oldest = times_[(count_ - n) % times_.size()];
    return static_cast<double>(n - 1) / std::max(1e-3, Seconds(newest - oldest).count());
  }

 private:
  std::array<Clock::time_point, 20> times_{};
  std::size_t count_ = 0;
  double latency_ms_ = 0.0;
};

}  // namespace

int run_on_display(Window& window, View& view, Measuring& measuring, StationState state, const StationOptions& options,
                   const StopSignal& stop) {
  Screen screen(window);
  Pace pace;
  const auto start = Clock::now();
  auto last_frame = start;
  auto last_drawn = start;
  std::optional<Clock::time_point> ended;
  bool redraw = true;
  while (!stop.received() && !(options.seconds && since(start) >= *options.seconds)) {
    const WindowEvents events = screen.poll();
    if (events.quit) break;
    if (events.textures_lost) view.textures_lost();
    auto measured = measuring.results().take_within(kPatience);
    const auto arrived = measured ? measured->arrived : Clock::time_point();
    if (measured) {
      last_frame = Clock::now();
      view.take(std::move(*measured));
    }
    if (measuring.ended() && !ended) ended = Clock::now();
    state.trouble = measuring.trouble();
    if (ended && since(*ended) >= (state.trouble.empty() ? kStale_s : kTroubleShown_s)) break;
    redraw = redraw || measured || events.redraw || since(last_drawn) >= kRedraw_s;
    if (!redraw) continue;
    state.stale = !ended && since(last_frame) >= kStale_s;
    state.frames_per_s = pace.per_second();
    state.latency_ms = pace.latency_ms();
    view.draw(screen.canvas, screen.text, screen.size(), state);
    screen.present();
    last_drawn = Clock::now();
    redraw = false;
    if (measured) pace.shown(arrived);
  }
  if (options.picture) {
    view.draw(screen.canvas, screen.text, screen.size(), state);
    write_picture(window, *options.picture);
    std::printf("The screen's picture is in %s.\n", options.picture->c_str());
  }
  if (state.trouble.empty()) return 0;
  std::fprintf(stderr, "hoopgauge: %s\n", state.trouble.c_str());
  return 1;
}

int run_without_display(Window& memory, View& view, Measuring& measuring, StationState state,
                        const StationOptions& options, const StopSignal& stop) {
  constexpr int kReadings = 10;
  constexpr double kPatience_s = 30.0;
  const double patience_s = std::min(kPatience_s, options.seconds.value_or(kPatience_s));
  const std::filesystem::path file = options.picture.value_or("hoopgauge-screen.png");
  std::map<std::string_view, int> unread;
  int readings = 0;
  const auto start = Clock::now();
  bool any = false;
  while (readings < kReadings && since(start) < patience_s && !stop.received() && !measuring.ended()) {
    auto measured = measuring.results().take_within(std::chrono::milliseconds(100));
    if (!measured) continue;
    any = true;
    const vision::FrameResult& result = measured->result;
    if (result.reading) {
      ++readings;
      const std::string name = "frame " + std::to_string(measured->frame.number);
      std::printf("%s\n", frame_json(name, result, std::nullopt, measured->measuring_ms).c_str());
      std::fflush(stdout);
    } else {
      ++unread[vision::name(result.status)];
    }
    view.take(std::move(*measured));
  }
  for (const auto& [reason, count] : unread) {
    std::printf("%d frames without a reading: %.*s\n", count, static_cast<int>(reason.size()), reason.data());
  }
  state.trouble = measuring.trouble();
  state.stale = !any;
  Screen screen(memory);
  view.draw(screen.canvas, screen.text, screen.size(), state);
  write_picture(memory, file);
  std::printf("%d readings. The screen's picture is in %s.\n", readings, file.c_str());
  if (state.trouble.empty()) return 0;
  std::fprintf(stderr, "hoopgauge: %s\n", state.trouble.c_str());
  return 1;
}

}  // namespace app

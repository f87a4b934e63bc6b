#include "app/shell/shell.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <cstdio>
#include <utility>

#include "app/format.h"
#include "app/shell/over_view.h"
#include "app/system/notify.h"

namespace app {
namespace {

constexpr double kStale_s = 2.0;
constexpr double kTroubleShown_s = 10.0;  // of a source that ended
constexpr auto kPatience = std::chrono::milliseconds(10);
constexpr double kRedraw_s = 0.5;  // without new frames, for what changes by time alone
constexpr double kRedrawResting_s = 2.0;
constexpr double kFlush_s = 1.0;  // for the last records; the system gives two seconds to stop

double since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

std::string display_words(Window& window) {
  SDL_RendererInfo info{};
  SDL_GetRendererInfo(window.renderer(), &info);
  const char* driver = SDL_GetCurrentVideoDriver();
  const cv::Size size = window.size();
  return format("%s, %s, %d x %d", driver != nullptr ? driver : "memory", info.name != nullptr ? info.name : "?",
                size.width, size.height);
}

}  // namespace

Shell::Shell(Window& window, Desk& desk, Measuring& measuring)
    : desk_(desk), measuring_(measuring), screen_(window), watchdog_(watchdog_limit(), start_) {}

double Shell::now_s() const { return since(start_); }

ShellEnd Shell::run(const LiveOptions& options, const StopSignal& stop) {
  notify_watched(true);
  while (desk_.leaving() == Leave::no && !stop.received() && !over() &&
         !(options.seconds && now_s() >= *options.seconds))
    turn();
  if (stop.received()) notify_stopping();
  notify_watched(false);
  if (options.picture) {
    draw();
    write_picture(screen_.window(), *options.picture);
    std::printf("The screen's picture is in %s.\n", options.picture->c_str());
  }
  desk_.log().flush(kFlush_s);
  ShellEnd end;
  if (desk_.leaving() != Leave::no) end.leave = desk_.leaving();
  if (ended_ && !desk_.health.trouble.empty()) {
    std::fprintf(stderr, "hoopgauge: %s\n", desk_.health.trouble.c_str());
    end.code = 1;
  }
  return end;
}

bool Shell::turn() {
  handle(screen_.poll());
  const auto measured = next_frame();
  look_after_frames();
  look_after_rest();
  sound();
  beat();
  redraw_ = redraw_ || measured || since(last_drawn_) >= (resting_ ? kRedrawResting_s : kRedraw_s);
  if (!redraw_ || (resting_ && since(last_drawn_) < kRedrawResting_s)) return measured.has_value();
  draw();
  screen_.present();
  watchdog_.screen_drawn(Clock::now());
  notify_ready();
  if (measured) pace_.shown(measured->frame.exposed.value_or(measured->arrived));
  return measured.has_value();
}

void Shell::beat() {
  if (ended_) watchdog_.frames_ended();
  watchdog_.frames_alive(measuring_.last_beat());
  if (watchdog_.feed(Clock::now())) notify_beat();
}

bool Shell::over() {
  if (measuring_.ended() && !ended_) ended_ = Clock::now();
  return ended_ && since(*ended_) >= (measuring_.trouble().empty() ? kStale_s : kTroubleShown_s);
}

void Shell::handle(const WindowEvents& events) {
  if (events.closed) desk_.leave(Leave::end);
  if (events.textures_lost)
    for (const auto& view : views_) view->textures_lost();
  redraw_ = redraw_ || events.redraw || !events.input.empty();
  for (const InputEvent& event : events.input) {
    idle_.touched();
    // What wakes the screen does nothing else: nobody saw what was touched.
    if (!std::exchange(resting_, false)) handle(event);
  }
  if (const auto press = pedal_.take(now_s())) {
    redraw_ = true;
    if (desk_.view() != ViewId::work) return;
    *press == Pedal::Press::brief ? desk_.pedal() : desk_.repeat();
  }
}

void Shell::handle(const InputEvent& event) {
  StationView& view = *views_[static_cast<std::size_t>(desk_.view())];
  const bool key = event.kind == InputEvent::Kind::key;
  const bool all_keys = view.wants_text() || view.wants_keys();
  if (key && (event.key == SDLK_ESCAPE || (event.key == SDLK_q && !all_keys))) {
    if (view.go_back(desk_)) return;
    if (desk_.view() == ViewId::work) return desk_.leave(Leave::end);
    return desk_.back();
  }
  if (!all_keys && pedal_.handle(event, desk_.settings().pedal_key, now_s())) return;
  view.handle(event, desk_);
}

std::optional<Measured> Shell::next_frame() {
  auto measured = measuring_.results().take_within(kPatience);
  if (!measured) return measured;
  last_frame_ = Clock::now();
  idle_.see(measured->frame.grey, measured->frame.time_s);
  Measured kept;  // the desk has the pixels, this one the times
  kept.frame.exposed = measured->frame.exposed;
  kept.arrived = measured->arrived;
  desk_.see(std::move(*measured));
  return kept;
}

void Shell::look_after_frames() {
  Health& health = desk_.health;
  health.source = measuring_.source().title();
  health.live_camera = measuring_.source().is_live_camera();
  health.trouble = measuring_.trouble();
  notify_status(health.trouble.empty() ? health.source : health.trouble);
  if (health.trouble != trouble_logged_ && !health.trouble.empty())
    spdlog::warn("{} ({})", health.trouble, measuring_.trouble_detail());
  trouble_logged_ = health.trouble;
  health.stale = !ended_ && since(last_frame_) >= kStale_s;
  health.frames_per_s = pace_.per_second();
  health.latency_ms = pace_.latency_ms();
  health.measuring_ms = measuring_.mean_measuring_ms();
  health.frames = pace_.frames();
  health.dropped = measuring_.frames_dropped();
  const bool lost = health.stale || !health.trouble.empty();
  if (lost && !lost_) desk_.frames_lost();
  redraw_ = redraw_ || lost != lost_;
  lost_ = lost;
}

void Shell::sound() {
  const std::vector<Sound> wanted = desk_.take_sounds();
  // Of several at once the gravest is heard.
  if (!wanted.empty() && desk_.settings().sounds) sounds_.play(*std::max_element(wanted.begin(), wanted.end()));
}

void Shell::look_after_rest() {
  const int minutes = desk_.settings().dim_after_min;
  // Trouble is to be seen from afar.
  const bool rest = minutes > 0 && !lost_ && idle_.idle_s() >= 60.0 * minutes;
  redraw_ = redraw_ || rest != resting_;
  if (rest && !resting_) last_drawn_ = {};
  resting_ = rest;
}

void Shell::draw() {
  const double now = now_s();
  if (resting_) {
    draw_resting(screen_.canvas, screen_.text, screen_.size(), now);
  } else {
    desk_.health.display = display_words(screen_.window());
    StationView& view = *views_[static_cast<std::size_t>(desk_.view())];
    if (shown_ != desk_.view()) view.entered(desk_);
    shown_ = desk_.view();
    view.draw(screen_.canvas, screen_.text, screen_.size(), desk_, now);
    if (const Message* message = desk_.message(now))
      draw_message(screen_.canvas, screen_.text, screen_.size(), *message);
  }
  desk_.picture_drawn();
  last_drawn_ = Clock::now();
  redraw_ = false;
}

}  // namespace app

#include "app/station.h"

#include <cstdio>
#include <exception>
#include <iostream>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "app/board_watch.h"
#include "app/commands.h"
#include "app/desk/desk.h"
#include "app/guide/guide.h"
#include "app/places.h"
#include "app/proof/last_proof.h"
#include "app/screen/window.h"
#include "app/shell/headless.h"
#include "app/shell/shell.h"
#include "app/source/camera_source.h"
#include "app/source/open_source.h"
#include "app/station_questions.h"
#include "app/system/logs.h"
#include "app/system/notify.h"
#include "app/words/screen_language.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr int kFailed = 1;
constexpr int kUsage = 2;

int complain(const std::exception& error, int code) {
  std::fprintf(stderr, "hoopgauge: %s\n", error.what());
  return code;
}

// A window, or in its place the reason why there is none.
struct Shown {
  std::unique_ptr<Window> window;
  std::string why_no_display;
};

Shown show(const StationOptions& options) {
  Shown shown;
  shown.window = Window::open(!options.window, options.size, shown.why_no_display);
  return shown;
}

// The measuring thread's part of one frame.
ReadFrame reader_of(std::shared_ptr<HoopReader> reader) {
  return [reader = std::move(reader)](Measured& measured) {
    measured.result = reader->read(measured.frame.grey);
    measured.other_hoop = reader->other_hoop();
    measured.line = reader->line();
  };
}

Health first_health(const OpenedStation& opened) {
  Health health;
  health.source = opened.source->title();
  health.live_camera = opened.source->is_live_camera();
  health.notice = opened.notice;
  health.proof = opened.proof.line;
  health.proof_wanted = opened.proof.state != LastProof::State::holds;
  return health;
}

ShellEnd run_opened(OpenedStation opened, const StationOptions& options, Shown shown, const StopSignal& stop) {
  const Health health = first_health(opened);
  std::printf("%s\n", opened.notice.empty() ? ("Running on " + health.source).c_str() : opened.notice.c_str());
  if (!health.proof.empty()) std::printf("%s\n", health.proof.c_str());
  std::fflush(stdout);

  const bool display = shown.window != nullptr;
  if (!display) shown.window = Window::in_memory(options.size);
  const auto reader = std::make_shared<HoopReader>(opened.station, opened.hoop, opened.hoops);
  // Destroyed in this order: the threads, the desk, the window.
  Desk desk({opened.station, opened.hoop, opened.hoops, opened.station_file, reader});
  desk.health = health;
  if (!opened.proof.line.empty()) desk.health.proof = words_of(opened.proof);  // in the desk's language
  Measuring measuring(std::move(opened.source), reader_of(reader));
  if (display) return Shell(*shown.window, desk, measuring).run(options, stop);
  std::printf("%s. A picture of the screen and the readings of ten frames instead:\n", shown.why_no_display.c_str());
  std::fflush(stdout);
  return {Leave::end, run_without_display(*shown.window, desk, measuring, options, stop)};
}

int run_guide_for(const StationOptions& options) {
  GuideOptions guide;
  guide.station_file = options.station_file;
  guide.live = options;
  guide.live.seconds.reset();
  guide.live.picture.reset();
  return run_guide(guide, run_words, std::cout, std::cerr);
}

// Asks the person where something is missing, and tries again with the answer.
int run_asking(StationOptions options, const StopSignal& stop) {
  const DisplayHold hold;
  const auto start = Clock::now();
  const auto over = [&] {
    const std::chrono::duration<double> passed = Clock::now() - start;
    return stop.received() || (options.seconds && passed.count() >= *options.seconds);
  };
  while (true) {
    try {
      OpenedStation opened = open_station(options);
      const ShellEnd end = run_opened(std::move(opened), options, show(options), stop);
      if (end.leave == Leave::end) return end.code;
      options.rendered = end.leave == Leave::rendered;
      if (end.leave == Leave::guide && run_guide_for(options) != 0) return kFailed;
    } catch (const NotSetUp& error) {
      Shown shown = show(options);
      if (!shown.window) throw;
      std::printf("%s\n", error.what());
      std::fflush(stdout);
      notify_ready();
      notify_watched(false);  // a person is asked, and may be away
      const ScreenLanguage language(options.station_file.value_or(default_station_file(options.rendered)));
      const SetUpAnswer answer = ask_for_set_up(*shown.window, error.what(), over);
      if (answer == SetUpAnswer::leave) return over() ? 0 : kFailed;
      options.rendered = answer == SetUpAnswer::rendered;
      shown.window.reset();  // the guide opens its own
      if (answer == SetUpAnswer::guide && run_guide_for(options) != 0) return kFailed;
    }
  }
}

}  // namespace

int run_station(const StationOptions& options) {
  try {
    start_logs();
    const StopSignal stop;
    return run_asking(options, stop);
  } catch (const OptionError& error) {
    return complain(error, kUsage);
  } catch (const calib::FileError& error) {
    return complain(error, kUsage);
  } catch (const std::exception& error) {
    return complain(error, kFailed);
  }
}

int run_cameras() {
  const auto cameras = Cameras().list();
  for (const CameraInfo& camera : cameras) {
    std::printf("%s%s%s\n", camera.model.c_str(), camera.model.empty() ? "" : "  ", camera.id.c_str());
  }
  if (!cameras.empty()) return 0;
  std::fputs("hoopgauge: no camera found: check its cable, and that this user may open it (group video)\n", stderr);
  return kFailed;
}

}  // namespace app

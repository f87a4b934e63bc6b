#include "app/station.h"

#include <cstdio>
#include <exception>
#include <memory>
#include <string>
#include <utility>

#include "app/board_watch.h"
#include "app/screen/measure_view.h"
#include "app/screen/window.h"
#include "app/source/camera_source.h"
#include "app/source/open_source.h"
#include "app/station_run.h"
#include "calib/files.h"
#include "vision/tracker.h"

namespace app {
namespace {

constexpr int kFailed = 1;
constexpr int kUsage = 2;

int complain(const std::exception& error, int code) {
  std::fprintf(stderr, "hoopgauge: %s\n", error.what());
  return code;
}

int run_opened(OpenedStation opened, const StationOptions& options) {
  const StopSignal stop;
  StationState state;
  state.source = opened.source->title();
  state.notice = opened.notice;
  std::printf("%s\n", opened.notice.empty() ? ("Running on " + state.source).c_str() : opened.notice.c_str());
  std::fflush(stdout);

  std::string why_no_display;
  auto window = Window::open(!options.window, options.size, why_no_display);
  const bool display = window != nullptr;
  if (!display) window = Window::in_memory(options.size);
  // Destroyed in this order: the threads, the view with its textures, the window.
  MeasureView view(opened.station, opened.hoop);
  auto tracker = std::make_shared<vision::Tracker>(opened.station, opened.hoop);
  auto board = std::make_shared<BoardWatch>(opened.station);
  Measuring measuring(std::move(opened.source), [tracker, board](const cv::Mat& grey) -> const vision::FrameResult& {
    const vision::FrameResult& result = tracker->read(grey);
    board->update(result);
    for (const std::string& note : board->news()) std::fprintf(stderr, "hoopgauge: %s\n", note.c_str());
    return result;
  });
  if (display) return run_on_display(*window, view, measuring, std::move(state), options, stop);
  std::printf("%s. A picture of the screen and the readings of ten frames instead:\n", why_no_display.c_str());
  std::fflush(stdout);
  return run_without_display(*window, view, measuring, std::move(state), options, stop);
}

}  // namespace

int run_station(const StationOptions& options) {
  try {
    return run_opened(open_station(options), options);
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

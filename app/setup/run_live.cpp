#include "app/setup/run_live.h"

#include <chrono>
#include <cstdio>
#include <exception>
#include <iostream>
#include <optional>
#include <string>

#include "app/screen/ask.h"
#include "app/screen/window.h"
#include "app/setup/step_loop.h"
#include "app/setup/step_source.h"
#include "app/source/open_source.h"
#include "app/stop_signal.h"
#include "app/words/screen_language.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr int kFailed = 1;
constexpr int kUsage = 2;

int complain(const std::exception& error, int code) {
  std::cerr << "hoopgauge: " << error.what() << '\n';
  return code;
}

// There is no camera: looks again, or shows the rendered station, as the person wants. Without a source: leaves.
StepSource find_source(Window& window, const std::string& title, const LiveOptions& options, cv::Size frame_size,
                       const RenderedStep& rendered, const StopSignal& stop) {
  enum { look_again = 1, use_rendered, leave };
  Question question;
  question.header = {title, "", tr("No camera found"),
                     tr("Check the camera's cable at both ends, and that it is switched on. Then look again."),
                     PageMood::bad};
  question.lines = {tr("The rendered station shows how this step goes, with an invented camera and board."),
                    tr("What it writes belongs to no real station: name a file of its own with --station FILE.")};
  Button again, show, back;
  again.id = look_again, again.label = tr("Look again"), again.key = SDLK_l, again.main = true;
  show.id = use_rendered, show.label = tr("Rendered station"), show.key = SDLK_r, show.enabled = rendered != nullptr;
  back.id = leave, back.label = tr("Back");
  question.buttons = {again, show, back};
  const auto start = std::chrono::steady_clock::now();
  const auto over = [&] {
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - start;
    return stop.received() || (options.seconds && passed.count() >= *options.seconds);
  };
  Screen screen(window);
  while (true) {
    const auto answer = ask(screen, question, over);
    if (answer == use_rendered) return rendered_step_source(rendered, true);
    if (answer != look_again) return {};
    StepSource source = open_step_source(options, frame_size, rendered);
    if (source.source) return source;
  }
}

int run_opened(SetupStep& step, const std::filesystem::path& station_file, const LiveOptions& options,
               cv::Size frame_size, const RenderedStep& rendered) {
  const StopSignal stop;
  StepSource source = open_step_source(options, frame_size, rendered);
  std::string why_no_display;
  const auto window = Window::open(!options.window, options.size, why_no_display);
  std::optional<ScreenLanguage> language;
  if (window) language.emplace(station_file);
  if (!source.source) {
    if (!window) {
      std::cerr << "hoopgauge: no camera found: check its cable; --rendered shows this step with the rendered station, "
                   "--frames DIR plays pictures\n";
      return kFailed;
    }
    std::cout << "No camera found: see the screen." << std::endl;
    source = find_source(*window, step.title(), options, frame_size, rendered, stop);
    if (!source.source) return kFailed;
  }
  std::cout << (source.notice.empty() ? "Running on " + source.source->title() : source.notice) << std::endl;
  if (window) return run_step_on_display(*window, step, std::move(source), options, stop);
  std::cout << why_no_display << ". What the screen would say:" << std::endl;
  return run_step_without_display(step, std::move(source), options, stop, std::cout, std::cerr);
}

}  // namespace

int run_step_live(SetupStep& step, const std::filesystem::path& station_file, const LiveOptions& options,
                  cv::Size frame_size, const RenderedStep& rendered) {
  try {
    return run_opened(step, station_file, options, frame_size, rendered);
  } catch (const OptionError& error) {
    return complain(error, kUsage);
  } catch (const std::exception& error) {
    return complain(error, kFailed);
  }
}

}  // namespace app

#include "app/guide/guide.h"

#include <chrono>
#include <exception>
#include <iostream>
#include <optional>
#include <ostream>
#include <sstream>

#include "app/guide/guide_view.h"
#include "app/guide/stage_words.h"
#include "app/places.h"
#include "app/screen/ask.h"
#include "app/screen/screen.h"
#include "app/stop_signal.h"
#include "app/words/screen_language.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kFailed = 1;
constexpr int kUsage = 2;
constexpr Uint32 kPause_ms = 10;

fs::path station_file_of(const GuideOptions& options) {
  if (options.station_file) return *options.station_file;
  return default_station_file(options.live.rendered);
}

// What a command without a screen of its own says.
struct Told {
  int code = 0;
  std::vector<std::string> lines;
};

Told told_by(const RunCommand& run_command, const std::vector<std::string>& words) {
  std::ostringstream said;
  std::streambuf* const out = std::cout.rdbuf(said.rdbuf());
  std::streambuf* const err = std::cerr.rdbuf(said.rdbuf());
  Told told;
  try {
    told.code = run_command(words);
  } catch (...) {
    std::cout.rdbuf(out);
    std::cerr.rdbuf(err);
    throw;
  }
  std::cout.rdbuf(out);
  std::cerr.rdbuf(err);
  std::istringstream lines(said.str());
  for (std::string line; std::getline(lines, line);) told.lines.push_back(line);
  return told;
}

class Guide {
 public:
  Guide(const GuideOptions& options, fs::path station_file, const RunCommand& run_command)
      : options_(options),
        station_file_(std::move(station_file)),
        run_command_(run_command),
        view_(stage_states(station_file_), station_file_.string()) {}

  // Shows the guide in the window until a step with a screen of its own is to be run (true) or it is over.
  bool show(Window& window) {
    if (!language_) {
      language_.emplace(station_file_);
      view_.update(stage_states(station_file_));  // its notes in that language
    }
    Window::show_pointer(true);
    Screen screen(window);
    bool redraw = true;
    while (!over()) {
      const WindowEvents events = screen.poll();
      if (events.closed) return false;
      for (const InputEvent& event : events.input) {
        const auto wish = view_.handle(event);
        if (wish == GuideWish::leave) return false;
        if (wish != GuideWish::start) continue;
        if (view_.stage().id != StageId::print) return true;
        print_sheets(screen);
        redraw = true;
      }
      if (redraw || events.redraw || !events.input.empty()) {
        view_.draw(screen.canvas, screen.text, screen.size());
        screen.present();
        redraw = false;
      } else {
        SDL_Delay(kPause_ms);
      }
    }
    return false;
  }

  // The step that the person chose, with a window of its own.
  void run_step() {
    run_command_(command_for(view_.stage().command, station_file_, options_.live));
    view_.update(stage_states(station_file_));
  }

  void write_last_picture(Window& window) {
    if (!options_.live.picture) return;
    Screen screen(window);
    view_.draw(screen.canvas, screen.text, screen.size());
    write_picture(window, *options_.live.picture);
  }

  bool over() const {
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - start_;
    return stop_.received() || (options_.live.seconds && passed.count() >= *options_.live.seconds);
  }

 private:
  // Into the station's folder: a full screen has no other.
  void print_sheets(Screen& screen) {
    const fs::path file = station_file_.parent_path() / "sheets.pdf";
    Told told;
    try {
      make_room_for(file);
      std::vector<std::string> words = view_.stage().command;
      words.insert(words.end(), {"--out", file.string(), "--replace"});
      told = told_by(run_command_, words);
    } catch (const calib::FileError& error) {
      told = {kUsage, {error.what()}};
    }
    Question question;
    question.header.title = tr(view_.stage().headline);
    question.header.mood = told.code == 0 ? PageMood::good : PageMood::bad;
    question.header.headline = told.code == 0 ? tr("The sheets are made") : tr("The sheets could not be made");
    question.header.sentence =
        told.code == 0 ? tr("Print the file at 100 %, never 'fit to page', and measure the 100 mm bar.") : "";
    question.lines = told.lines;
    Button back;
    back.label = tr("Back");
    back.main = true;
    question.buttons = {back};
    ask(screen, question, [this] { return over(); });
  }

  const GuideOptions& options_;
  fs::path station_file_;
  const RunCommand& run_command_;
  std::optional<ScreenLanguage> language_;  // once there is a screen
  StopSignal stop_;
  GuideView view_;
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

int guide_on(const GuideOptions& options, const RunCommand& run_command, std::ostream& out) {
  const fs::path station_file = station_file_of(options);
  const auto print = [&] {
    print_guide(station_file, stage_states(station_file), out);
    return 0;
  };
  if (options.text) return print();
  const DisplayHold hold;
  Guide guide(options, station_file, run_command);
  while (true) {
    {
      std::string why_no_display;
      const auto window = Window::open(!options.live.window, options.live.size, why_no_display);
      if (!window) {
        out << why_no_display << ". The guide as text:\n\n";
        return print();
      }
      if (!guide.show(*window)) {
        guide.write_last_picture(*window);
        return 0;
      }
    }
    guide.run_step();  // which opens a window of its own
  }
}

}  // namespace

std::vector<std::string> command_for(const std::vector<std::string>& stage_command, const fs::path& station_file,
                                     const LiveOptions& live) {
  std::vector<std::string> words = stage_command;
  words.insert(words.end(), {"--station", station_file.string()});
  if (live.window) words.emplace_back("--window");
  if (live.rendered) words.emplace_back("--rendered");
  if (live.camera) words.insert(words.end(), {"--camera", *live.camera});
  if (live.frames_dir) words.insert(words.end(), {"--frames", live.frames_dir->string()});
  if (!live.size.empty())
    words.insert(words.end(), {"--size", std::to_string(live.size.width) + "x" + std::to_string(live.size.height)});
  return words;
}

int run_guide(const GuideOptions& options, const RunCommand& run_command, std::ostream& out, std::ostream& err) {
  try {
    return guide_on(options, run_command, out);
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  } catch (const std::exception& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return kFailed;
  }
}

}  // namespace app

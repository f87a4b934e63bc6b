// `hoopgauge hoop teach` without pictures: the camera's, or the rendered station's.
#include <chrono>
#include <ostream>

#include "app/commands/hoop_settings.h"
#include "app/commands/hoop_teach.h"
#include "app/hoops/catalogue.h"
#include "app/hoops/hoop_store.h"
#include "app/hoops/teach_report.h"
#include "app/hoops/teach_screen.h"
#include "app/places.h"
#include "app/render/demo_station.h"
#include "app/render/setup_scene.h"
#include "app/screen/screen.h"
#include "app/setup/run_live.h"
#include "app/setup/teach_step.h"
#include "app/stop_signal.h"
#include "app/words/screen_language.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr double kRenderedFramesPer_s = 10.0;
constexpr std::uint64_t kRenderedSeed = 3;

// What the step says once the pictures are there; the words go into the teaching, too.
StepOutcome seen(const HoopSettings& settings, const HoopTeachOptions& options, Teaching& teaching) {
  apply(settings, options, teaching);
  const auto found = teaching.found_height();
  if (!settings.rim_height_mm && found && found->fault == calib::HeightFault::none)
    teaching.set_rim_height(found->height_mm, TeachingWords::Height::measured);
  teaching.forget_steps();
  StepOutcome outcome;
  outcome.good = true;
  outcome.headline = tr("The hoop is seen");
  outcome.lines = ring_lines(teaching.ring());
  for (std::string& line : height_lines(teaching)) outcome.lines.push_back(std::move(line));
  if (const auto check = teaching.check()) {
    for (const calib::CheckedFrame& frame : check->frames)
      if (!frame.found || !frame.agrees) outcome.lines.push_back(tr(frame.sentence));
    outcome.lines.push_back(tr(check->sentence));
  }
  return outcome;
}

int kept(const fs::path& file, const std::string& name, std::ostream& out) {
  out << "kept as '" << name << "': " << file.string() << std::endl;
  return 0;
}

int confirm_on(Window& window, Teaching& teaching, const HoopTeachOptions& options, HoopStore& store,
               std::ostream& out) {
  const StopSignal stop;
  const auto start = std::chrono::steady_clock::now();
  const std::function<bool()> over = [&] {
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - start;
    return stop.received() || (options.seconds && passed.count() >= *options.seconds);
  };
  const ScreenLanguage language(options.station_file);
  Window::show_pointer(true);
  Screen screen(window);
  const Catalogue catalogue = Catalogue::of_station(options.station_file);
  const auto file = run_teach_screen(screen, teaching, catalogue, store, over);
  if (!file) {
    out << "The hoop was not kept." << std::endl;
    return 1;
  }
  return kept(*file, teaching.hoop().name, out);
}

// Nobody is there to ask: what the options say must do.
int keep_unasked(const Teaching& teaching, const HoopTeachOptions& options, HoopStore& store, std::ostream& out,
                 std::ostream& err) {
  for (const std::string& doubt : teaching.doubts()) out << "look at this: " << doubt << '\n';
  const std::vector<std::string> missing = teaching.missing();
  for (const std::string& one : missing) err << "hoopgauge: " << one << '\n';
  if (!missing.empty()) return 1;
  if (const auto check = teaching.check(); check && check->complete && !check->good) {
    err << "hoopgauge: the hoop was not kept: " << check->sentence << '\n';
    return 1;
  }
  return kept(store.save(teaching.hoop(), options.replace), teaching.hoop().name, out);
}

}  // namespace

int teach_live(const HoopTeachOptions& options, std::ostream& out, std::ostream& err) {
  const DisplayHold hold;  // from the step's window to the one that asks
  const HoopSettings settings = settings_of(options);
  const vision::Station station = calib::load_station(options.station_file);
  bool rendered = false;
  TeachStep step(station, options.rim_height_mm.value_or(calib::kUsualRimHeightMm), [&](Teaching& teaching) {
    if (rendered) teaching.add_doubt(tr("The pictures are the rendered station's: this hoop is an invented one."));
    return seen(settings, options, teaching);
  });
  const int code =
      run_step_live(step, options.station_file, options, {station.lens.width_px, station.lens.height_px}, [&] {
        rendered = true;  // before the step sees its first frame
        return setup_source(SetupScript::teach, station, demo_hoops().front(), kRenderedFramesPer_s, kRenderedSeed);
      });
  if (code != 0 || !step.teaching()) return code != 0 ? code : 1;
  HoopStore store(hoop_folder(options.station_file));
  std::string why_no_display;
  if (const auto window = Window::open(!options.window, options.size, why_no_display))
    return confirm_on(*window, *step.teaching(), options, store, out);
  return keep_unasked(*step.teaching(), options, store, out, err);
}

}  // namespace app

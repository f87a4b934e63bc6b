#include "app/commands/lens.h"

#include <ostream>

#include "app/places.h"
#include "app/render/demo_station.h"
#include "app/render/setup_scene.h"
#include "app/setup/lens_step.h"
#include "app/setup/lens_words.h"
#include "app/setup/run_live.h"
#include "app/setup/run_pictures.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr int kUnusable = 2;
constexpr double kRenderedPerSecond = 12.0;

// The camera's size in an old station file is kept: the rest of the station counts on it.
cv::Size size_in(const std::filesystem::path& file) {
  if (!std::filesystem::exists(file)) return {};
  const vision::Lens lens = calib::load_station(file, calib::StationNeeds::lens).lens;
  return {lens.width_px, lens.height_px};
}

}  // namespace

int run_lens(const LensOptions& options, std::ostream& out, std::ostream& err) {
  try {
    const std::filesystem::path file =
        options.station_file ? *options.station_file : default_station_file(options.live.rendered);
    const auto step = make_lens_step({file});
    if (!options.frames.empty()) return run_step_on_pictures(*step, options.frames, out, err);
    out << kLockFocus << std::endl;
    return run_step_live(*step, file, options.live, size_in(file), [] {
      return setup_source(SetupScript::lens, demo_station(), demo_hoops().front(), kRenderedPerSecond, 1);
    });
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return kUnusable;
  }
}

}  // namespace app

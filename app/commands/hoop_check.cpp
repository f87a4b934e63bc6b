#include "app/commands/hoop_check.h"

#include <ostream>

#include "app/hoops/find_hoop.h"
#include "app/render/setup_scene.h"
#include "app/setup/hoop_check_step.h"
#include "app/setup/run_live.h"
#include "app/setup/run_pictures.h"
#include "calib/files.h"

namespace app {

int run_hoop_check(const HoopCheckOptions& options, std::ostream& out, std::ostream& err) {
  try {
    const vision::Station station = calib::load_station(options.station_file);
    const vision::Hoop hoop = calib::load_hoop(hoop_file_named(options.hoop, options.station_file));
    HoopCheckStep step(station, hoop);
    if (!options.frames.empty()) return run_step_on_pictures(step, options.frames, out, err);
    constexpr double kFramesPer_s = 10.0;
    constexpr std::uint64_t kSeed = 3;
    return run_step_live(step, options.station_file, options, {station.lens.width_px, station.lens.height_px},
                         [&] { return setup_source(SetupScript::teach, station, hoop, kFramesPer_s, kSeed); });
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return 2;
  }
}

}  // namespace app

#include "app/commands/prove.h"

#include <ostream>

#include "app/render/demo_station.h"
#include "app/render/setup_scene.h"
#include "app/setup/run_live.h"
#include "app/setup/run_pictures.h"
#include "calib/files.h"

namespace app {
namespace {

// Of the rendered station; as many as a camera gives.
constexpr double kFramesPerSecond = 30.0;
constexpr std::uint64_t kSeed = 1;

}  // namespace

int run_prove(const ProveOptions& options, std::ostream& out, std::ostream& err) {
  try {
    const vision::Station station = calib::load_station(options.step.station_file);
    const auto rendered = std::make_shared<std::atomic<bool>>(false);
    ProofStepOptions step_options = options.step;
    step_options.rendered = rendered;
    const std::unique_ptr<SetupStep> step = make_proof_step(station, step_options);
    if (!options.frames.empty()) return run_step_on_pictures(*step, options.frames, out, err);
    return run_step_live(*step, step_options.station_file, options.live,
                         {station.lens.width_px, station.lens.height_px}, [&station, &rendered] {
                           *rendered = true;
                           return setup_source(SetupScript::proof, station, demo_hoops().front(), kFramesPerSecond,
                                               kSeed);
                         });
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return 2;
  }
}

}  // namespace app

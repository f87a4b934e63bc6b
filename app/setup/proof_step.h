// The proof of the station on the proof sheet: guides through places and turns, takes the readings, computes and
// writes the report.
#pragma once

#include <atomic>
#include <filesystem>
#include <memory>
#include <string>

#include "app/setup/step.h"
#include "calib/proof_tolerance.h"
#include "vision/station.h"

namespace app {

struct ProofStepOptions {
  std::filesystem::path station_file;  // where the report is kept: proof_folder(station_file)
  int readings = 20;                   // frames in either position at each place
  int places = 5;
  calib::ProofTolerance tolerance;
  std::string by;  // who lays the sheet; may be empty
  // Set once the frames come from the rendered station: what they prove is not kept as this station's.
  std::shared_ptr<const std::atomic<bool>> rendered;
};

// Places and turns are told from the printed ring's own pose. Live frames are taken while the sheet lies still;
// pictures (named frames) each as they are. A frame counts when all five stickers are read.
std::unique_ptr<SetupStep> make_proof_step(const vision::Station& station, const ProofStepOptions& options);

}  // namespace app

// The command `hoopgauge prove`: the acceptance of a station on the proof sheet, and gauge studies.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/live_options.h"
#include "app/setup/proof_step.h"

namespace app {

struct ProveOptions {
  ProofStepOptions step;
  std::vector<std::string> frames;  // as in `measure`; none: live
  LiveOptions live;
};

// Returns 0 where the station passed, 1 where it did not or a picture could not be read, 2 where options or files
// cannot be used.
int run_prove(const ProveOptions& options, std::ostream& out, std::ostream& err);

struct StudyOptions {
  std::vector<std::filesystem::path> files;  // one CSV, or the JSON of two proofs or more
  bool json = false;
  std::optional<double> tolerance;  // full width, in the values' unit
};

// Prints the study in words, or as JSON. Returns 0, or 2 where a file cannot be used.
int run_study(const StudyOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

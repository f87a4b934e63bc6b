// The report of a proof: in words, as JSON and as a PDF.
#pragma once

#include <ctime>
#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calib/proof.h"

namespace app {

struct ProofReport {
  calib::Proof proof;
  calib::ProofPlan plan;
  std::filesystem::path station_file;
  std::string station_fingerprint;
  std::string by;  // the operator; may be empty
  double print_scale = 1.0;
  std::time_t time = 0;
};

// "The station passes: ..." and what stands behind it: the outcome first, then the terms of the standards.
std::string proof_headline(const ProofReport& report);
// What to do where it did not pass; empty where it did.
std::string proof_mend(const ProofReport& report);
std::vector<std::string> proof_lines(const ProofReport& report);
// In the terms of ISO 5725-1 and JCGM 100: name, offset, rotation.
struct ProofTerm {
  std::string name, offset, rotation;
};
std::vector<ProofTerm> proof_terms(const ProofReport& report);

// Units are in the keys; numbers that are not known are null.
std::string proof_json(const ProofReport& report);

// Writes proof-TIME.pdf and .json into `folder`, made when not there; an older proof is never written over. The JSON
// comes last: where it is, the PDF is. Throws calib::FileError.
struct ProofFiles {
  std::filesystem::path json, pdf;
};
ProofFiles write_proof(const ProofReport& report, const std::filesystem::path& folder);

}  // namespace app

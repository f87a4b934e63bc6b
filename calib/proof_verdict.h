// What a proof of the station came to.
#pragma once

#include <optional>
#include <string_view>

namespace calib {

enum class ProofVerdict {
  pass,      // within the tolerance, the uncertainty and what cannot be told apart counted against the station
  fail,      // beyond it even when neither is counted
  undecided  // in between, or too little was measured
};

// "pass", "fail", "undecided": the names in files.
std::string_view name(ProofVerdict verdict);
std::optional<ProofVerdict> verdict_of(std::string_view name);

}  // namespace calib

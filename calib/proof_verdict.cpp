#include "calib/proof_verdict.h"

#include <array>

namespace calib {
namespace {

constexpr std::array<std::string_view, 3> kNames{"pass", "fail", "undecided"};

}  // namespace

std::string_view name(ProofVerdict verdict) { return kNames[static_cast<std::size_t>(verdict)]; }

std::optional<ProofVerdict> verdict_of(std::string_view name) {
  for (std::size_t i = 0; i < kNames.size(); ++i)
    if (kNames[i] == name) return static_cast<ProofVerdict>(i);
  return std::nullopt;
}

}  // namespace calib

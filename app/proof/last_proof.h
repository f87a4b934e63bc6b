// What the last proof of a station said, and whether it still holds: for the start screen.
#pragma once

#include <ctime>
#include <filesystem>
#include <string>
#include <string_view>

#include "calib/proof_verdict.h"
#include "vision/station.h"

namespace app {

// A new proof is asked for after a month.
inline constexpr int kProofHoldsDays = 31;

struct LastProof {
  enum class State {
    none,     // there is none
    holds,    // passed, recent, and of this lens and board
    old,      // passed, more than a month ago
    changed,  // lens, board survey or print scale are not those that were proved
    not_good  // the last one did not pass
  };
  State state = State::none;
  calib::ProofVerdict verdict = calib::ProofVerdict::undecided;
  std::string date;            // UTC, "2026-01-31"; empty with none
  std::string line;            // one sentence for the start screen, whatever the state
  std::filesystem::path file;  // the JSON; the PDF lies beside it
};

// The newest proof-*.json in proof_folder(station_file) that can be read; `now` is for tests. Never throws for what the
// folder holds: a damaged file is passed over.
LastProof latest_proof(const std::filesystem::path& station_file, const vision::Station& station,
                       std::time_t now = std::time(nullptr));

// Its line, in the language that is spoken now.
std::string words_of(const LastProof& proof);

// Of the numbers of lens, board marks and print scale; the same whatever the file's comments and order of keys.
std::string station_fingerprint(const vision::Station& station);

// The keys of a proof's JSON that latest_proof() reads.
inline constexpr const char* kProofTimeKey = "time_utc";
inline constexpr const char* kProofVerdictKey = "verdict";
inline constexpr const char* kProofStationKey = "station_fingerprint";

}  // namespace app

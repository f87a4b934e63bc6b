// What a report is made from.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "app/records/piece_rows.h"

namespace app {

// What the station's last proof leaves open, while it holds.
struct ReportProof {
  std::optional<StationDoubt> doubt;  // nothing: no proof that holds
  std::string line;                   // in words, whatever it says
};

// In the person's own money, without its name. Nothing: not asked for.
struct ReportCosts {
  std::optional<double> hour, garment;
};

struct ReportInput {
  std::span<const PieceRow> rows;              // in the order of time
  const std::vector<std::string>* names = {};  // as PieceRows::names()
  std::vector<bool> hidden;                    // by name; those behind its end are not
  std::vector<std::uint32_t> numbers;          // of the operators by name, counted from 1: left-out names; empty: names
  ReportProof proof;
  std::string proved_station;  // that the proof is of, as it stands in its records; empty: it has no name there
  ReportCosts costs;

  bool names_left_out() const { return !numbers.empty(); }
  // "Operator 3" where names are left out; nobody's is empty.
  std::string operator_label(NameIndex name) const;
  // Pieces from before the station had a name are its own as well.
  bool is_proved(NameIndex station) const { return (*names)[station].empty() || (*names)[station] == proved_station; }
  bool is_hidden(NameIndex name) const { return name < hidden.size() && hidden[name]; }
};

// By the JSON of the newest proof: the standard uncertainty of a reading, its expanded one over the coverage factor.
// Nothing where the file cannot be read or has no such numbers.
std::optional<StationDoubt> doubt_of_proof(const std::filesystem::path& proof_json);

// Operators in the order of their first piece, which tells nothing of how well they hoop and stays as it is.
std::vector<std::uint32_t> operator_numbers(std::span<const PieceRow> all_rows, std::size_t name_count);

}  // namespace app

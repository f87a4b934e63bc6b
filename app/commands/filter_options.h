// Options that say which pieces are meant.
#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <optional>
#include <string>

#include "app/records/piece_filter.h"

namespace app {

// As written; "none" stands for pieces without one.
struct FilterWords {
  std::optional<std::string> operator_name, job, garment, cloth, hoop, station, machine, since, until;
  bool with_set_aside = false;
};

// --operator, --job, --garment, --cloth, --hoop, --at-station, --machine, --since, --until; and --set-aside where
// wanted.
void add_filter_options(CLI::App& command, FilterWords& words, bool with_set_aside);

// A day named by --until is counted whole. Throws calib::FileError for a time that is none.
PieceFilter filter_from(const FilterWords& words, std::int64_t now_s);

}  // namespace app

// The command `hoopgauge print`: the sheets as files for the printer, and the scale at which it printed them.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/sheets/paper.h"
#include "app/sheets/tag_sheets.h"

namespace app {

enum class Sheet { setup, stickers, board, north, badges, tickets, calibration, proof };

struct PrintOptions {
  Sheet sheet = Sheet::setup;
  std::vector<std::string> chosen;  // numbers as in "0-9,14"; cards as in "480=Name"; empty: some to begin
  Paper paper = Paper::a4;
  std::optional<std::filesystem::path> out_file;  // by its ending PDF, or of one sticker PNG or SVG
  bool replace = false;                           // a file that is there already
  std::optional<double> dpi;                      // of a PNG
  std::optional<LabelGrid> labels;                // of stickers
};

struct ScaleOptions {
  std::filesystem::path station_file;
  double bar_mm = 0.0;  // what the 100 mm bar measured
};

// Writes one file, and a line about it to `out`. Returns 0, or 2 when options or files cannot be used (then `err` says
// what to write instead) and nothing is written.
int run_print(const PrintOptions& options, std::ostream& out, std::ostream& err);
// Writes print_scale into the station file and keeps the old one. Returns as above.
int run_print_scale(const ScaleOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

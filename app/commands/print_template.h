// The command `hoopgauge print template`: a design at its true size on paper.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>

#include "app/design/drawing.h"
#include "app/sheets/paper.h"

namespace app {

struct TemplateOptions {
  std::optional<std::filesystem::path> drawing;  // an SVG file; or
  std::optional<std::string> job;                // a job of this name,
  std::filesystem::path station_file;            // of this station
  std::optional<TrueSize> size;                  // of a drawing
  Paper paper = Paper::a4;
  std::optional<std::filesystem::path> out_file;
  bool replace = false;  // a file that is there already
};

// Writes one PDF, and a line about it to `out`; what is to be confirmed of a drawing's scale as well. Returns 0, or 2
// when options or files cannot be used (then `err` says what to write instead) and nothing is written.
int run_print_template(const TemplateOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

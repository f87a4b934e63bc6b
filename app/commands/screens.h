// The command `hoopgauge screens`: a picture of every view in every usual size, drawn in memory by the views
// themselves on an invented workshop.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>

namespace app {

struct ScreensOptions {
  std::filesystem::path out_dir;  // made when not there
  std::string language;           // ISO 639-1; empty: the system's
  bool replace = false;           // pictures that are there already
  std::string only;               // the views whose name begins so; empty: all
};

// Writes VIEW-WIDTHxHEIGHT.png, and a line for each view to `out`. Returns 0; 1 when a view could not be shown in the
// state wanted; 2 when the options or files cannot be used (then `err` says what to write instead).
int run_screens(const ScreensOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

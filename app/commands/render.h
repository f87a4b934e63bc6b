// The command `hoopgauge render`: frames of the rendered station with their truth, for whoever wants to measure them.
#pragma once

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace app {

struct RenderOptions {
  std::filesystem::path out_dir;  // made when not there; files of the same names are replaced
  std::optional<int> count;       // 20; with a script the first so many of its stills, or all
  std::uint64_t seed = 1;
  std::optional<std::string> kind;                    // one kind of scene instead of all in turn, such as "hand"
  std::optional<std::filesystem::path> station_file;  // instead of the demo station
  std::vector<std::string> hoops;                     // demo hoops by name, or hoop files; empty: all demo hoops
  std::optional<std::string> script;                  // lens, board, teach, proof: the stills of a step of the set-up
  std::optional<std::filesystem::path> sheet;         // the script's printed page as a picture, upright
  std::optional<double> sheet_px_per_mm;              // of that picture
};

// Writes NNNN_kind.png, truth.json, station.toml and hoops/*.toml, and a line for each frame to `out`. With a script
// NN_script.jpg and truth.json only: what the set-up writes it shall find by itself. Returns 0, or 2 when the options,
// a file or the folder cannot be used (then `err` says what to write instead).
int run_render(const RenderOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

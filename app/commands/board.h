// `hoopgauge board`: survey the board marks, list them, move the board frame.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/live_options.h"

namespace app {

struct BoardOptions {
  std::optional<std::filesystem::path> station_file;  // default_station_file() without it
  std::vector<std::string> frames;                    // none: live
  bool keep_frame = false;
  LiveOptions live;
};

// A place that the person points at: "X,Y" in mm of the board frame now, "mark 403", or, with a picture, "X,Y" in px of
// it.
struct BoardFrameOptions {
  std::optional<std::filesystem::path> station_file;
  std::string origin;
  std::optional<std::string> toward;
  std::optional<std::string> picture;
};

// Each returns the exit code: 0 good, 1 not surveyed, 2 for files and options that cannot be used.
int run_board(const BoardOptions& options, std::ostream& out, std::ostream& err);
int run_board_show(const std::optional<std::filesystem::path>& station_file, std::ostream& out, std::ostream& err);
int run_board_frame(const BoardFrameOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

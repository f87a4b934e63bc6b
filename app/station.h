// The station command: camera (or its stand-in) to screen, until the operator or the system ends it.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>

namespace app {

struct StationOptions {
  bool window = false;                                // in a window instead of full screen
  std::optional<std::filesystem::path> station_file;  // --station FILE
  std::optional<std::filesystem::path> hoop_file;     // --hoop FILE
  std::optional<std::filesystem::path> frames_dir;    // --frames DIR: play this folder's pictures
  std::optional<std::string> camera;                  // --camera NAME: (part of) the camera's name
  bool rendered = false;                              // --rendered: the rendered station, even with a camera
  std::optional<double> seconds;                      // --seconds N: ends by itself
  std::optional<std::filesystem::path> picture;       // --picture FILE.png: the screen's picture, written at the end
  cv::Size size{};                                    // --size WxH, px; empty: the screen's own, or 1280 x 800
};

// Runs until Escape, q, a closed window, SIGINT or SIGTERM, or options.seconds. Returns the process's exit code: 0
// after an orderly end, 1 when the camera or the screen failed, 2 for options or files that cannot be used. Messages go
// to stdout (what runs) and stderr (what is wrong and how to mend it).
int run_station(const StationOptions& options);

// The command `hoopgauge cameras`: one line a camera found. Returns 0, or 1 when there is none.
int run_cameras();

}  // namespace app

// What a command with a live picture runs on, and how it shows it.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>

namespace app {

struct LiveOptions {
  bool window = false;                              // in a window instead of full screen
  std::optional<std::filesystem::path> frames_dir;  // --frames DIR: play this folder's pictures
  std::optional<std::string> camera;                // --camera NAME: (part of) the camera's name
  bool rendered = false;                            // --rendered: the rendered station, even with a camera
  std::optional<double> seconds;                    // --seconds N: ends by itself
  std::optional<std::filesystem::path> picture;     // --picture FILE.png: the screen's picture, written at the end
  cv::Size size{};                                  // --size WxH, px; empty: the screen's own, or 1280 x 800
};

}  // namespace app

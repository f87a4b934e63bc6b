// Lengths as people type them on the command line.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>

namespace app {

// "205", "205mm", "8in": mm. Nothing for anything else.
std::optional<double> length_mm_from(const std::string& text);
// "80x60", "80x60mm", "3.5x2.5in": width and height, mm. Nothing for anything else.
std::optional<cv::Size2d> size_mm_from(const std::string& text);

}  // namespace app

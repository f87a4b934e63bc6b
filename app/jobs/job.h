// A job: what is hooped, with which hoop, how well.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/nudge.h"

namespace app {

struct Job {
  std::string name;           // unique
  std::optional<int> ticket;  // tag 480..586, unique, no operator's badge
  std::string hoop;           // the taught hoop's name; empty: any
  std::vector<int> stickers;  // numbers that belong to it; empty: any
  Tolerance tolerance;
  std::optional<cv::Size2d> design_mm;  // width, height, about the design's centre
  int pieces = 0;                       // wanted; 0: not said
  std::string note;                     // for the operator, one line
};

}  // namespace app

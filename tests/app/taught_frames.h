// A rendered station with a bare hoop at four places, as files and as pictures, and a hoop taught from nothing but the
// truth: for the tests of teaching. Rendered once a run.
#pragma once

#include <array>
#include <filesystem>
#include <memory>
#include <opencv2/core.hpp>
#include <string>

#include "app/hoops/teaching.h"
#include "app/render/setup_play.h"
#include "tests/temporary_folder.h"
#include "vision/station.h"

namespace taught {

inline constexpr double kTrueRim_mm = 10.4;  // of the bare rings

struct Frames {
  Frames();
  TemporaryFolder folder;
  vision::Station station;
  vision::Hoop hoop;  // the truth: its rim's height is that of the bare rings
  std::array<cv::Mat, 4> pictures;
  std::array<std::filesystem::path, 4> files;
  std::array<vision::Pose2, 4> poses;
  vision::CameraPose camera_from_board;
};
const Frames& frames();

// The first picture with the true ring, notches found.
app::Teaching true_teaching();

}  // namespace taught

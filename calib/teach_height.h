// The rim's height by parallax. The outlines of a ring that is shifted on the board look the same at any height: a
// higher rim is just a smaller one nearer to the camera. What tells the height is that the foot of the inner wall
// stands on the board while the rim lies above it: shifted by the same hand, the rim's picture moves further than the
// foot's.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calib/teach_ring.h"
#include "vision/camera.h"
#include "vision/station.h"

namespace calib {

enum class HeightFault {
  none,
  too_few_frames,  // fewer than two in which the ring is found
  too_close,       // the places are too close together to tell: u_mm says how little is known
  disagree,        // not the same hoop, or something moved while the picture was taken
};
std::string sentence(HeightFault fault);

struct RimHeight {
  HeightFault fault = HeightFault::too_few_frames;
  double height_mm = 0.0;  // of the bare rim over the board; also present with too_close
  // Standard uncertainty: from the edges' scatter and their common errors, and what rendered rings were off by.
  double u_mm = 0.0;
  double rms_mm = 0.0;
  int frames_used = 0;
};

// One frame of the bare rings, with the camera's pose over the board.
struct HeightFrame {
  cv::Mat grey;  // 8 bit, one channel, of the lens's size
  vision::CameraPose camera_from_board;
};

// `ring` was taught from one of the frames, or another of the same hoop, at whatever height. The ring is found again in
// every frame; the height is adjusted with all poses and the outlines. A quarter of the board or more between the
// places is wanted. A rough check of a ruler's height, to about 0.6 mm: no more.
RimHeight rim_height_from(const TaughtRing& ring, const vision::Station& station,
                          const std::vector<HeightFrame>& frames);

// Whether a typed height agrees with the found one within what both can be trusted: 0.5 mm for a ruler (common
// practice) and twice the standard uncertainty. One sentence that says so.
struct HeightComparison {
  bool agree = false;
  double difference_mm = 0.0;  // found less typed
  std::string sentence;
};
HeightComparison compare_heights(const RimHeight& found, double typed_mm);

}  // namespace calib

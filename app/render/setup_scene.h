// The scenes of setting up a station, for demo and tests: printed sheets before the camera and empty rings on the bare
// board.
#pragma once

#include <cstdint>
#include <memory>
#include <opencv2/core.hpp>

#include "app/render/scene.h"
#include "app/source/frame_source.h"
#include "vision/station.h"

namespace app {

// A printed page as an area of reflectance: 0 black ink to 255 paper.
struct PrintedPage {
  cv::Mat1b picture;       // upright
  double px_per_mm = 0.0;  // of the paper as it was printed
};

// Where a page is held or lies: board frame from page frame (mm, origin at the page's centre, x to its right, y to its
// top, z out of its face).
struct PagePlace {
  cv::Matx33d rotation = cv::Matx33d::eye();
  cv::Vec3d origin_mm{0.0, 0.0, 0.1};
};

// What the rendered station plays while a step of the set-up runs.
enum class SetupScript {
  lens,   // the calibration sheet held at many places and tilts, still between moves
  board,  // the calibration sheet lying on the board, moved between stops
  teach,  // an assembled empty ring on the bare board, then shifted and turned by hand three times
  proof,  // the proof sheet at five places, upright and turned by half a turn
};

// The rendered station as a source for a step. Draws the sheets as the command print draws them. `frames_per_s` 0: as
// fast as can be.
std::unique_ptr<FrameSource> setup_source(SetupScript script, const vision::Station& station, const vision::Hoop& hoop,
                                          double frames_per_s, std::uint64_t seed);

}  // namespace app

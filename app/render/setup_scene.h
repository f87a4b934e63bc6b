// The scenes of setting up a station, for demo and tests: printed sheets before the camera and empty rings on the bare
// board.
#pragma once

#include <cstdint>
#include <memory>

#include "app/render/scene.h"
#include "app/source/frame_source.h"
#include "vision/station.h"

namespace app {

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

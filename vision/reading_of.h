// From the poses of ring and sticker to the reading and its uncertainty.
#pragma once

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/reading.h"
#include "vision/sticker_group.h"

namespace vision {

// All that a reading depends on. Standard uncertainties, k = 1.
struct ReadingInputs {
  Lens lens;
  CameraPose camera_from_board;
  Pose2 board_from_hoop;
  Covariance3 hoop_covariance;        // of a change (x mm, y mm, rad) in the hoop frame
  Covariance3 hoop_noise_covariance;  // the part that changes from frame to frame
  double hoop_reach_mm = 0.0;         // where the rim was measured: about its mean radius
  Pose2 board_from_sticker;
  Covariance3 sticker_covariance;                                // of (x mm, y mm, rad) in the board frame
  Covariance3 sticker_shared_covariance = Covariance3::zeros();  // likewise, what all frames share
  // Of a group: how the design's pose, which is then `board_from_sticker`, follows from its stickers'.
  GroupFit group;
  double rim_height_mm = 0.0, cloth_height_mm = 0.0;
  double rim_height_u_mm = 0.0, cloth_height_u_mm = 0.0;
  double print_scale_u = 0.0;  // relative
};

// The sticker's pose in the hoop frame: offset (mm) and rotation.
Pose2 hoop_from_sticker(const Pose2& board_from_hoop, const Pose2& board_from_sticker);

// Linear propagation after JCGM 100:2008, 5.1.2 and 5.2.2. Image noise of ring and sticker enters by their covariances.
// Camera pose, lens and heights move ring and sticker together: their sensitivities are taken by differences, the image
// points held fixed and cut anew with the planes of rim and cloth. Heights are independent of one another, and of the
// rest.
Reading reading_of(const ReadingInputs& inputs);

// The expanded uncertainties (k = 2) from the covariance; the offset's is that of its worse direction.
void state_uncertainty(Reading& reading);

}  // namespace vision

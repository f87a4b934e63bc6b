// What the uncertainty of a lens does to a picture.
#pragma once

#include "vision/camera.h"

namespace calib {

// Standard deviation of a coordinate, px, root mean square over the picture, of where points of a plane across the view
// are seen: the lens's covariance, after the pose that is found through the same lens has taken up what it can. 0
// without a covariance.
double lens_doubt_px(const vision::Lens& lens);

}  // namespace calib

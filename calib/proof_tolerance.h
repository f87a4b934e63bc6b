// What a station's readings are held against in its proof.
#pragma once

namespace calib {

// About a tenth of the usual tolerance of a job (3 mm, 1 degree), wider for the angle: common practice is that a
// measuring means may use up a tenth to a third of what it decides about.
struct ProofTolerance {
  double offset_mm = 0.3;     // length of the offset's error
  double rotation_deg = 0.2;  // either way
};

}  // namespace calib

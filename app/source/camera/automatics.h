// A camera's exposure, gain, white balance and focus: automatic at first, fixed once they have settled; each only where
// the camera has the control. Focus is fixed from the start, for a lens is calibrated at one focus.
#pragma once

#include <libcamera/libcamera.h>

#include <atomic>
#include <optional>

#include "app/source/camera_source.h"
#include "app/source/settling.h"

namespace app {

class Automatics {
 public:
  // `offered`: the camera's controls; must outlive this.
  Automatics(const libcamera::ControlInfoMap& offered, const CameraSettings& settings);

  libcamera::ControlList at_start() const;
  // What the next request shall set, after a look at a frame's metadata; mostly nothing. From one thread.
  std::optional<libcamera::ControlList> see(const libcamera::ControlList& metadata);
  // From any thread: they run again, until they have settled.
  void resettle() { resettle_ = true; }

 private:
  bool has(const libcamera::ControlId& control) const { return offered_.count(control.id()) != 0; }
  // What of the frame's values can be fixed and is not fixed by the settings.
  TakenWith told_by(const libcamera::ControlList& metadata) const;
  libcamera::ControlList fixed(const TakenWith& values) const;
  libcamera::ControlList automatic() const;

  const libcamera::ControlInfoMap& offered_;
  CameraSettings settings_;
  Settling settling_;
  std::atomic<bool> resettle_{false};
};

}  // namespace app

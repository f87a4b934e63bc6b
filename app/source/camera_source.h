// The camera, through libcamera. camera_source.cpp is the one file that knows libcamera, 0.0.3 as well as 0.4.
#pragma once

#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/source/frame_source.h"

namespace app {

struct CameraInfo {
  std::string id;     // as the system names it; unique
  std::string model;  // the sensor's, such as "imx708"; may be empty
};

struct CameraSettings {
  // Where the camera has a lens that moves: its place in dioptres (1 / m), held fixed, for the calibration holds for
  // one focus only. The default is sharp at 650 mm.
  double lens_position_dioptre = 1.0 / 0.65;
  std::optional<int> exposure_us;  // automatic when empty
  std::optional<double> gain;      // automatic when empty
};

// libcamera's manager; at most one in a process at a time.
class Cameras {
 public:
  Cameras();
  ~Cameras();
  Cameras(Cameras&&) noexcept;
  Cameras& operator=(Cameras&&) noexcept;

  // The cameras that are plugged in. Empty also when libcamera cannot start.
  std::vector<CameraInfo> list() const;

  // Opens and starts the only camera, or the one whose id or model contains `name`, with pictures of `size` px (empty:
  // the largest that it has), whose luminance plane is handed on without copying. Throws std::runtime_error in the
  // operator's words: none or several fit, it is in use, it cannot give such pictures. next() gives nothing, and
  // trouble() says so, when no picture came for two seconds; called again, it restarts the camera. The source keeps the
  // manager alive. Frames outlive the source.
  std::unique_ptr<FrameSource> open(const std::optional<std::string>& name, cv::Size size,
                                    const CameraSettings& settings = {}) const;

  struct State;

 private:
  std::shared_ptr<State> state_;
};

}  // namespace app

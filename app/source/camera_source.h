// The camera, through libcamera (0.0.3 as well as 0.4), which only camera_source.cpp and app/source/camera know.
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

// Exposure, gain and white balance are fixed once the camera's automatics have settled, where the camera lets them be.
struct CameraSettings {
  // Where the camera has a lens that moves: its place in dioptres (1 / m), held fixed, for the calibration holds for
  // one focus only. The default is sharp at 650 mm.
  double lens_position_dioptre = 1.0 / 0.65;
  std::optional<double> frames_per_s = 30.0;  // as the camera likes when empty
  std::optional<int> exposure_us;             // found by the camera when empty
  std::optional<double> gain;                 // found by the camera when empty
};

// Which camera, and how.
struct CameraWish {
  std::optional<std::string> name;   // a part of its id or model; empty: the only one
  std::optional<std::string> model;  // exactly; empty: any
  cv::Size size;                     // px; empty: the largest that it has
  CameraSettings settings;
};

struct OpenedCamera {
  // next() gives nothing, and trouble() says so, when the camera was unplugged or gave no picture for about 1.5 s: then
  // this source is done, and another is to be opened in its place. It keeps the manager alive; its frames outlive it.
  std::unique_ptr<FrameSource> source;
  CameraInfo info;
  cv::Size size;  // px
};

// libcamera's manager; every one of these is the same while one is there.
class Cameras {
 public:
  Cameras();
  ~Cameras();
  Cameras(Cameras&&) noexcept;
  Cameras& operator=(Cameras&&) noexcept;

  // The cameras that are plugged in. Empty also when libcamera cannot start.
  std::vector<CameraInfo> list() const;

  // Opens and starts a camera whose luminance plane is handed on without copying. Throws SourceError: none or several
  // fit, it is in use, it cannot give such pictures.
  OpenedCamera open(const CameraWish& wish) const;

  struct State;

 private:
  std::shared_ptr<State> state_;
};

}  // namespace app

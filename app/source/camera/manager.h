// libcamera's manager, of which a process may have one at a time. Only app/source/camera and camera_source.cpp include
// this and its neighbours: the rest of the program does not see libcamera.
#pragma once

#include <libcamera/libcamera.h>

#include <cstdlib>
#include <memory>

#include "app/source/camera_source.h"

namespace app {

struct Cameras::State {
  // libcamera looks at this when it first logs, which is while its manager is made. That there is no memory for a
  // camera is an error for it even where there is no camera; where it matters, the source says so.
  int quiet = setenv("LIBCAMERA_LOG_LEVELS", "DmaBufAllocator:FATAL,*:ERROR", 0);
  libcamera::CameraManager manager;
  bool started = false;

  State();
  ~State();
};

// The one that is there, else a new one, which looks for cameras anew. Waits while an old one is being taken down.
std::shared_ptr<Cameras::State> camera_manager();

CameraInfo camera_info(const libcamera::Camera& camera);

}  // namespace app

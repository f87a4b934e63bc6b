// A camera set up to give pictures whose first plane is the luminance.
#pragma once

#include <libcamera/libcamera.h>

#include <memory>
#include <opencv2/core.hpp>

namespace app {

// Configures the camera for one stream of YUV420, NV12 or a grey sensor's own format. Throws SourceError when it gives
// no such pictures of `size` px.
std::unique_ptr<libcamera::CameraConfiguration> configure_camera(libcamera::Camera& camera, cv::Size size);

// The largest of the sizes that the camera names for pictures of these kinds. Throws SourceError.
cv::Size largest_size(libcamera::Camera& camera);

}  // namespace app

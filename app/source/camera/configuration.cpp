#include "app/source/camera/configuration.h"

#include <array>
#include <string>

#include "app/source/camera/run.h"
#include "app/source/trouble.h"

namespace app {
namespace lc = libcamera;

namespace {

const std::array kFormats{lc::formats::YUV420, lc::formats::NV12, lc::formats::R8};

}  // namespace

std::unique_ptr<lc::CameraConfiguration> configure_camera(lc::Camera& camera, cv::Size size) {
  std::string offered;
  for (const lc::PixelFormat& format : kFormats) {
    auto configuration = camera.generateConfiguration({lc::StreamRole::VideoRecording});
    if (!configuration || configuration->empty()) break;
    lc::StreamConfiguration& stream = configuration->at(0);
    stream.pixelFormat = format;
    stream.size = lc::Size(static_cast<unsigned>(size.width), static_cast<unsigned>(size.height));
    stream.bufferCount = CameraRun::kBuffers;
    if (configuration->validate() == lc::CameraConfiguration::Invalid) continue;
    const bool fits = stream.pixelFormat == format && static_cast<int>(stream.size.width) == size.width &&
                      static_cast<int>(stream.size.height) == size.height;
    if (fits && camera.configure(configuration.get()) == 0) return configuration;
    offered = stream.toString();
  }
  throw SourceError(kCameraUnfit, "the camera gives no YUV420, NV12 or grey pictures of " + std::to_string(size.width) +
                                      " x " + std::to_string(size.height) + " px" +
                                      (offered.empty() ? "" : "; it offers " + offered) +
                                      ": put a size that it has into the station file and calibrate again");
}

cv::Size largest_size(lc::Camera& camera) {
  cv::Size largest;
  const auto configuration = camera.generateConfiguration({lc::StreamRole::VideoRecording});
  if (configuration && !configuration->empty()) {
    const lc::StreamFormats& formats = configuration->at(0).formats();
    for (const lc::PixelFormat& format : kFormats)
      for (const lc::Size& one : formats.sizes(format)) {
        const cv::Size size(static_cast<int>(one.width), static_cast<int>(one.height));
        if (std::int64_t{size.width} * size.height > std::int64_t{largest.width} * largest.height) largest = size;
      }
  }
  if (largest.empty()) throw SourceError(kCameraUnfit, "the camera names no sizes of YUV420, NV12 or grey pictures");
  return largest;
}

}  // namespace app

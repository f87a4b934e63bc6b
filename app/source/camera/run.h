// One run of a camera from start to stop.
#pragma once

#include <libcamera/libcamera.h>

#include <atomic>
#include <map>
#include <memory>
#include <mutex>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/source/camera/automatics.h"
#include "app/source/camera/manager.h"
#include "app/source/camera/mapped_plane.h"
#include "app/source/frame_source.h"
#include "app/source/latest.h"

namespace app {

// Frames hold their run, so that their memory lives as long as they do.
class CameraRun : public std::enable_shared_from_this<CameraRun> {
 public:
  // One being filled, one in each mailbox, one being measured, one being drawn, one to spare.
  static constexpr unsigned kBuffers = 6;

  // The camera is acquired and configured. Throws std::runtime_error, as start().
  CameraRun(std::shared_ptr<Cameras::State> manager, std::shared_ptr<libcamera::Camera> camera,
            const libcamera::StreamConfiguration& stream, const CameraSettings& settings);

  void start();
  // Frames that are still held stay readable; their buffers are not asked to be filled again.
  void stop();

  // Nothing when none came in time, or after wake() or unplugging.
  std::optional<Frame> next();
  // From any thread, as what follows: next() returns at once.
  void wake() { frames_.close(); }
  void resettle() { automatics_.resettle(); }
  bool unplugged() const { return unplugged_; }

 private:
  void completed(libcamera::Request* request);
  void stamp(Frame& frame, libcamera::Request& request, const libcamera::FrameMetadata& metadata);
  void give_back(libcamera::Request* request);
  void disconnect();

  std::shared_ptr<Cameras::State> manager_;  // stopped only after every camera is let go of
  std::shared_ptr<libcamera::Camera> camera_;
  libcamera::FrameBufferAllocator allocator_;
  libcamera::Stream* stream_;
  cv::Size size_;
  std::size_t stride_;
  Automatics automatics_;
  std::map<const libcamera::FrameBuffer*, std::unique_ptr<MappedPlane>> planes_;
  std::vector<std::unique_ptr<libcamera::Request>> requests_;
  long number_ = -1;  // the last frame's; on libcamera's thread only, as is its time
  double time_s_ = 0.0;
  Latest<Frame> frames_;
  bool any_ = false;  // a frame came; of next()'s thread
  std::mutex gate_;
  bool running_ = false;
  std::optional<libcamera::ControlList> wish_;  // for the next request
  std::atomic<bool> unplugged_{false};
};

}  // namespace app

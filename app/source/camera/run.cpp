#include "app/source/camera/run.h"

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <utility>

#include "app/source/exposure_time.h"

namespace app {
namespace lc = libcamera;

namespace {

using namespace std::chrono_literals;

constexpr auto kPatience = 1500ms;
constexpr auto kFirstPatience = 2500ms;  // a camera that was just started

// Asked this way round because some pipelines never fill in the status (the virtual camera of 0.4).
bool spoilt(const lc::FrameMetadata& metadata) {
  return metadata.status == lc::FrameMetadata::FrameError || metadata.status == lc::FrameMetadata::FrameCancelled;
}

double seconds(std::chrono::steady_clock::time_point time) {
  return std::chrono::duration<double>(time.time_since_epoch()).count();
}

}  // namespace

CameraRun::CameraRun(std::shared_ptr<Cameras::State> manager, std::shared_ptr<lc::Camera> camera,
                     const lc::StreamConfiguration& stream, const CameraSettings& settings)
    : manager_(std::move(manager)),
      camera_(std::move(camera)),
      allocator_(camera_),
      stream_(stream.stream()),
      size_(static_cast<int>(stream.size.width), static_cast<int>(stream.size.height)),
      stride_(stream.stride),
      automatics_(camera_->controls(), settings) {
  if (allocator_.allocate(stream_) < 0) throw std::runtime_error("the camera has no memory for its pictures");
  for (const auto& buffer : allocator_.buffers(stream_)) {
    auto request = camera_->createRequest();
    if (!request || request->addBuffer(stream_, buffer.get()) != 0) {
      throw std::runtime_error("the camera takes no requests for pictures");
    }
    planes_.emplace(buffer.get(), std::make_unique<MappedPlane>(*buffer));
    requests_.push_back(std::move(request));
  }
}

void CameraRun::start() {
  camera_->requestCompleted.connect(this, &CameraRun::completed);
  camera_->disconnected.connect(this, [this] {
    unplugged_ = true;
    frames_.close();
  });
  const lc::ControlList controls = automatics_.at_start();
  if (camera_->start(&controls) != 0) {
    disconnect();
    throw std::runtime_error("the camera cannot be started");
  }
  const std::scoped_lock lock(gate_);
  running_ = true;
  for (const auto& request : requests_) camera_->queueRequest(request.get());
}

void CameraRun::stop() {
  {
    const std::scoped_lock lock(gate_);
    running_ = false;
  }
  camera_->stop();
  disconnect();
  frames_.close();
  // A frame that nobody took holds this run, and this run holds it.
  frames_.take();
}

std::optional<Frame> CameraRun::next() {
  auto frame = frames_.take_within(any_ ? kPatience : kFirstPatience);
  any_ = any_ || frame;
  return frame;
}

// On libcamera's thread: hands over, and looks at how the frame was taken; nothing else.
void CameraRun::completed(lc::Request* request) {
  if (request->status() == lc::Request::RequestCancelled) return;
  const lc::FrameBuffer* buffer = request->findBuffer(stream_);
  const lc::FrameMetadata& metadata = buffer->metadata();
  if (spoilt(metadata)) {
    give_back(request);
    return;
  }
  if (auto wish = automatics_.see(request->metadata())) {
    const std::scoped_lock lock(gate_);
    wish_ = std::move(wish);
  }
  const MappedPlane& plane = *planes_.at(buffer);
  plane.begin_reading();
  Frame frame;
  frame.grey = cv::Mat(size_, CV_8UC1, plane.pixels(), stride_);
  stamp(frame, *request, metadata);
  frame.owner = std::shared_ptr<const void>(request, [run = shared_from_this(), request, &plane](const void*) {
    plane.end_reading();
    run->give_back(request);
  });
  frames_.put(std::move(frame));
}

// Some pipelines neither number nor time their frames: those are counted, and timed on arrival.
void CameraRun::stamp(Frame& frame, lc::Request& request, const lc::FrameMetadata& metadata) {
  const auto sensor_ns = request.metadata().get(lc::controls::SensorTimestamp);
  frame.exposed = exposed_at(sensor_ns.value_or(static_cast<std::int64_t>(metadata.timestamp)), system_clocks());
  const double exposed_s = frame.exposed ? seconds(*frame.exposed) : 0.0;
  if (exposed_s <= time_s_) frame.exposed.reset();
  time_s_ = exposed_s > time_s_ ? exposed_s : seconds(std::chrono::steady_clock::now());
  number_ = std::max(number_ + 1, static_cast<long>(metadata.sequence));
  frame.number = number_;
  frame.time_s = time_s_;
}

void CameraRun::give_back(lc::Request* request) {
  const std::scoped_lock lock(gate_);
  if (!running_) return;
  request->reuse(lc::Request::ReuseBuffers);
  if (wish_) request->controls().merge(*std::exchange(wish_, std::nullopt));
  camera_->queueRequest(request);
}

void CameraRun::disconnect() {
  camera_->requestCompleted.disconnect(this);
  camera_->disconnected.disconnect(this);
}

}  // namespace app

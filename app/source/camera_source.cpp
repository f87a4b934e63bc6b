#include "app/source/camera_source.h"

#include <libcamera/libcamera.h>
#include <linux/dma-buf.h>
#include <sys/ioctl.h>
#include <sys/mman.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <map>
#include <mutex>
#include <stdexcept>

#include "app/source/latest.h"

namespace app {
namespace lc = libcamera;

struct Cameras::State {
  // libcamera looks at this when it first logs, which is while its manager is made. That there is no memory for a
  // camera is an error for it even where there is no camera; where it matters, the source says so.
  int quiet = setenv("LIBCAMERA_LOG_LEVELS", "DmaBufAllocator:FATAL,*:ERROR", 0);
  lc::CameraManager manager;
  bool started = false;

  State() { started = manager.start() == 0; }
  ~State() {
    if (started) manager.stop();
  }
};

namespace {

constexpr auto kPatience = std::chrono::seconds(2);
// One being filled, one in each mailbox, one being measured, one being drawn, one to spare.
constexpr unsigned kBuffers = 6;

CameraInfo info(const lc::Camera& camera) {
  return {camera.id(), camera.properties().get(lc::properties::Model).value_or("")};
}

// The luminance plane of one buffer, mapped for reading.
class MappedPlane {
 public:
  explicit MappedPlane(const lc::FrameBuffer& buffer) : fd_(buffer.planes()[0].fd) {
    const auto& plane = buffer.planes()[0];
    length_ = std::size_t{plane.offset} + plane.length;
    void* start = mmap(nullptr, length_, PROT_READ, MAP_SHARED, fd_.get(), 0);
    if (start == MAP_FAILED) throw std::runtime_error("the camera's picture memory cannot be read");
    start_ = static_cast<unsigned char*>(start);
    pixels_ = start_ + plane.offset;
  }
  ~MappedPlane() { munmap(start_, length_); }
  MappedPlane(const MappedPlane&) = delete;
  MappedPlane& operator=(const MappedPlane&) = delete;

  unsigned char* pixels() const { return pixels_; }
  // Tells the caches that the processor reads, or has read. Memory that is no DMA buffer needs none of it.
  void begin_reading() const { sync(DMA_BUF_SYNC_START | DMA_BUF_SYNC_READ); }
  void end_reading() const { sync(DMA_BUF_SYNC_END | DMA_BUF_SYNC_READ); }

 private:
  void sync(unsigned long long flags) const {
    dma_buf_sync request{};
    request.flags = flags;
    while (ioctl(fd_.get(), DMA_BUF_IOCTL_SYNC, &request) != 0 && errno == EINTR) {
    }
  }

  lc::SharedFD fd_;
  std::size_t length_ = 0;
  unsigned char* start_ = nullptr;
  unsigned char* pixels_ = nullptr;
};

// Asked this way round because some pipelines never fill in the status (the virtual camera of 0.4).
bool spoilt(const lc::FrameMetadata& metadata) {
  return metadata.status == lc::FrameMetadata::FrameError || metadata.status == lc::FrameMetadata::FrameCancelled;
}

// One run of a camera from start to stop. Frames hold it, so that their memory lives as long as they do.
class Run : public std::enable_shared_from_this<Run> {
 public:
  Run(std::shared_ptr<Cameras::State> manager, std::shared_ptr<lc::Camera> camera, lc::Stream* stream, cv::Size size,
      std::size_t stride)
      : manager_(std::move(manager)),
        camera_(std::move(camera)),
        allocator_(camera_),
        stream_(stream),
        size_(size),
        stride_(stride) {
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

  void start(const lc::ControlList& controls) {
    camera_->requestCompleted.connect(this, &Run::completed);
    camera_->disconnected.connect(this, [this] { unplugged_ = true; });
    if (camera_->start(&controls) != 0) {
      disconnect();
      throw std::runtime_error("the camera cannot be started");
    }
    const std::scoped_lock lock(gate_);
    running_ = true;
    for (const auto& request : requests_) camera_->queueRequest(request.get());
  }

  // Frames that are still held stay readable; their buffers are not asked to be filled again.
  void stop() {
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

  std::optional<Frame> next() { return frames_.take_within(kPatience); }
  // From any thread: next() returns at once.
  void wake() { frames_.close(); }
  bool unplugged() const { return unplugged_; }

 private:
  // On libcamera's thread: hands over, nothing else.
  void completed(lc::Request* request) {
    if (request->status() == lc::Request::RequestCancelled) return;
    const lc::FrameBuffer* buffer = request->findBuffer(stream_);
    const lc::FrameMetadata& metadata = buffer->metadata();
    if (spoilt(metadata)) {
      give_back(request);
      return;
    }
    const MappedPlane& plane = *planes_.at(buffer);
    plane.begin_reading();
    Frame frame;
    frame.grey = cv::Mat(size_, CV_8UC1, plane.pixels(), stride_);
    stamp(frame, metadata);
    frame.owner = std::shared_ptr<const void>(request, [run = shared_from_this(), request, &plane](const void*) {
      plane.end_reading();
      run->give_back(request);
    });
    frames_.put(std::move(frame));
  }

  // Some pipelines neither number nor time their frames: those are counted, and timed on arrival.
  void stamp(Frame& frame, const lc::FrameMetadata& metadata) {
    number_ = std::max(number_ + 1, static_cast<long>(metadata.sequence));
    const double said_s = 1e-9 * static_cast<double>(metadata.timestamp);
    const std::chrono::duration<double> now = std::chrono::steady_clock::now().time_since_epoch();
    time_s_ = said_s > time_s_ ? said_s : now.count();
    frame.number = number_;
    frame.time_s = time_s_;
  }

  void give_back(lc::Request* request) {
    const std::scoped_lock lock(gate_);
    if (!running_) return;
    request->reuse(lc::Request::ReuseBuffers);
    camera_->queueRequest(request);
  }

  void disconnect() {
    camera_->requestCompleted.disconnect(this);
    camera_->disconnected.disconnect(this);
  }

  std::shared_ptr<Cameras::State> manager_;  // stopped only after every camera is let go of
  std::shared_ptr<lc::Camera> camera_;
  lc::FrameBufferAllocator allocator_;
  lc::Stream* stream_;
  cv::Size size_;
  std::size_t stride_;
  std::map<const lc::FrameBuffer*, std::unique_ptr<MappedPlane>> planes_;
  std::vector<std::unique_ptr<lc::Request>> requests_;
  long number_ = -1;  // the last frame's; on libcamera's thread only, as is its time
  double time_s_ = 0.0;
  Latest<Frame> frames_;
  std::mutex gate_;
  bool running_ = false;
  std::atomic<bool> unplugged_{false};
};

bool has(const lc::Camera& camera, const lc::ControlId& control) { return camera.controls().count(control.id()) != 0; }

lc::ControlList controls_for(const lc::Camera& camera, const CameraSettings& settings) {
  lc::ControlList controls(camera.controls());
  if (has(camera, lc::controls::AfMode))
    controls.set(lc::controls::AfMode, static_cast<int32_t>(lc::controls::AfModeManual));
  if (has(camera, lc::controls::LensPosition)) {
    controls.set(lc::controls::LensPosition, static_cast<float>(settings.lens_position_dioptre));
  }
  if (settings.exposure_us && has(camera, lc::controls::ExposureTime)) {
    controls.set(lc::controls::ExposureTime, static_cast<int32_t>(*settings.exposure_us));
  }
  if (settings.gain && has(camera, lc::controls::AnalogueGain)) {
    controls.set(lc::controls::AnalogueGain, static_cast<float>(*settings.gain));
  }
  return controls;
}

const std::array kFormats{lc::formats::YUV420, lc::formats::NV12, lc::formats::R8};

// A stream whose first plane is the luminance: YUV420, NV12 or a grey sensor's own format.
std::unique_ptr<lc::CameraConfiguration> configure(lc::Camera& camera, cv::Size size) {
  std::string offered;
  for (const lc::PixelFormat& format : kFormats) {
    auto configuration = camera.generateConfiguration({lc::StreamRole::VideoRecording});
    if (!configuration || configuration->empty()) break;
    lc::StreamConfiguration& stream = configuration->at(0);
    stream.pixelFormat = format;
    stream.size = lc::Size(static_cast<unsigned>(size.width), static_cast<unsigned>(size.height));
    stream.bufferCount = kBuffers;
    if (configuration->validate() == lc::CameraConfiguration::Invalid) continue;
    const bool fits = stream.pixelFormat == format && static_cast<int>(stream.size.width) == size.width &&
                      static_cast<int>(stream.size.height) == size.height;
    if (fits && camera.configure(configuration.get()) == 0) return configuration;
    offered = stream.toString();
  }
  throw std::runtime_error("the camera gives no YUV420, NV12 or grey pictures of " + std::to_string(size.width) +
                           " x " + std::to_string(size.height) + " px" +
                           (offered.empty() ? "" : "; it offers " + offered) +
                           ": put a size that it has into the station file and calibrate again");
}

// The largest of the sizes that the camera names for pictures of these kinds.
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
  if (largest.empty()) throw std::runtime_error("the camera names no sizes of YUV420, NV12 or grey pictures");
  return largest;
}

class CameraSource : public FrameSource {
 public:
  CameraSource(std::shared_ptr<Cameras::State> manager, std::shared_ptr<lc::Camera> camera, cv::Size size,
               const CameraSettings& settings)
      : manager_(std::move(manager)), camera_(std::move(camera)), size_(size), settings_(settings) {
    if (camera_->acquire() != 0) {
      throw std::runtime_error("the camera " + camera_->id() + " is in use by another program: close that");
    }
    acquired_ = true;
    try {
      restart();
    } catch (...) {
      close();
      throw;
    }
  }
  ~CameraSource() override { close(); }

  std::optional<Frame> next() override {
    if (stopped_) return std::nullopt;
    if (!trouble_.empty() && !restarted()) return std::nullopt;
    const auto run = current_run();
    auto frame = run->next();
    if (frame || stopped_) return frame;
    trouble_ = run->unplugged() ? "The camera was unplugged: check its cable."
                                : "The camera has given no picture for 2 seconds: check its cable.";
    return std::nullopt;
  }
  void stop() override {
    stopped_ = true;
    if (const auto run = current_run()) run->wake();
  }
  std::string title() const override {
    const CameraInfo i = info(*camera_);
    return "camera " + (i.model.empty() ? i.id : i.model);
  }
  std::string trouble() const override { return trouble_; }
  bool is_live_camera() const override { return true; }

 private:
  std::shared_ptr<Run> current_run() {
    const std::scoped_lock lock(run_gate_);
    return run_;
  }

  bool restarted() {
    try {
      restart();
      trouble_.clear();
      return true;
    } catch (const std::exception& e) {
      trouble_ = std::string("The camera cannot be started again: ") + e.what() + ".";
      return false;
    }
  }

  void restart() {
    end_run();
    if (size_.empty()) size_ = largest_size(*camera_);
    const auto configuration = configure(*camera_, size_);
    const lc::StreamConfiguration& stream = configuration->at(0);
    auto run = std::make_shared<Run>(manager_, camera_, stream.stream(), size_, stream.stride);
    run->start(controls_for(*camera_, settings_));
    const std::scoped_lock lock(run_gate_);
    run_ = run;
    if (stopped_) run->wake();
  }

  void end_run() {
    std::shared_ptr<Run> run;
    {
      const std::scoped_lock lock(run_gate_);
      run.swap(run_);
    }
    if (run) run->stop();
  }

  void close() {
    end_run();
    if (acquired_) camera_->release();
    acquired_ = false;
  }

  std::shared_ptr<Cameras::State> manager_;  // destroyed after the camera
  std::shared_ptr<lc::Camera> camera_;
  cv::Size size_;
  CameraSettings settings_;
  bool acquired_ = false;
  std::mutex run_gate_;
  std::shared_ptr<Run> run_;
  std::atomic<bool> stopped_{false};
  std::string trouble_;  // of the thread that calls next()
};

}  // namespace

Cameras::Cameras() : state_(std::make_shared<State>()) {}
Cameras::~Cameras() = default;
Cameras::Cameras(Cameras&&) noexcept = default;
Cameras& Cameras::operator=(Cameras&&) noexcept = default;

std::vector<CameraInfo> Cameras::list() const {
  std::vector<CameraInfo> all;
  for (const auto& camera : state_->manager.cameras()) all.push_back(info(*camera));
  return all;
}

std::unique_ptr<FrameSource> Cameras::open(const std::optional<std::string>& name, cv::Size size,
                                           const CameraSettings& settings) const {
  std::vector<std::shared_ptr<lc::Camera>> fitting;
  std::string names;
  for (const auto& camera : state_->manager.cameras()) {
    const CameraInfo i = info(*camera);
    names += "\n  " + i.id + (i.model.empty() ? "" : " (" + i.model + ")");
    if (!name || i.id.find(*name) != std::string::npos || i.model.find(*name) != std::string::npos) {
      fitting.push_back(camera);
    }
  }
  if (fitting.size() == 1) return std::make_unique<CameraSource>(state_, fitting.front(), size, settings);
  if (names.empty()) throw std::runtime_error("no camera found: check its cable");
  throw std::runtime_error((fitting.empty() ? "no camera is named '" + *name + "'"
                                            : std::string("several cameras fit: choose one with --camera NAME")) +
                           "; cameras found:" + names);
}

}  // namespace app

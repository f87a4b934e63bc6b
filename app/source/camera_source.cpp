#include "app/source/camera_source.h"

#include <atomic>
#include <utility>

#include "app/source/camera/configuration.h"
#include "app/source/camera/manager.h"
#include "app/source/camera/run.h"
#include "app/source/trouble.h"

namespace app {
namespace lc = libcamera;

namespace {

// A camera of one's own, from acquiring to releasing.
class Acquired {
 public:
  explicit Acquired(std::shared_ptr<lc::Camera> camera) : camera_(std::move(camera)) {
    if (camera_->acquire() != 0)
      throw SourceError(kCameraBusy, "the camera " + camera_->id() + " is in use by another program: close that");
  }
  ~Acquired() { camera_->release(); }
  Acquired(const Acquired&) = delete;
  Acquired& operator=(const Acquired&) = delete;

  const std::shared_ptr<lc::Camera>& get() const { return camera_; }

 private:
  std::shared_ptr<lc::Camera> camera_;
};

class CameraSource : public FrameSource {
 public:
  CameraSource(std::shared_ptr<Cameras::State> manager, std::shared_ptr<lc::Camera> camera, const CameraWish& wish)
      : manager_(std::move(manager)), acquired_(std::move(camera)) {
    size_ = wish.size.empty() ? largest_size(*acquired_.get()) : wish.size;
    const auto configuration = configure_camera(*acquired_.get(), size_);
    run_ = std::make_shared<CameraRun>(manager_, acquired_.get(), configuration->at(0), wish.settings);
    run_->start();
  }
  ~CameraSource() override { run_->stop(); }

  std::optional<Frame> next() override {
    if (stopped_ || !trouble_.empty()) return std::nullopt;
    auto frame = run_->next();
    if (!frame && !stopped_) trouble_ = run_->unplugged() ? kCameraUnplugged : kCameraSilent;
    return frame;
  }
  void stop() override {
    stopped_ = true;
    run_->wake();
  }
  void resettle() override { run_->resettle(); }
  std::string title() const override {
    const CameraInfo info = camera_info(*acquired_.get());
    return "camera " + (info.model.empty() ? info.id : info.model);
  }
  std::string trouble() const override { return trouble_; }
  bool is_live_camera() const override { return true; }

  cv::Size size() const { return size_; }

 private:
  std::shared_ptr<Cameras::State> manager_;  // destroyed after the camera
  Acquired acquired_;
  cv::Size size_;
  std::shared_ptr<CameraRun> run_;
  std::atomic<bool> stopped_{false};
  std::string trouble_;  // of the thread that calls next()
};

// The one camera that is wished for. Throws SourceError.
std::shared_ptr<lc::Camera> find_camera(lc::CameraManager& manager, const CameraWish& wish) {
  std::vector<std::shared_ptr<lc::Camera>> fitting;
  std::string names;
  for (const auto& camera : manager.cameras()) {
    const CameraInfo info = camera_info(*camera);
    names += "\n  " + info.id + (info.model.empty() ? "" : " (" + info.model + ")");
    const bool named =
        !wish.name || info.id.find(*wish.name) != std::string::npos || info.model.find(*wish.name) != std::string::npos;
    if (named && (!wish.model || info.model == *wish.model)) fitting.push_back(camera);
  }
  if (fitting.size() == 1) return fitting.front();
  if (names.empty()) throw SourceError(kNoCamera, "no camera found: check its cable");
  const std::string found = "; cameras found:" + names;
  if (!fitting.empty())
    throw SourceError(kSeveralCameras, "several cameras fit: choose one with --camera NAME" + found);
  throw SourceError(kOtherCamera, "no camera is named '" + (wish.name ? *wish.name : *wish.model) + "'" + found);
}

}  // namespace

Cameras::Cameras() : state_(camera_manager()) {}
Cameras::~Cameras() = default;
Cameras::Cameras(Cameras&&) noexcept = default;
Cameras& Cameras::operator=(Cameras&&) noexcept = default;

std::vector<CameraInfo> Cameras::list() const {
  std::vector<CameraInfo> all;
  for (const auto& camera : state_->manager.cameras()) all.push_back(camera_info(*camera));
  return all;
}

OpenedCamera Cameras::open(const CameraWish& wish) const {
  const auto camera = find_camera(state_->manager, wish);
  auto source = std::make_unique<CameraSource>(state_, camera, wish);
  const cv::Size size = source->size();
  return {std::move(source), camera_info(*camera), size};
}

}  // namespace app

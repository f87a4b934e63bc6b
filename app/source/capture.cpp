#include "app/source/capture.h"

#include <exception>
#include <utility>

#include "app/source/trouble.h"

namespace app {
namespace {

using namespace std::chrono_literals;

constexpr auto kSilence = 2s;
// A camera that says no at once is not asked without a pause.
constexpr auto kPause = 100ms;

}  // namespace

Capture::Capture(std::unique_ptr<FrameSource> source) : source_(std::move(source)) {
  thread_ = std::thread([this] { run(); });
}

Capture::~Capture() {
  stop();
  thread_.join();
}

void Capture::stop() {
  {
    const std::scoped_lock lock(gate_);
    stop_ = true;
  }
  stopping_.notify_all();
  source_->stop();
  frames_.close();
}

std::string Capture::trouble() const {
  {
    const std::scoped_lock lock(gate_);
    if (!trouble_.empty() || stop_) return trouble_;
  }
  const bool hangs = source_->is_live_camera() && Clock::now() - last_beat() > kSilence;
  return hangs ? kCameraSilent : "";
}

std::string Capture::trouble_detail() const {
  const std::scoped_lock lock(gate_);
  return detail_;
}

void Capture::set_trouble(std::string text, std::string detail) {
  const std::scoped_lock lock(gate_);
  trouble_ = std::move(text);
  detail_ = std::move(detail);
}

void Capture::run() {
  do beat_.now();
  while (take_one());
  frames_.close();
}

// False when no more frames will come.
bool Capture::take_one() {
  const bool live = source_->is_live_camera();
  try {
    if (auto frame = source_->next()) {
      set_trouble({}, {});
      frames_.put({std::move(*frame), Clock::now()});
      return !frames_.closed();
    }
    set_trouble(source_->trouble(), source_->detail());
  } catch (const std::exception& e) {
    set_trouble(live ? kCameraFails : std::string("The frames stopped: ") + e.what(), e.what());
  }
  if (live) pause();
  return live && !frames_.closed();
}

void Capture::pause() {
  std::unique_lock lock(gate_);
  stopping_.wait_for(lock, kPause, [this] { return stop_; });
}

}  // namespace app

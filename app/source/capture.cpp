#include "app/source/capture.h"

#include <exception>
#include <utility>

namespace app {
namespace {

// A camera that stopped is tried again so many times in a row; then the program says so and ends.
constexpr int kCameraRetries = 3;

}  // namespace

Capture::Capture(std::unique_ptr<FrameSource> source) : source_(std::move(source)) {
  thread_ = std::thread([this] { run(); });
}

Capture::~Capture() {
  stop();
  thread_.join();
}

void Capture::stop() {
  stop_ = true;
  source_->stop();
  frames_.close();
}

std::string Capture::trouble() const {
  const std::scoped_lock lock(trouble_gate_);
  return trouble_;
}

void Capture::set_trouble(std::string text) {
  const std::scoped_lock lock(trouble_gate_);
  trouble_ = std::move(text);
}

void Capture::run() {
  int failures = 0;
  while (!stop_) {
    try {
      if (auto frame = source_->next()) {
        if (failures > 0) set_trouble({});
        failures = 0;
        frames_.put({std::move(*frame), Clock::now()});
        continue;
      }
      if (auto trouble = source_->trouble(); !trouble.empty()) set_trouble(std::move(trouble));
    } catch (const std::exception& e) {
      set_trouble(std::string("The frames stopped: ") + e.what());
      break;
    }
    if (!source_->is_live_camera() || ++failures > kCameraRetries) break;
  }
  frames_.close();
}

}  // namespace app

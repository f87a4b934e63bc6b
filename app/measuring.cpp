#include "app/measuring.h"

#include <exception>
#include <utility>

namespace app {
namespace {

// A camera that stopped is tried again so many times in a row; then the program says so and ends.
constexpr int kCameraRetries = 3;

}  // namespace

Measuring::Measuring(std::unique_ptr<FrameSource> source, ReadFrame read)
    : source_(std::move(source)), read_(std::move(read)) {
  capture_thread_ = std::thread([this] { capture(); });
  measure_thread_ = std::thread([this] { measure(); });
}

Measuring::~Measuring() {
  stop_ = true;
  source_->stop();
  frames_.close();
  results_.close();
  capture_thread_.join();
  measure_thread_.join();
}

std::string Measuring::trouble() const {
  const std::scoped_lock lock(trouble_gate_);
  return trouble_;
}

void Measuring::set_trouble(std::string text) {
  const std::scoped_lock lock(trouble_gate_);
  trouble_ = std::move(text);
}

void Measuring::capture() {
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

void Measuring::measure() {
  try {
    while (auto next = frames_.take()) {
      if (stop_) break;
      const auto start = Clock::now();
      Measured m{std::move(next->frame), {}, next->arrived, 0.0};
      m.result = read_(m.frame.grey);
      m.measuring_ms = std::chrono::duration<double, std::milli>(Clock::now() - start).count();
      results_.put(std::move(m));
    }
  } catch (const std::exception& e) {
    set_trouble(std::string("Measuring stopped: ") + e.what());
    source_->stop();
  }
  ended_ = true;
}

}  // namespace app

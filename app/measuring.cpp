#include "app/measuring.h"

#include <exception>
#include <utility>

namespace app {

Measuring::Measuring(std::unique_ptr<FrameSource> source, ReadFrame read)
    : read_(std::move(read)), capture_(std::move(source)) {
  measure_thread_ = std::thread([this] { measure(); });
}

Measuring::~Measuring() {
  stop_ = true;
  capture_.stop();
  results_.close();
  measure_thread_.join();
}

std::string Measuring::trouble() const {
  {
    const std::scoped_lock lock(fault_gate_);
    if (!fault_.empty()) return fault_;
  }
  return capture_.trouble();
}

void Measuring::measure() {
  try {
    while (auto next = capture_.frames().take()) {
      if (stop_) break;
      const auto start = Clock::now();
      Measured m{std::move(next->frame), {}, next->arrived, 0.0, {}};
      read_(m);
      m.measuring_ms = std::chrono::duration<double, std::milli>(Clock::now() - start).count();
      results_.put(std::move(m));
    }
  } catch (const std::exception& e) {
    {
      const std::scoped_lock lock(fault_gate_);
      fault_ = std::string("Measuring stopped: ") + e.what();
    }
    capture_.stop();
  }
  ended_ = true;
}

}  // namespace app

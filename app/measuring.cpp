#include "app/measuring.h"

#include <exception>
#include <utility>

#include "app/source/trouble.h"

namespace app {
namespace {

constexpr auto kPatience = std::chrono::milliseconds(500);  // then a sign of life, frames or none

}  // namespace

Measuring::Measuring(std::unique_ptr<FrameSource> source, ReadFrame read)
    : read_(std::move(read)), capture_(std::move(source)) {
  measure_thread_ = std::thread([this] { work(); });
}

Measuring::~Measuring() {
  stop_ = true;
  capture_.stop();
  results_.close();
  measure_thread_.join();
}

std::string Measuring::trouble() const {
  if (std::string text = capture_.trouble(); !text.empty()) return text;
  const std::scoped_lock lock(fault_gate_);
  return fault_;
}

std::string Measuring::trouble_detail() const {
  if (!capture_.trouble().empty()) return capture_.trouble_detail();
  const std::scoped_lock lock(fault_gate_);
  return fault_detail_;
}

void Measuring::set_fault(std::string text, std::string detail) {
  const std::scoped_lock lock(fault_gate_);
  fault_ = std::move(text);
  fault_detail_ = std::move(detail);
}

void Measuring::work() {
  while (!stop_) {
    beat_.now();
    const bool last = capture_.frames().closed();  // asked first: what was put before the end is still taken
    auto next = capture_.frames().take_within(kPatience);
    if (next ? !measure(std::move(*next)) : last) break;
  }
  capture_.stop();
  ended_ = true;
}

// False when it cannot go on.
bool Measuring::measure(ArrivedFrame next) {
  try {
    const auto start = Clock::now();
    Measured m{std::move(next.frame), {}, next.arrived, 0.0, {}, {}};
    read_(m);
    m.measuring_ms = std::chrono::duration<double, std::milli>(Clock::now() - start).count();
    mean_ms_ = measured_ == 0 ? m.measuring_ms : 0.95 * mean_ms_ + 0.05 * m.measuring_ms;
    ++measured_;
    if (light_.see(m.result.status, std::chrono::duration<double>(start.time_since_epoch()).count())) resettle();
    set_fault({}, {});
    results_.put(std::move(m));
    return true;
  } catch (const std::exception& e) {
    ++refused_;
    const bool live = source().is_live_camera();
    set_fault(live ? kWrongPictures : std::string("Measuring stopped: ") + e.what(), e.what());
    return live;
  }
}

}  // namespace app

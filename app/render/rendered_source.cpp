#include "app/render/rendered_source.h"

#include <chrono>
#include <cmath>
#include <thread>
#include <utility>

namespace app {
namespace {

constexpr double kUnpacedPeriod_s = 0.1;

double steady_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

}  // namespace

RenderedSource::RenderedSource(vision::Station station, vision::Hoop hoop, const CameraPlace& camera,
                               double frames_per_s, std::uint64_t seed)
    : renderer_(std::move(station), hoop),
      hoop_(hoop),
      cycle_(hoop, camera, seed),
      period_s_(frames_per_s > 0.0 ? 1.0 / frames_per_s : kUnpacedPeriod_s),
      paced_(frames_per_s > 0.0),
      seed_(seed) {}

RenderedSource::~RenderedSource() = default;

// Making a hoop ready for drawing takes time: only when another one comes.
void RenderedSource::show_hoop(const vision::Hoop* other) {
  if (other == other_shown_) return;
  other_shown_ = other;
  renderer_.set_hoop(other != nullptr ? *other : hoop_);
}

std::optional<Frame> RenderedSource::next() {
  if (paced_) {
    const double now = steady_s();
    if (!started_s_) started_s_ = now;
    // The next beat that is still to come; a late frame leaves beats out.
    number_ = std::max(number_, std::lround(std::ceil((now - *started_s_) / period_s_)));
    std::this_thread::sleep_for(
        std::chrono::duration<double>(*started_s_ + static_cast<double>(number_) * period_s_ - now));
  }
  moment_ = cycle_.at(static_cast<double>(number_) * period_s_);
  show_hoop(moment_.other_hoop);
  auto picture = std::make_shared<cv::Mat>(
      renderer_.render(moment_.scene, seed_ * 1000003 + static_cast<std::uint64_t>(number_)).clone());
  Frame frame;
  frame.grey = *picture;
  frame.time_s = started_s_.value_or(0.0) + static_cast<double>(number_) * period_s_;
  frame.number = number_++;
  frame.owner = std::move(picture);
  return frame;
}

}  // namespace app

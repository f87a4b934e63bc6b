#include "app/source/reopening_source.h"

#include <algorithm>
#include <exception>
#include <utility>

#include "app/source/trouble.h"

namespace app {
namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

// A wait for the next try is reported so often as one that goes on.
constexpr auto kReport = 1000ms;
// A camera that gave pictures for so long was well: when it is lost, the tries begin anew with the short wait. One with
// a loose contact comes and goes faster than this.
constexpr auto kWell = 10s;

}  // namespace

std::chrono::milliseconds BackOff::after(int failures) const {
  auto wait = first;
  for (int i = 1; i < failures && wait < longest; ++i) wait *= 2;
  return std::min(wait, longest);
}

ReopeningSource::ReopeningSource(Open open, std::string title, BackOff back_off)
    : open_(std::move(open)), back_off_(back_off), title_(std::move(title)) {}

std::optional<Frame> ReopeningSource::next() {
  const auto source = opened();
  if (!source) return std::nullopt;
  std::string trouble, detail;
  try {
    if (auto frame = source->next()) {
      if (!std::exchange(framed_, true)) frames_since_ = Clock::now();
      if (failures_ > 0 && Clock::now() - frames_since_ > kWell) failures_ = 0;
      trouble_.clear();
      detail_.clear();
      return frame;
    }
    trouble = source->trouble();
    detail = source->detail();
  } catch (const std::exception& error) {
    trouble = kCameraFails;
    detail = error.what();
  }
  let_go();
  failed(trouble.empty() ? kCameraSilent : trouble, detail);
  return std::nullopt;
}

// The source that is open, or one opened now; none when it is not time for a try, or the try failed.
std::shared_ptr<FrameSource> ReopeningSource::opened() {
  {
    const std::scoped_lock lock(gate_);
    if (stopped_) return nullptr;
    if (source_) return source_;
  }
  if (!wait_for_try()) return nullptr;
  try {
    std::shared_ptr<FrameSource> source = open_();
    framed_ = false;
    const std::scoped_lock lock(gate_);
    title_ = source->title();
    source_ = source;
    return stopped_ ? nullptr : source;
  } catch (const SourceError& error) {
    failed(error.sentence, error.what());
  } catch (const std::exception& error) {
    failed(kCameraFails, error.what());
  }
  return nullptr;
}

// False when it is not time yet, or the wait was stopped.
bool ReopeningSource::wait_for_try() {
  std::unique_lock lock(gate_);
  const Time until = std::min(next_try_, Clock::now() + kReport);
  stopping_.wait_until(lock, until, [this] { return stopped_; });
  return !stopped_ && Clock::now() >= next_try_;
}

void ReopeningSource::failed(std::string trouble, std::string detail) {
  trouble_ = std::move(trouble);
  detail_ = std::move(detail);
  next_try_ = Clock::now() + back_off_.after(++failures_);
}

void ReopeningSource::let_go() {
  std::shared_ptr<FrameSource> source;
  const std::scoped_lock lock(gate_);
  source.swap(source_);
}

void ReopeningSource::stop() {
  std::shared_ptr<FrameSource> source;
  {
    const std::scoped_lock lock(gate_);
    stopped_ = true;
    source = source_;
  }
  stopping_.notify_all();
  if (source) source->stop();
}

void ReopeningSource::resettle() {
  std::shared_ptr<FrameSource> source;
  {
    const std::scoped_lock lock(gate_);
    source = source_;
  }
  if (source) source->resettle();
}

std::string ReopeningSource::title() const {
  const std::scoped_lock lock(gate_);
  return title_;
}

}  // namespace app

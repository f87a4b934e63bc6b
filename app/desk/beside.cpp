#include "app/desk/beside.h"

#include <exception>
#include <utility>

namespace app {

Beside::~Beside() {
  stop_ = true;
  if (thread_.joinable()) thread_.join();
}

bool Beside::start(Work work, std::function<void(bool)> then) {
  if (busy_) return false;
  if (thread_.joinable()) thread_.join();
  busy_ = true;
  last_ = {};
  then_ = std::move(then);
  thread_ = std::thread([this, work = std::move(work)] { run(work); });
  return true;
}

void Beside::run(const Work& work) {
  Outcome out;
  try {
    out.words = work([this](const std::string& words) {
      if (stop_) throw Stopped();
      const std::scoped_lock lock(mutex_);
      doing_ = words;
    });
  } catch (const std::exception& error) {
    out = {error.what(), true};
  }
  const std::scoped_lock lock(mutex_);
  doing_.clear();
  finished_ = std::move(out);
}

bool Beside::running() const { return busy_; }

std::string Beside::doing() const {
  const std::scoped_lock lock(mutex_);
  return doing_;
}

std::optional<Beside::Outcome> Beside::outcome() {
  std::optional<Outcome> out;
  {
    const std::scoped_lock lock(mutex_);
    out = std::exchange(finished_, std::nullopt);
  }
  if (!out) return std::nullopt;
  busy_ = false;
  last_ = *out;
  if (const auto then = std::exchange(then_, nullptr)) then(!out->bad);
  return out;
}

}  // namespace app

#include "app/keep/frame_keeper.h"

#include <exception>
#include <utility>

namespace app {

FrameKeeper::FrameKeeper(const std::filesystem::path& folder, std::uintmax_t limit_bytes)
    : folder_(folder, limit_bytes) {
  thread_ = std::thread([this] { work(); });
}

FrameKeeper::~FrameKeeper() {
  waiting_.close();
  thread_.join();
}

void FrameKeeper::keep(const Measured& measured) {
  if (waiting_.closed()) return;
  Measured copy = measured;
  copy.frame.grey = measured.frame.grey.clone();
  copy.frame.owner.reset();
  waiting_.put(std::move(copy));
}

std::string FrameKeeper::trouble() const {
  const std::scoped_lock lock(gate_);
  return trouble_;
}

void FrameKeeper::work() {
  while (auto next = waiting_.take()) {
    try {
      folder_.keep(*next);
      ++kept_;
    } catch (const std::exception& error) {
      waiting_.close();
      const std::scoped_lock lock(gate_);
      trouble_ = error.what();
      return;
    }
  }
}

}  // namespace app

// Keeps frames on a thread of its own, the newest one first: measuring never waits for the disk.
#pragma once

#include <atomic>
#include <mutex>
#include <string>
#include <thread>

#include "app/keep/kept_folder.h"
#include "app/source/latest.h"

namespace app {

class FrameKeeper {
 public:
  // Throws calib::FileError, as KeptFolder.
  FrameKeeper(const std::filesystem::path& folder, std::uintmax_t limit_bytes);
  // Keeps the frame in hand, and the one that waits.
  ~FrameKeeper();
  FrameKeeper(const FrameKeeper&) = delete;
  FrameKeeper& operator=(const FrameKeeper&) = delete;

  // Never waits. A frame that waits meanwhile is dropped and counted. The pixels are copied: a camera has few buffers.
  void keep(const Measured& measured);

  long kept() const { return kept_; }
  long dropped() const { return waiting_.drops(); }
  // Why no more is kept, such as a full disk; empty while all is well. It stays so.
  std::string trouble() const;

 private:
  void work();

  KeptFolder folder_;
  Latest<Measured> waiting_;
  std::atomic<long> kept_{0};
  mutable std::mutex gate_;
  std::string trouble_;
  std::thread thread_;
};

}  // namespace app

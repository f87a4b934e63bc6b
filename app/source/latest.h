// A mailbox with one slot between two threads: the newest item wins, the one that nobody took is dropped and counted.
// For measuring and showing, the newest frame is the only one worth having; a queue would only add delay.
#pragma once

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <utility>

namespace app {

template <typename T>
class Latest {
 public:
  // Never waits. What lay in the slot is dropped. Does nothing once closed.
  void put(T item) {
    std::optional<T> dropped;  // destroyed after the lock: it may give a buffer back to a camera
    {
      const std::scoped_lock lock(mutex_);
      if (closed_) return;
      if (slot_) ++drops_;
      dropped = std::exchange(slot_, std::optional<T>(std::move(item)));
    }
    ready_.notify_one();
  }

  // The newest item, waiting for one; nothing when the time is over or the mailbox is closed and empty.
  template <typename Rep, typename Period>
  std::optional<T> take_within(std::chrono::duration<Rep, Period> limit) {
    std::unique_lock lock(mutex_);
    ready_.wait_for(lock, limit, [this] { return slot_ || closed_; });
    return std::exchange(slot_, std::nullopt);
  }

  // As take_within, for as long as it takes.
  std::optional<T> take() {
    std::unique_lock lock(mutex_);
    ready_.wait(lock, [this] { return slot_ || closed_; });
    return std::exchange(slot_, std::nullopt);
  }

  // No more items come; what lies in the slot can still be taken.
  void close() {
    {
      const std::scoped_lock lock(mutex_);
      closed_ = true;
    }
    ready_.notify_all();
  }

  bool closed() const {
    const std::scoped_lock lock(mutex_);
    return closed_;
  }

  // Items that were replaced before anybody took them.
  long drops() const {
    const std::scoped_lock lock(mutex_);
    return drops_;
  }

 private:
  mutable std::mutex mutex_;
  std::condition_variable ready_;
  std::optional<T> slot_;
  bool closed_ = false;
  long drops_ = 0;
};

}  // namespace app

// Work that takes long, done beside the screen: one thing at a time, on a thread of its own; what came of it in words.
#pragma once

#include <atomic>
#include <functional>
#include <mutex>
#include <optional>
#include <stdexcept>
#include <string>
#include <thread>

namespace app {

// Thrown through the work when the program ends before it.
class Stopped : public std::runtime_error {
 public:
  Stopped() : std::runtime_error("the program ended") {}
};

class Beside {
 public:
  // For the work: says what it does just now. Throws Stopped.
  using Tell = std::function<void(const std::string&)>;
  // Gives what is to be said when it is done; an exception says what went wrong.
  using Work = std::function<std::string(const Tell&)>;
  struct Outcome {
    std::string words;
    bool bad = false;
  };

  Beside() = default;
  // Ends the work at its next word, and waits for that.
  ~Beside();
  Beside(const Beside&) = delete;
  Beside& operator=(const Beside&) = delete;

  // False: something else is still being done. `then` is called by outcome(), told whether all went well.
  bool start(Work work, std::function<void(bool well)> then = nullptr);
  bool running() const;
  // What is being done; empty while nothing is.
  std::string doing() const;
  // What came of it, once.
  std::optional<Outcome> outcome();
  // The same, until something else is begun; empty before anything was.
  const Outcome& last() const { return last_; }

 private:
  void run(const Work& work);

  mutable std::mutex mutex_;
  std::string doing_;                // under the mutex, as the next
  std::optional<Outcome> finished_;  // and not taken yet
  std::atomic<bool> stop_{false};
  std::function<void(bool)> then_;
  Outcome last_;
  bool busy_ = false;
  std::thread thread_;
};

}  // namespace app

// A source of frames with what a workshop does to a camera: by a script, or at random from a seed. For tests and the
// soak.
#pragma once

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "app/source/frame_source.h"
#include "app/source/trouble.h"

namespace faulty {

enum class Kind {
  lost,           // next() gives nothing and says that the camera was unplugged
  hung,           // next() does not answer
  wrong_size,     // the frame's lower half is missing
  half_black,     // the frame's lower half never arrived
  clock_back,     // time_s jumps back, and stays so
  clock_forward,  // time_s jumps ahead, and stays so
};
inline constexpr int kKinds = 6;

inline const char* name(Kind kind) {
  constexpr const char* kNames[] = {"camera lost",      "camera hung", "frame truncated",
                                    "frame half black", "clock back",  "clock ahead"};
  return kNames[static_cast<int>(kind)];
}

struct Fault {
  long frame = 0;  // in place of this frame of the inner source, counted from 0
  Kind kind = Kind::lost;
  int times = 1;                      // calls of next() that give nothing; frames that are spoilt
  std::chrono::milliseconds hung{0};  // how long it does not answer
  double jump_s = 0.0;                // of the clock, positive
};

// About one fault every `mean_gap` frames, none among the first `mean_gap`. The longest hang is `longest_hang`.
inline std::vector<Fault> random_faults(std::uint64_t seed, long frames, long mean_gap,
                                        std::chrono::milliseconds longest_hang) {
  std::mt19937_64 random(seed);
  // Not a standard distribution: those differ between libraries.
  const auto up_to = [&random](long n) { return static_cast<long>(random() % static_cast<std::uint64_t>(n + 1)); };
  std::vector<Fault> faults;
  for (long at = mean_gap + up_to(mean_gap); at < frames; at += 1 + mean_gap / 2 + up_to(mean_gap)) {
    Fault fault;
    fault.frame = at;
    fault.kind = static_cast<Kind>(up_to(kKinds - 1));
    fault.times = static_cast<int>(1 + up_to(19));
    fault.hung = std::chrono::milliseconds(up_to(longest_hang.count()));
    fault.jump_s = 0.5 * static_cast<double>(1 + up_to(7200));
    faults.push_back(fault);
  }
  return faults;
}

class Source : public app::FrameSource {
 public:
  // `begins` hears of each fault when it begins, on next()'s thread. To the rest of the program it is a live camera.
  Source(std::unique_ptr<app::FrameSource> inner, std::vector<Fault> faults,
         std::function<void(const Fault&)> begins = {})
      : inner_(std::move(inner)), faults_(std::move(faults)), begins_(std::move(begins)) {
    std::stable_sort(faults_.begin(), faults_.end(), [](const Fault& a, const Fault& b) { return a.frame < b.frame; });
  }

  std::optional<app::Frame> next() override {
    while (at_ < faults_.size() && faults_[at_].frame <= given_) begin(faults_[at_++]);
    if (stopped()) return std::nullopt;
    if (lost_ > 0) {
      --lost_;
      trouble_ = app::kCameraUnplugged;
      return std::nullopt;
    }
    auto frame = inner_->next();
    trouble_ = frame ? "" : inner_->trouble();
    if (!frame) return frame;
    ++given_;
    frame->time_s += shift_s_;
    if (wrong_size_ > 0 && wrong_size_-- > 0) frame->grey = frame->grey.rowRange(0, frame->grey.rows / 2);
    if (half_black_ > 0 && half_black_-- > 0) blacken(*frame);
    return frame;
  }

  void stop() override {
    {
      const std::scoped_lock lock(gate_);
      stopped_ = true;
    }
    stopping_.notify_all();
    inner_->stop();
  }
  void resettle() override {
    ++resettled_;
    inner_->resettle();
  }
  std::string title() const override { return inner_->title(); }
  std::string trouble() const override { return trouble_; }
  std::string detail() const override { return inner_->detail(); }
  bool is_live_camera() const override { return true; }

  int resettled() const { return resettled_; }

 private:
  void begin(const Fault& fault) {
    if (begins_) begins_(fault);
    switch (fault.kind) {
      case Kind::lost:
        lost_ += fault.times;
        break;
      case Kind::hung: {
        std::unique_lock lock(gate_);
        stopping_.wait_for(lock, fault.hung, [this] { return stopped_; });
        break;
      }
      case Kind::wrong_size:
        wrong_size_ += fault.times;
        break;
      case Kind::half_black:
        half_black_ += fault.times;
        break;
      case Kind::clock_back:
        shift_s_ -= fault.jump_s;
        break;
      case Kind::clock_forward:
        shift_s_ += fault.jump_s;
        break;
    }
  }

  // The inner frame's pixels are left alone: they may be the camera's own.
  static void blacken(app::Frame& frame) {
    auto picture = std::make_shared<cv::Mat>(frame.grey.clone());
    picture->rowRange(picture->rows / 2, picture->rows).setTo(0);
    frame.grey = *picture;
    frame.owner = std::move(picture);
  }

  bool stopped() {
    const std::scoped_lock lock(gate_);
    return stopped_;
  }

  std::unique_ptr<app::FrameSource> inner_;
  std::vector<Fault> faults_;
  std::function<void(const Fault&)> begins_;
  std::size_t at_ = 0;
  long given_ = 0;
  int lost_ = 0, wrong_size_ = 0, half_black_ = 0;
  double shift_s_ = 0.0;
  std::string trouble_;
  std::atomic<int> resettled_{0};
  std::mutex gate_;
  std::condition_variable stopping_;
  bool stopped_ = false;
};

}  // namespace faulty

// A camera that comes back: opened when it is there, opened anew when it is lost, for as long as it takes.
#pragma once

#include <chrono>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <string>

#include "app/source/frame_source.h"

namespace app {

// How long to wait after the n-th try in a row that came to nothing: doubling, without an end of the tries.
struct BackOff {
  std::chrono::milliseconds first{500}, longest{8000};
  std::chrono::milliseconds after(int failures) const;
};

class ReopeningSource : public FrameSource {
 public:
  // Opens the source; called on next()'s thread, never twice at a time. Throws SourceError, or anything else that is a
  // std::exception.
  using Open = std::function<std::unique_ptr<FrameSource>()>;

  // `title`: as long as nothing was opened. Nothing is opened yet: the first next() does. stop() ends a wait at once,
  // but not an opening under way.
  ReopeningSource(Open open, std::string title, BackOff back_off = {});

  std::optional<Frame> next() override;
  void stop() override;
  void resettle() override;
  std::string title() const override;
  std::string trouble() const override { return trouble_; }
  std::string detail() const override { return detail_; }
  bool is_live_camera() const override { return true; }

 private:
  using Time = std::chrono::steady_clock::time_point;

  std::shared_ptr<FrameSource> opened();
  bool wait_for_try();
  void failed(std::string trouble, std::string detail);
  void let_go();

  Open open_;
  BackOff back_off_;
  std::string trouble_, detail_;  // of next()'s thread, as what follows
  int failures_ = 0;              // in a row
  Time next_try_{}, frames_since_{};
  bool framed_ = false;  // the source that is open gave a frame
  mutable std::mutex gate_;
  std::condition_variable stopping_;
  bool stopped_ = false;
  std::string title_;
  std::shared_ptr<FrameSource> source_;
};

}  // namespace app

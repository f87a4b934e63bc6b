// The rendered work played over and over from a file of frames rendered once, as fast as they are measured.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/render/work_cycle.h"
#include "app/source/frame_source.h"

namespace soak {

inline constexpr double kPeriod_s = 0.1;  // of the script, from frame to frame

// What one rendered piece should be read as.
struct PieceTruth {
  int sticker = -1;
  app::TrueReading reading;
};

// The frames of the demo station's first pieces in a file, mapped into memory: what is mapped is the file's, not the
// program's own memory.
class RenderedPieces {
 public:
  // Renders them where the file is not there yet or of another length, which takes about a tenth of a second a frame.
  RenderedPieces(const std::filesystem::path& file, int pieces, std::uint64_t seed);
  ~RenderedPieces();
  RenderedPieces(const RenderedPieces&) = delete;
  RenderedPieces& operator=(const RenderedPieces&) = delete;

  int pieces() const { return static_cast<int>(truth_.size()); }
  long frames_per_piece() const { return frames_per_piece_; }
  const PieceTruth& truth(int piece) const { return truth_[static_cast<std::size_t>(piece)]; }
  cv::Mat frame(long number) const;

 private:
  void render(const std::filesystem::path& file, std::uint64_t seed) const;

  cv::Size size_;
  long frames_per_piece_ = 0;
  std::vector<PieceTruth> truth_;
  unsigned char* pixels_ = nullptr;
  std::size_t bytes_ = 0;
};

class ReplaySource : public app::FrameSource {
 public:
  // The pieces outlive the source. `frames_per_s`: as a camera gives them; 0: as fast as they are seen.
  ReplaySource(const RenderedPieces& pieces, double frames_per_s) : pieces_(pieces), frames_per_s_(frames_per_s) {}

  // Waits until the last frame was seen, for a while: one that was refused is never seen.
  std::optional<app::Frame> next() override;
  void stop() override;
  std::string title() const override { return "rendered pieces, played over and over"; }
  bool is_live_camera() const override { return false; }

  // From any thread: the last frame has come as far as the screen.
  void seen();
  // Counts on through all rounds.
  long frames() const { return number_; }
  // From now on, until told otherwise, this part of each frame is covered; empty: none.
  void cover(cv::Rect part);

 private:
  void wait_for_turn(std::unique_lock<std::mutex>& lock);

  const RenderedPieces& pieces_;
  double frames_per_s_;
  std::chrono::steady_clock::time_point next_{};
  std::atomic<long> number_{0};
  long seen_ = 0;
  bool stopped_ = false;
  cv::Rect cover_;
  std::mutex gate_;
  std::condition_variable changed_;
};

}  // namespace soak

// What a workshop does besides to the camera: covers a mark, locks the log, fills the disk, takes the screen away.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <chrono>
#include <filesystem>
#include <memory>
#include <optional>
#include <random>

#include "app/screen/window.h"
#include "tests/bench/soak/fault_book.h"
#include "tests/bench/soak/replay.h"

namespace soak {

// One fault at a time, of random kind and length. On the main thread.
class Tormentor {
 public:
  // `mark`: the part of the picture where a board mark lies. All of them outlive it.
  Tormentor(ReplaySource& source, app::Window& window, std::filesystem::path log_file, cv::Rect mark, FaultBook& book,
            std::uint64_t seed, long pieces_between);
  ~Tormentor();
  Tormentor(const Tormentor&) = delete;
  Tormentor& operator=(const Tormentor&) = delete;

  // After each turn of the loop; `piece`: the one in hand.
  void turn(long piece);

 private:
  void begin(long piece);
  void end();

  ReplaySource& source_;
  app::Window& window_;
  std::filesystem::path log_file_;
  cv::Rect mark_;
  FaultBook& book_;
  std::mt19937_64 random_;
  long pieces_between_, next_piece_;
  std::optional<Trouble> now_;
  std::chrono::steady_clock::time_point ends_;
  std::unique_ptr<SQLite::Database> lock_;
};

}  // namespace soak

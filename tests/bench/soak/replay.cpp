#include "tests/bench/soak/replay.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <stdexcept>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"

namespace soak {
namespace {

constexpr auto kPatience = std::chrono::milliseconds(200);

app::WorkCycle script(std::uint64_t seed) { return {app::demo_hoops().front(), app::demo_camera_place(), seed}; }

}  // namespace

RenderedPieces::RenderedPieces(const std::filesystem::path& file, int pieces, std::uint64_t seed) {
  const vision::Station station = app::demo_station();
  size_ = {station.lens.width_px, station.lens.height_px};
  frames_per_piece_ = std::lround(app::WorkCycle::seconds_per_piece() / kPeriod_s);
  const app::WorkCycle work = script(seed);
  constexpr double kHeldAt_s = 14.0;
  for (int piece = 0; piece < pieces; ++piece) {
    const app::Scene scene = work.at(piece * app::WorkCycle::seconds_per_piece() + kHeldAt_s).scene;
    truth_.push_back({scene.stickers.at(0).number, app::true_reading(scene).value()});
  }
  bytes_ = static_cast<std::size_t>(size_.area()) * static_cast<std::size_t>(pieces * frames_per_piece_);
  std::error_code none;
  if (std::filesystem::file_size(file, none) != bytes_ || none) render(file, seed);
  const int fd = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  void* start = fd < 0 ? MAP_FAILED : ::mmap(nullptr, bytes_, PROT_READ, MAP_SHARED, fd, 0);
  if (fd >= 0) ::close(fd);
  if (start == MAP_FAILED) throw std::runtime_error(file.string() + ": cannot be read");
  pixels_ = static_cast<unsigned char*>(start);
}

RenderedPieces::~RenderedPieces() { ::munmap(pixels_, bytes_); }

void RenderedPieces::render(const std::filesystem::path& file, std::uint64_t seed) const {
  const app::WorkCycle work = script(seed);
  app::Renderer renderer(app::demo_station(), app::demo_hoops().front());
  const std::filesystem::path beside = file.string() + ".new";
  std::ofstream out(beside, std::ios::binary);
  for (long number = 0; number < pieces() * frames_per_piece_; ++number) {
    const app::CycleMoment moment = work.at(static_cast<double>(number) * kPeriod_s);
    const cv::Mat grey = renderer.render(moment.scene, seed * 1000003 + static_cast<std::uint64_t>(number));
    for (int y = 0; y < grey.rows; ++y) out.write(grey.ptr<char>(y), grey.cols);
    if (number % frames_per_piece_ == 0) std::fprintf(stderr, "rendering piece %ld\n", number / frames_per_piece_ + 1);
  }
  out.close();
  if (!out) throw std::runtime_error(beside.string() + ": cannot be written");
  std::filesystem::rename(beside, file);
}

cv::Mat RenderedPieces::frame(long number) const {
  const long all = pieces() * frames_per_piece_;
  return cv::Mat(size_, CV_8UC1,
                 pixels_ + static_cast<std::size_t>(number % all) * static_cast<std::size_t>(size_.area()));
}

void ReplaySource::wait_for_turn(std::unique_lock<std::mutex>& lock) {
  if (frames_per_s_ <= 0.0) {
    changed_.wait_for(lock, kPatience, [this] { return stopped_ || seen_ >= number_; });
    return;
  }
  const auto now = std::chrono::steady_clock::now();
  const auto period = std::chrono::duration_cast<std::chrono::steady_clock::duration>(
      std::chrono::duration<double>(1.0 / frames_per_s_));
  next_ = std::max(next_ + period, now - period);
  changed_.wait_until(lock, next_, [this] { return stopped_; });
}

std::optional<app::Frame> ReplaySource::next() {
  app::Frame frame;
  cv::Rect covered;
  {
    std::unique_lock lock(gate_);
    wait_for_turn(lock);
    if (stopped_) return std::nullopt;
    covered = cover_;
  }
  frame.grey = pieces_.frame(number_);
  if (!covered.empty()) {
    frame.grey = frame.grey.clone();
    frame.grey(covered).setTo(70);
  }
  frame.time_s = static_cast<double>(number_) * kPeriod_s;
  frame.number = number_;
  frame.exposed = std::chrono::steady_clock::now();
  ++number_;
  return frame;
}

void ReplaySource::stop() {
  {
    const std::scoped_lock lock(gate_);
    stopped_ = true;
  }
  changed_.notify_all();
}

void ReplaySource::seen() {
  {
    const std::scoped_lock lock(gate_);
    seen_ = number_;
  }
  changed_.notify_all();
}

void ReplaySource::cover(cv::Rect part) {
  const std::scoped_lock lock(gate_);
  cover_ = part;
}

}  // namespace soak

#include "app/source/folder_source.h"

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <utility>

#include "app/keep/kept_folder.h"
#include "app/picture.h"

namespace app {
namespace fs = std::filesystem;

namespace {

constexpr double kLongestWait_s = 5.0;

}  // namespace

FolderSource::FolderSource(const fs::path& folder, cv::Size size, double period_s,
                           std::function<void(const std::string&)> complain)
    : folder_(folder.string()), size_(size), period_s_(period_s), complain_(std::move(complain)) {
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    if (is_picture_name(it->path())) files_.push_back(it->path());
  }
  if (error) throw std::runtime_error(folder_ + ": cannot be opened as a folder: " + error.message());
  if (files_.empty()) throw std::runtime_error(folder_ + ": holds no pictures: put JPEG or PNG files there");
  std::sort(files_.begin(), files_.end());
  times_s_ = kept_times(folder);
}

// Recorded pictures keep their pace; from the last one to the first, and across a gap, it is the period.
double FolderSource::wait_s() const {
  if (number_ == 0) return 0.0;
  if (at_ == 0 || at_ >= files_.size()) return period_s_;
  const auto before = times_s_.find(files_[at_ - 1].filename().string());
  const auto now = times_s_.find(files_[at_].filename().string());
  if (before == times_s_.end() || now == times_s_.end()) return period_s_;
  const double passed = now->second - before->second;
  return passed > 0.0 && passed <= kLongestWait_s ? passed : period_s_;
}

bool FolderSource::wait(double seconds) {
  std::unique_lock lock(gate_);
  stopping_.wait_for(lock, std::chrono::duration<double>(seconds), [this] { return stopped_; });
  return !stopped_;
}

std::optional<Frame> FolderSource::next() {
  const double seconds = wait_s();
  if (!wait(seconds)) return std::nullopt;
  time_s_ += seconds;
  while (!files_.empty()) {
    at_ %= files_.size();
    Picture picture = load_picture(files_[at_], size_);
    if (picture.fault == PictureFault::none) {
      ++at_;
      size_ = picture.grey.size();
      Frame frame;
      frame.grey = std::move(picture.grey);
      frame.number = number_++;
      frame.time_s = time_s_;
      return frame;
    }
    complain_(picture.detail);
    files_.erase(files_.begin() + static_cast<std::ptrdiff_t>(at_));
  }
  trouble_ = "None of the pictures in " + folder_ + " can be played.";
  return std::nullopt;
}

void FolderSource::stop() {
  {
    const std::scoped_lock lock(gate_);
    stopped_ = true;
  }
  stopping_.notify_all();
}

}  // namespace app

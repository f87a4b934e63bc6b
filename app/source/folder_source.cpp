#include "app/source/folder_source.h"

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <utility>

#include "app/picture.h"

namespace app {
namespace fs = std::filesystem;

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
}

bool FolderSource::wait_for_turn() {
  std::unique_lock lock(gate_);
  if (number_ > 0) stopping_.wait_for(lock, std::chrono::duration<double>(period_s_), [this] { return stopped_; });
  return !stopped_;
}

std::optional<Frame> FolderSource::next() {
  if (!wait_for_turn()) return std::nullopt;
  while (!files_.empty()) {
    at_ %= files_.size();
    Picture picture = load_picture(files_[at_], size_);
    if (picture.fault == PictureFault::none) {
      ++at_;
      size_ = picture.grey.size();
      Frame frame;
      frame.grey = std::move(picture.grey);
      frame.number = number_++;
      frame.time_s = period_s_ * static_cast<double>(frame.number);
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

// A folder of pictures, played over and over in the order of their names.
#pragma once

#include <condition_variable>
#include <filesystem>
#include <functional>
#include <map>
#include <mutex>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/source/frame_source.h"

namespace app {

class FolderSource : public FrameSource {
 public:
  // Pictures of another size than `size` px (empty: the first readable picture's) and files that cannot be read are
  // told to `complain`, once, and passed over. `period_s`: from one picture to the next, where the folder's
  // readings.jsonl (app/keep/kept_folder.h) does not tell their times. Throws std::runtime_error when the folder is
  // none or holds no pictures.
  FolderSource(const std::filesystem::path& folder, cv::Size size, double period_s,
               std::function<void(const std::string&)> complain);

  std::optional<Frame> next() override;
  void stop() override;
  std::string title() const override { return "pictures in " + folder_; }
  std::string trouble() const override { return trouble_; }
  bool is_live_camera() const override { return false; }

 private:
  // From the last picture to the next one.
  double wait_s() const;
  // False when it was stopped meanwhile.
  bool wait(double seconds);

  std::string folder_;
  std::vector<std::filesystem::path> files_;  // those that can still be played
  cv::Size size_;
  double period_s_;
  std::function<void(const std::string&)> complain_;
  std::map<std::string, double> times_s_;  // by file name
  std::size_t at_ = 0;
  double time_s_ = 0.0;
  long number_ = 0;
  std::string trouble_;
  std::mutex gate_;
  std::condition_variable stopping_;
  bool stopped_ = false;
};

}  // namespace app

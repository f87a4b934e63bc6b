// One program at a time shares a station's records: two would set each other's marks back.
#pragma once

#include <filesystem>

namespace app {

// The system lets go of it whatever becomes of the program.
class ShareLock {
 public:
  // Throws ShareError of the kind `busy`.
  explicit ShareLock(const std::filesystem::path& log_file);
  ~ShareLock();
  ShareLock(const ShareLock&) = delete;
  ShareLock& operator=(const ShareLock&) = delete;

 private:
  int descriptor_ = -1;
};

}  // namespace app

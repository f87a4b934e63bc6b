// A folder of kept frames and what was read from them: frame-00000001.jpg, ..., and readings.jsonl with the line of
// `hoopgauge measure` for each, and besides `frame`, `time_s` (a steady clock's), `time` (UTC) and `arrival_ms` (after
// the exposure began; null where the camera does not tell). `--frames` plays the folder.
#pragma once

#include <cstdint>
#include <deque>
#include <filesystem>
#include <map>
#include <string>

#include "app/measuring.h"

namespace app {

inline constexpr const char* kReadingsFile = "readings.jsonl";

// When each picture of a folder was taken, s, as its readings.jsonl says; empty where there is none. Lines that are
// none are passed over: the last one may have been cut off.
std::map<std::string, double> kept_times(const std::filesystem::path& folder);

// Bounded in size: the oldest frames go first. Frames are written beside and renamed; a line that a power cut tore is
// left out when the folder is taken up again. One thread at a time.
class KeptFolder {
 public:
  // Takes up what lies there. `limit_bytes`: of frames and readings together; the newest frame is kept in any case.
  // Throws calib::FileError when it is no folder and none can be made, as keep() when the disk is full.
  KeptFolder(std::filesystem::path folder, std::uintmax_t limit_bytes);

  // JPEG, so fine that the readings agree.
  void keep(const Measured& measured);

  long frames() const { return static_cast<long>(entries_.size()); }
  std::uintmax_t bytes() const { return bytes_; }

 private:
  struct Entry {
    std::string file, line;    // without line end
    std::uintmax_t bytes = 0;  // of both
  };
  void take_up();
  void make_room();
  void write_readings() const;
  void append(const std::string& line) const;

  std::filesystem::path folder_;
  std::uintmax_t limit_, bytes_ = 0;
  std::deque<Entry> entries_;  // oldest first
  long next_ = 1;
};

}  // namespace app

#include "app/keep/kept_folder.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <utility>
#include <vector>

#include "app/frame_json.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int kJpegQuality = 97;
// Room is made down to this share of the limit, so that the readings are not written anew for every frame.
constexpr double kRoom = 0.9;
constexpr std::string_view kStem = "frame-";

std::string file_name(long number) {
  char text[40];
  std::snprintf(text, sizeof text, "frame-%08ld.jpg", number);
  return text;
}

// The number in a kept frame's name; 0 for any other file. A name that goes on after .jpg is what a power cut left.
long number_in(const std::string& name, bool& torn) {
  torn = false;
  long number = 0;
  int end = 0;
  if (!name.starts_with(kStem) || std::sscanf(name.c_str(), "frame-%8ld.jpg%n", &number, &end) != 1 || end == 0)
    return 0;
  torn = name.size() == static_cast<std::size_t>(end) + 7 && name[static_cast<std::size_t>(end)] == '.';
  return torn || name.size() == static_cast<std::size_t>(end) ? number : 0;
}

std::string utc_now() {
  const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  std::tm parts{};
  gmtime_r(&now, &parts);
  char text[32];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts);
  return text;
}

// The lines of a readings file by the file that they are about; no lines of another kind.
std::map<std::string, std::string> lines_by_file(const fs::path& folder) {
  std::map<std::string, std::string> lines;
  std::ifstream in(folder / kReadingsFile);
  for (std::string line; std::getline(in, line);) {
    const Json json = Json::parse(line, nullptr, false);
    if (!json.is_object() || !json.contains("file") || !json["file"].is_string()) continue;
    lines[json["file"].get<std::string>()] = line;
  }
  return lines;
}

[[noreturn]] void fail(const fs::path& file, const char* what, int error) {
  throw calib::FileError(file.string() + ": " + what + " (" + std::strerror(error) +
                         "); check the folder, its permissions and the free space");
}

}  // namespace

std::map<std::string, double> kept_times(const fs::path& folder) {
  std::map<std::string, double> times;
  for (const auto& [file, line] : lines_by_file(folder)) {
    const Json json = Json::parse(line);
    if (json.contains("time_s") && json["time_s"].is_number()) times[file] = json["time_s"].get<double>();
  }
  return times;
}

KeptFolder::KeptFolder(fs::path folder, std::uintmax_t limit_bytes) : folder_(std::move(folder)), limit_(limit_bytes) {
  std::error_code error;
  fs::create_directories(folder_, error);
  if (!fs::is_directory(folder_))
    throw calib::FileError(folder_.string() + ": is no folder and none can be made there (" + error.message() +
                           "); name another for --keep");
  take_up();
}

void KeptFolder::take_up() {
  const auto lines = lines_by_file(folder_);
  std::map<long, Entry> found;
  std::vector<fs::path> torn_files;
  std::error_code error;
  for (fs::directory_iterator it(folder_, error), end; !error && it != end; it.increment(error)) {
    const std::string name = it->path().filename().string();
    bool torn = false;
    const long number = number_in(name, torn);
    if (torn) torn_files.push_back(it->path());
    if (number == 0 || torn) continue;
    const auto line = lines.find(name);
    Entry entry{name, line == lines.end() ? "" : line->second, it->file_size(error)};
    entry.bytes += entry.line.size() + 1;
    bytes_ += entry.bytes;
    next_ = std::max(next_, number + 1);
    found.emplace(number, std::move(entry));
  }
  if (error) fail(folder_, "cannot be read", error.value());
  for (const fs::path& file : torn_files) fs::remove(file, error);
  for (auto& [number, entry] : found) entries_.push_back(std::move(entry));
  make_room();
  write_readings();
}

void KeptFolder::keep(const Measured& measured) {
  Entry entry;
  entry.file = file_name(next_++);
  Json line = Json::parse(frame_json(entry.file, measured.result, std::nullopt, measured.measuring_ms));
  line["frame"] = measured.frame.number;
  line["time_s"] = measured.frame.time_s;
  line["time"] = utc_now();
  line["arrival_ms"] = nullptr;
  if (const auto exposed = measured.frame.exposed)
    line["arrival_ms"] = std::chrono::duration<double, std::milli>(measured.arrived - *exposed).count();
  entry.line = line.dump();
  std::vector<unsigned char> jpeg;
  cv::imencode(".jpg", measured.frame.grey, jpeg, {cv::IMWRITE_JPEG_QUALITY, kJpegQuality});
  entry.bytes = jpeg.size() + entry.line.size() + 1;
  calib::write_atomically(folder_ / entry.file, {reinterpret_cast<const char*>(jpeg.data()), jpeg.size()});
  append(entry.line);
  bytes_ += entry.bytes;
  entries_.push_back(std::move(entry));
  if (bytes_ <= limit_) return;
  make_room();
  write_readings();
}

void KeptFolder::make_room() {
  if (bytes_ <= limit_) return;
  const auto wanted = static_cast<std::uintmax_t>(kRoom * static_cast<double>(limit_));
  while (bytes_ > wanted && entries_.size() > 1) {
    std::error_code error;
    fs::remove(folder_ / entries_.front().file, error);
    if (error) fail(folder_ / entries_.front().file, "cannot be removed", error.value());
    bytes_ -= entries_.front().bytes;
    entries_.pop_front();
  }
}

void KeptFolder::write_readings() const {
  std::string all;
  for (const Entry& entry : entries_)
    if (!entry.line.empty()) all += entry.line + '\n';
  calib::write_atomically(folder_ / kReadingsFile, all);
}

void KeptFolder::append(const std::string& line) const {
  const fs::path file = folder_ / kReadingsFile;
  const int descriptor = ::open(file.c_str(), O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0644);
  if (descriptor < 0) fail(file, "cannot be opened", errno);
  const std::string text = line + '\n';
  const ssize_t written = ::write(descriptor, text.data(), text.size());
  const int error = errno;
  const bool closed = ::close(descriptor) == 0;
  if (written != static_cast<ssize_t>(text.size()) || !closed)
    fail(file, "cannot be written", written < 0 ? error : ENOSPC);
}

}  // namespace app

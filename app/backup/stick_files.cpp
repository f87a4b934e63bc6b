#include "app/backup/stick_files.h"

#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <string>

#include "app/places.h"
#include "calib/files.h"

namespace app {
namespace {

// Closed in any case.
class Open {
 public:
  Open(const std::filesystem::path& file, int flags)
      : file_(file), descriptor_(::open(file.c_str(), flags | O_CLOEXEC, 0644)) {
    if (descriptor_ < 0) fail((flags & O_ACCMODE) == O_RDONLY ? "cannot be read" : "cannot be written");
  }
  ~Open() { ::close(descriptor_); }
  Open(const Open&) = delete;
  Open& operator=(const Open&) = delete;

  // 0 at the end.
  std::size_t read(std::array<char, 65536>& buffer) const {
    while (true) {
      const ssize_t count = ::read(descriptor_, buffer.data(), buffer.size());
      if (count >= 0) return static_cast<std::size_t>(count);
      if (errno != EINTR) fail("cannot be read");
    }
  }
  void write(std::string_view content) const {
    while (!content.empty()) {
      const ssize_t count = ::write(descriptor_, content.data(), content.size());
      if (count < 0 && errno != EINTR) fail("cannot be written");
      if (count > 0) content.remove_prefix(static_cast<std::size_t>(count));
    }
  }
  void sync() const {
    if (::fsync(descriptor_) != 0) fail("cannot be synced to the disk");
  }
  int descriptor() const { return descriptor_; }

 private:
  [[noreturn]] void fail(const char* what) const {
    throw calib::FileError(file_.string() + ": " + what + " (" + std::strerror(errno) +
                           "); check the stick and the room on it");
  }

  std::filesystem::path file_;
  int descriptor_;
};

constexpr int kWrite = O_WRONLY | O_CREAT | O_TRUNC;

}  // namespace

void write_synced(const std::filesystem::path& file, std::string_view content) {
  make_room_for(file);
  const Open out(file, kWrite);
  out.write(content);
  out.sync();
}

std::string bytes_of(const std::filesystem::path& file) {
  const Open in(file, O_RDONLY);
  std::array<char, 65536> buffer{};
  std::string out;
  while (const std::size_t count = in.read(buffer)) out.append(buffer.data(), count);
  return out;
}

void forget_in_memory(const std::filesystem::path& file) {
  const Open in(file, O_RDONLY);
  ::fsync(in.descriptor());
  ::posix_fadvise(in.descriptor(), 0, 0, POSIX_FADV_DONTNEED);
}

void sync_folder(const std::filesystem::path& folder) {
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

}  // namespace app

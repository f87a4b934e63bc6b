#include "calib/atomic_write.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>

#include "calib/files.h"

namespace calib {
namespace {

constexpr std::string_view kSuffix = ".XXXXXX";

// The temporary file beside the target; gone again unless it was renamed.
class Beside {
 public:
  explicit Beside(const std::filesystem::path& target) : name_(target.string() + std::string(kSuffix)) {
    descriptor_ = ::mkostemp(name_.data(), O_CLOEXEC);
    if (descriptor_ < 0) fail("cannot write beside it");
  }
  ~Beside() {
    if (descriptor_ >= 0) ::close(descriptor_);
    if (!renamed_) ::unlink(name_.c_str());
  }
  Beside(const Beside&) = delete;
  Beside& operator=(const Beside&) = delete;

  void write(std::string_view content) {
    while (!content.empty()) {
      const ssize_t count = ::write(descriptor_, content.data(), content.size());
      if (count < 0 && errno == EINTR) continue;
      if (count < 0) fail("cannot be written");
      content.remove_prefix(static_cast<std::size_t>(count));
    }
  }

  void sync_and_rename(const std::filesystem::path& target, mode_t mode) {
    if (::fchmod(descriptor_, mode) != 0) fail("cannot set its permissions");
    if (::fsync(descriptor_) != 0) fail("cannot be synced to the disk");
    const int closed = ::close(descriptor_);
    descriptor_ = -1;
    if (closed != 0) fail("cannot be closed");
    if (::rename(name_.c_str(), target.c_str()) != 0) fail("cannot be put in place");
    renamed_ = true;
  }

 private:
  // The destructor clears up, so this only says what went wrong.
  [[noreturn]] void fail(const char* what) const {
    const std::string why = std::strerror(errno);
    throw FileError(name_.substr(0, name_.size() - kSuffix.size()) + ": " + what + " (" + why +
                    "); check the folder, its permissions and the free space");
  }

  std::string name_;
  int descriptor_ = -1;
  bool renamed_ = false;
};

// The old file's permissions, or rw-r--r-- for a new one.
mode_t mode_for(const std::filesystem::path& target) {
  struct stat old {};
  return ::stat(target.c_str(), &old) == 0 ? (old.st_mode & 07777u) : 0644u;
}

// A rename is on the disk once its folder is.
void sync_folder(const std::filesystem::path& folder) {
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;  // a folder that may be written to but not read
  ::fsync(descriptor);
  ::close(descriptor);
}

}  // namespace

void write_atomically(const std::filesystem::path& file, std::string_view content) {
  std::error_code error;
  std::filesystem::path target = std::filesystem::weakly_canonical(file, error);
  if (error) target = file;
  if (std::filesystem::is_directory(target, error)) throw FileError(file.string() + ": is a folder; name a file");
  const mode_t mode = mode_for(target);
  Beside beside(target);
  beside.write(content);
  beside.sync_and_rename(target, mode);
  const std::filesystem::path folder = target.parent_path();
  sync_folder(folder.empty() ? "." : folder);
}

}  // namespace calib

#include "app/design/drawing_bytes.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "app/outline/wire.h"
#include "calib/files.h"

namespace app {
namespace {

struct Opened {
  // A pipe with nobody at its other end must not hold us.
  explicit Opened(const std::string& name) : fd(::open(name.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC)) {}
  ~Opened() {
    if (fd >= 0) ::close(fd);
  }
  Opened(const Opened&) = delete;
  Opened& operator=(const Opened&) = delete;
  const int fd;
};

[[noreturn]] void unreadable(const std::string& name) {
  throw calib::FileError(name + ": cannot be read (" + std::strerror(errno) + "); check the name of the drawing");
}

}  // namespace

std::string drawing_bytes(const std::filesystem::path& file) {
  const std::string name = file.string();
  const Opened opened(name);
  struct stat about {};
  if (opened.fd < 0 || ::fstat(opened.fd, &about) != 0) unreadable(name);
  if (!S_ISREG(about.st_mode)) throw calib::FileError(name + ": is no file; name an SVG drawing");
  std::string bytes;
  char part[65536];
  while (true) {
    const ssize_t count = ::read(opened.fd, part, sizeof part);
    if (count < 0) unreadable(name);
    if (count == 0) return bytes;
    bytes.append(part, static_cast<std::size_t>(count));
    if (bytes.size() > kLargestDrawing)
      throw calib::FileError(name +
                             ": is larger than 16 MB; simplify the drawing, or give the design's width and "
                             "height instead");
  }
}

}  // namespace app

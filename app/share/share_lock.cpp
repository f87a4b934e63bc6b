#include "app/share/share_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "app/share/share_error.h"

namespace app {

ShareLock::ShareLock(const std::filesystem::path& log_file) {
  const std::string file = log_file.string() + ".sharing";
  descriptor_ = ::open(file.c_str(), O_CREAT | O_RDWR | O_CLOEXEC, 0600);
  if (descriptor_ < 0)
    throw ShareError(ShareError::Kind::other, file + ": cannot be opened (" + std::strerror(errno) +
                                                  "); the folder of the records must be there and writable");
  if (::flock(descriptor_, LOCK_EX | LOCK_NB) == 0) return;
  ::close(descriptor_);
  throw ShareError(ShareError::Kind::busy, "another program of this station is sharing its records just now");
}

ShareLock::~ShareLock() { ::close(descriptor_); }

}  // namespace app

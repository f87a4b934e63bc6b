#include "app/source/camera/mapped_plane.h"

#include <linux/dma-buf.h>
#include <sys/ioctl.h>
#include <sys/mman.h>

#include <cerrno>
#include <stdexcept>

namespace app {

MappedPlane::MappedPlane(const libcamera::FrameBuffer& buffer) : fd_(buffer.planes()[0].fd) {
  const auto& plane = buffer.planes()[0];
  length_ = std::size_t{plane.offset} + plane.length;
  void* start = mmap(nullptr, length_, PROT_READ, MAP_SHARED, fd_.get(), 0);
  if (start == MAP_FAILED) throw std::runtime_error("the camera's picture memory cannot be read");
  start_ = static_cast<unsigned char*>(start);
  pixels_ = start_ + plane.offset;
}

MappedPlane::~MappedPlane() { munmap(start_, length_); }

void MappedPlane::begin_reading() const { sync(DMA_BUF_SYNC_START | DMA_BUF_SYNC_READ); }
void MappedPlane::end_reading() const { sync(DMA_BUF_SYNC_END | DMA_BUF_SYNC_READ); }

void MappedPlane::sync(unsigned long long flags) const {
  dma_buf_sync request{};
  request.flags = flags;
  while (ioctl(fd_.get(), DMA_BUF_IOCTL_SYNC, &request) != 0 && errno == EINTR) {
  }
}

}  // namespace app

// The luminance plane of one of the camera's buffers, mapped for reading.
#pragma once

#include <libcamera/libcamera.h>

#include <cstddef>

namespace app {

class MappedPlane {
 public:
  // Throws std::runtime_error.
  explicit MappedPlane(const libcamera::FrameBuffer& buffer);
  ~MappedPlane();
  MappedPlane(const MappedPlane&) = delete;
  MappedPlane& operator=(const MappedPlane&) = delete;

  unsigned char* pixels() const { return pixels_; }
  // Tell the caches that the processor reads, or has read. Memory that is no DMA buffer needs none of it.
  void begin_reading() const;
  void end_reading() const;

 private:
  void sync(unsigned long long flags) const;

  libcamera::SharedFD fd_;
  std::size_t length_ = 0;
  unsigned char* start_ = nullptr;
  unsigned char* pixels_ = nullptr;
};

}  // namespace app

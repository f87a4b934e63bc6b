// Preloaded into the station, this gives libcamera (0.4 or later) a virtual camera on any machine:
//  * libcamera looks for that camera's description in /usr/share; it is shown the file $HOOPGAUGE_VIRTUAL_CAMERA instead,
//    and $HOOPGAUGE_VIRTUAL_CAMERA.asked appears, which tells a libcamera built without virtual camera from a broken one;
//  * while the file $HOOPGAUGE_VIRTUAL_CAMERA.hung is there, the camera hangs in the middle of a picture, and libcamera
//    with it;
//  * it wants the pictures' memory from the kernel's DMA heap, which few test machines have; memory files stand in for it.
// Everything else goes to the kernel as it came.
#define _GNU_SOURCE
#include <fcntl.h>
#include <linux/dma-buf.h>
#include <linux/dma-heap.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static const char kDescription[] = "/pipeline/virtual/virtual.yaml";
static const char kHeap[] = "/dev/dma_heap/system";

static int open_file(const char* path, int flags, int mode) {
  return (int)syscall(SYS_openat, AT_FDCWD, path, flags, mode);
}

static void note_that_it_asked(const char* ours) {
  char name[4096];
  if (snprintf(name, sizeof name, "%s.asked", ours) >= (int)sizeof name) return;
  const int file = open_file(name, O_CREAT | O_WRONLY | O_CLOEXEC, 0600);
  if (file >= 0) close(file);
}

static const char* instead_of(const char* path) {
  if (path == NULL) return path;
  if (strcmp(path, kHeap) == 0) return "/dev/null";
  const char* ours = getenv("HOOPGAUGE_VIRTUAL_CAMERA");
  const size_t length = strlen(path), tail = sizeof kDescription - 1;
  if (ours == NULL || length < tail || strcmp(path + length - tail, kDescription) != 0) return path;
  note_that_it_asked(ours);
  return ours;
}

int open(const char* path, int flags, ...) {
  va_list more;
  va_start(more, flags);
  const int mode = va_arg(more, int);
  va_end(more);
  return open_file(instead_of(path), flags, mode);
}

int open64(const char* path, int flags, ...) {
  va_list more;
  va_start(more, flags);
  const int mode = va_arg(more, int);
  va_end(more);
  return open_file(instead_of(path), flags, mode);
}

int stat(const char* path, struct stat* answer) { return fstatat(AT_FDCWD, instead_of(path), answer, 0); }
int stat64(const char* path, struct stat64* answer) { return fstatat64(AT_FDCWD, instead_of(path), answer, 0); }

// The virtual camera maps a buffer for writing whenever it draws a picture into it.
static void hang_while_told(int protection, int flags, int file) {
  const char* ours = getenv("HOOPGAUGE_VIRTUAL_CAMERA");
  char name[4096];
  if (ours == NULL || file < 0 || (flags & MAP_SHARED) == 0 || (protection & PROT_WRITE) == 0) return;
  if (snprintf(name, sizeof name, "%s.hung", ours) >= (int)sizeof name) return;
  const struct timespec pause = {0, 10000000};
  while (access(name, F_OK) == 0) nanosleep(&pause, NULL);
}

void* mmap(void* at, size_t length, int protection, int flags, int file, off_t offset) {
  hang_while_told(protection, flags, file);
  return (void*)syscall(SYS_mmap, at, length, protection, flags, file, offset);
}

void* mmap64(void* at, size_t length, int protection, int flags, int file, off64_t offset) {
  hang_while_told(protection, flags, file);
  return (void*)syscall(SYS_mmap, at, length, protection, flags, file, offset);
}

static int memory_file(struct dma_heap_allocation_data* wanted) {
  const int file = memfd_create("frame", MFD_CLOEXEC | MFD_ALLOW_SEALING);
  if (file < 0) return -1;
  if (ftruncate(file, (off_t)wanted->len) != 0) {
    close(file);
    return -1;
  }
  wanted->fd = (__u32)file;
  return 0;
}

int ioctl(int file, unsigned long request, ...) {
  va_list more;
  va_start(more, request);
  void* argument = va_arg(more, void*);
  va_end(more);
  if (request == DMA_HEAP_IOCTL_ALLOC) return memory_file(argument);
  if (_IOC_TYPE(request) == DMA_BUF_BASE) return 0;  // names and cache care: memory files need neither
  return (int)syscall(SYS_ioctl, file, request, argument);
}

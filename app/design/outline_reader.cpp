#include "app/design/outline_reader.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <system_error>

#include "app/format.h"
#include "app/outline/outline_error.h"

namespace app {
namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

constexpr int kLook_ms = 5;
// It has nothing to wait for: this ends it where a loaded machine gives it no processor.
constexpr auto kLongest = std::chrono::seconds(10);
constexpr std::size_t kMostBytes = sizeof(OutlineHead) + 16 * kMostPoints;
const char* const kTooMuchMemory = "it needs more memory than a drawing is given, 200 MB";
const char* const kTooLong = "it takes too long to draw; simplify it, or give the design's width and height instead";

struct File {
  explicit File(int number) : fd(number) {}
  ~File() { close(); }
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  void close() {
    if (fd >= 0) ::close(fd);
    fd = -1;
  }
  int fd = -1;
};

fs::path reader_program() {
  std::error_code ignored;
  const fs::path prefix = fs::read_symlink("/proc/self/exe", ignored).parent_path().parent_path();
  const fs::path installed = prefix / "lib/hoopgauge/hoopgauge-outline";
  return fs::exists(installed, ignored) ? installed : fs::path(HOOPGAUGE_BUILT_OUTLINE);
}

// The drawing as a file without a name.
int unnamed_file(const std::string& bytes) {
  const int fd = ::memfd_create("drawing", MFD_CLOEXEC);
  std::size_t done = 0;
  while (fd >= 0 && done < bytes.size()) {
    const ssize_t count = ::write(fd, bytes.data() + done, bytes.size() - done);
    if (count <= 0) break;
    done += static_cast<std::size_t>(count);
  }
  if (fd < 0 || done < bytes.size() || ::lseek(fd, 0, SEEK_SET) != 0) {
    if (fd >= 0) ::close(fd);
    throw OutlineError("it cannot be handed over to be read (" + std::string(std::strerror(errno)) + ")");
  }
  return fd;
}

// Where fonts are told of, and nothing else of this process's environment.
std::vector<std::string> environment() {
  std::vector<std::string> kept{"LC_ALL=C.UTF-8", "RAYON_NUM_THREADS=1", "G_SLICE=always-malloc"};
  for (const char* name : {"HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "FONTCONFIG_PATH"})
    if (const char* value = std::getenv(name)) kept.push_back(std::string(name) + '=' + value);
  return kept;
}

std::vector<char*> pointers(std::vector<std::string>& texts) {
  std::vector<char*> all;
  for (std::string& text : texts) all.push_back(text.data());
  all.push_back(nullptr);
  return all;
}

pid_t started(const std::string& svg, double pixels, int processor_time_ms, int answer) {
  const File drawing(unnamed_file(svg));
  const std::string program = reader_program().string();
  std::vector<std::string> words{program, format("%.0f", pixels), std::to_string(processor_time_ms)};
  std::vector<std::string> settings = environment();
  posix_spawn_file_actions_t files;
  ::posix_spawn_file_actions_init(&files);
  ::posix_spawn_file_actions_adddup2(&files, drawing.fd, STDIN_FILENO);
  ::posix_spawn_file_actions_adddup2(&files, answer, STDOUT_FILENO);
  ::posix_spawn_file_actions_addopen(&files, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  ::posix_spawn_file_actions_addclosefrom_np(&files, STDERR_FILENO + 1);
  pid_t child = -1;
  const int fault =
      ::posix_spawn(&child, program.c_str(), &files, nullptr, pointers(words).data(), pointers(settings).data());
  ::posix_spawn_file_actions_destroy(&files);
  if (fault != 0)
    throw OutlineError("the program that reads drawings cannot be started: " + program + " (" + std::strerror(fault) +
                       "); install hoopgauge again");
  return child;
}

// The most that it had resident so far; 0 once it has ended. Not what wait4 tells, which counts this process in.
std::size_t most_resident(pid_t child) {
  std::FILE* file = std::fopen(format("/proc/%d/status", static_cast<int>(child)).c_str(), "re");
  if (file == nullptr) return 0;
  char line[256];
  unsigned long kilobytes = 0;
  while (std::fgets(line, sizeof line, file) != nullptr)
    if (std::sscanf(line, "VmHWM: %lu kB", &kilobytes) == 1) break;
  std::fclose(file);
  return 1024 * static_cast<std::size_t>(kilobytes);
}

class Child {
 public:
  explicit Child(pid_t pid) : pid_(pid) {}
  ~Child() { end(); }
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  // What it says until it closes its output. Throws OutlineError as soon as it is out of bounds.
  std::string answer(int fd) {
    const auto end = Clock::now() + kLongest;
    std::string bytes;
    char part[65536];
    while (true) {
      pollfd one{fd, POLLIN, 0};
      if (::poll(&one, 1, kLook_ms) > 0) {
        const ssize_t count = ::read(fd, part, sizeof part);
        if (count <= 0) return bytes;
        bytes.append(part, static_cast<std::size_t>(count));
      }
      if (bytes.size() > kMostBytes) throw OutlineError("its outline has too many corners to be a design's");
      most_memory_ = std::max(most_memory_, most_resident(pid_));
      if (most_memory_ > kMostMemory) throw OutlineError(kTooMuchMemory);
      if (Clock::now() > end) throw OutlineError(kTooLong);
    }
  }

  void end() {
    if (pid_ <= 0) return;
    ::kill(pid_, SIGKILL);
    wait();
  }

  // Waits for its end; the status as waitpid gives it.
  int wait() {
    int status = 0;
    rusage used{};
    while (::wait4(pid_, &status, 0, &used) < 0 && errno == EINTR) {
    }
    pid_ = -1;
    const auto seconds = [](const timeval& time) {
      return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
    };
    use_ = {seconds(used.ru_utime) + seconds(used.ru_stime), static_cast<double>(most_memory_) / (1U << 20)};
    return status;
  }
  const ReaderUse& use() const { return use_; }

 private:
  pid_t pid_;
  std::size_t most_memory_ = 0;
  ReaderUse use_;
};

void check_end(int status) {
  if (!WIFSIGNALED(status)) return;
  const int signal = WTERMSIG(status);
  if (signal == SIGPROF || signal == SIGXCPU) throw OutlineError(kTooLong);
  throw OutlineError(std::string(kTooMuchMemory) + ", or is too deep to be drawn");
}

class Words {
 public:
  explicit Words(const std::string& bytes) : bytes_(bytes) {}
  template <class Value>
  Value next() {
    Value value;
    if (bytes_.size() - at_ < sizeof value) broken();
    std::memcpy(&value, bytes_.data() + at_, sizeof value);
    at_ += sizeof value;
    return value;
  }
  std::size_t left() const { return bytes_.size() - at_; }
  [[noreturn]] static void broken() { throw OutlineError("the program that reads drawings broke off"); }

 private:
  const std::string& bytes_;
  std::size_t at_ = 1;
};

PageOutline understood(const std::string& bytes) {
  if (!bytes.empty() && bytes[0] == 'R') throw OutlineError(bytes.substr(1));
  if (bytes.empty() || bytes[0] != 'O') Words::broken();
  Words words(bytes);
  const auto head = words.next<OutlineHead>();
  if (head.version != kWireVersion) Words::broken();
  PageOutline page;
  page.page_mm = {head.page_width_mm, head.page_height_mm};
  page.px_per_mm = head.px_per_mm;
  page.reaches_edge = head.reaches_edge != 0;
  page.scale = static_cast<DrawingScale>(std::min(head.scale, static_cast<std::uint32_t>(DrawingScale::none)));
  if (!(page.page_mm.width > 0.0 && page.page_mm.height > 0.0 && page.px_per_mm > 0.0)) Words::broken();
  for (std::uint32_t i = 0; i < head.outlines; ++i) {
    const auto count = words.next<std::uint32_t>();
    if (count > words.left() / (2 * sizeof(float))) Words::broken();
    std::vector<cv::Point2d> outline(count);
    for (cv::Point2d& p : outline) {
      p.x = words.next<float>();
      p.y = words.next<float>();
      if (!std::isfinite(p.x) || !std::isfinite(p.y)) Words::broken();
    }
    page.outlines_mm.push_back(std::move(outline));
  }
  return page;
}

}  // namespace

PageOutline read_outline(const std::string& svg, double pixels, int processor_time_ms, ReaderUse* use) {
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0)
    throw OutlineError("it cannot be handed over to be read (" + std::string(std::strerror(errno)) + ")");
  const File read_end(ends[0]);
  File write_end(ends[1]);
  Child child(started(svg, pixels, processor_time_ms, write_end.fd));
  write_end.close();
  std::string answer;
  try {
    answer = child.answer(read_end.fd);
  } catch (const OutlineError&) {
    child.end();
    if (use != nullptr) *use = child.use();
    throw;
  }
  const int status = child.wait();
  if (use != nullptr) *use = child.use();
  check_end(status);
  return understood(answer);
}

}  // namespace app

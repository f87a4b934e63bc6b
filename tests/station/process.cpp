#include "tests/station/process.h"

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <thread>

using namespace std::chrono_literals;

namespace station {
namespace {

void send_to_file(const std::string& file, int descriptor) {
  const int opened = ::open(file.c_str(), O_CREAT | O_WRONLY | O_TRUNC, 0600);
  ::dup2(opened, descriptor);
}

// In the child: never returns.
[[noreturn]] void become(const std::vector<std::string>& command,
                         const std::map<std::string, std::string>& environment) {
  for (const auto& [name, value] : environment) {
    if (value.empty()) {
      ::unsetenv(name.c_str());
    } else {
      ::setenv(name.c_str(), value.c_str(), 1);
    }
  }
  std::vector<char*> arguments;
  for (const std::string& word : command) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  ::execvp(arguments[0], arguments.data());
  ::_exit(127);
}

}  // namespace

Process::Process(const std::vector<std::string>& command, const std::map<std::string, std::string>& environment) {
  const std::string out = (folder_.path / "out").string(), err = (folder_.path / "err").string();
  pid_ = ::fork();
  if (pid_ < 0) throw std::runtime_error("no new process");
  if (pid_ == 0) {
    send_to_file(out, STDOUT_FILENO);
    send_to_file(err, STDERR_FILENO);
    become(command, environment);
  }
}

Process::~Process() {
  if (code_) return;
  signal(SIGKILL);
  wait(5000ms);
}

void Process::signal(int number) const { ::kill(pid_, number); }

std::optional<int> Process::wait(std::chrono::milliseconds limit) {
  const auto start = std::chrono::steady_clock::now();
  while (!code_) {
    int status = 0;
    if (::waitpid(pid_, &status, WNOHANG) == pid_) {
      code_ = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    } else if (std::chrono::steady_clock::now() - start > limit) {
      return std::nullopt;
    } else {
      std::this_thread::sleep_for(5ms);
    }
  }
  return code_;
}

std::string Process::output() const { return TemporaryFolder::content(folder_.path / "out"); }
std::string Process::errors() const { return TemporaryFolder::content(folder_.path / "err"); }

long Process::resident_kb() const {
  std::ifstream status("/proc/" + std::to_string(pid_) + "/status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("VmRSS:")) return std::atol(line.c_str() + 6);
  }
  return 0;
}

bool Display::installed() { return ::access("/usr/bin/Xvfb", X_OK) == 0; }

// The server writes the number it chose to descriptor 1, which goes into a file.
Display::Display(cv::Size size) {
  const std::string screen = std::to_string(size.width) + "x" + std::to_string(size.height) + "x24";
  server_.emplace(std::vector<std::string>{"/usr/bin/Xvfb", "-displayfd", "1", "-screen", "0", screen, "-fbdir",
                                           folder_.path.string(), "-nolisten", "tcp"},
                  std::map<std::string, std::string>{});
  for (int i = 0; i < 2000 && name_.empty(); ++i) {
    std::this_thread::sleep_for(10ms);
    const std::string number = server_->output();
    if (!number.ends_with('\n')) continue;
    name_ = number;
    name_.pop_back();
    name_.insert(name_.begin(), ':');
  }
  if (name_.empty()) throw std::runtime_error("Xvfb did not start: " + server_->errors());
}

// The server keeps its pixels in a file in the form of X11's XWDFile.h: a header of 32-bit big-endian words, a colour
// map of 12 bytes an entry, then the rows.
cv::Mat Display::picture() const {
  const std::string file = TemporaryFolder::content(folder_.path / "Xvfb_screen0");
  const auto word = [&](std::size_t index) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) value = (value << 8) | static_cast<unsigned char>(file.at(4 * index + i));
    return value;
  };
  const std::size_t header = word(0), colours = word(19), bytes_per_line = word(12);
  const int width = static_cast<int>(word(4)), height = static_cast<int>(word(5));
  if (word(11) != 32) throw std::runtime_error("the screen has not 32 bits a pixel");
  const std::size_t start = header + 12 * colours;
  if (file.size() < start + bytes_per_line * static_cast<std::size_t>(height))
    throw std::runtime_error("half a screen");
  cv::Mat bgr(height, width, CV_8UC3);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const std::size_t at = start + bytes_per_line * static_cast<std::size_t>(y) + 4 * static_cast<std::size_t>(x);
      for (int c = 0; c < 3; ++c)
        bgr.at<cv::Vec3b>(y, x)[c] = static_cast<unsigned char>(file[at + static_cast<std::size_t>(c)]);
    }
  }
  return bgr;
}

}  // namespace station

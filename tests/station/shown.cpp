#include "tests/station/shown.h"

#include <cstdlib>
#include <filesystem>
#include <opencv2/imgproc.hpp>
#include <thread>

#include "tests/catch.h"

using namespace std::chrono_literals;

namespace station {

bool can_show() {
  if (Display::installed()) return true;
  if (std::getenv("CI") != nullptr) FAIL("Debian's package xvfb is missing: the window was not tested");
  WARN("SKIPPED, nothing was checked: install Debian's package xvfb to test the window");
  return false;
}

// What the graphics drivers keep until the end is not ours to judge; leaks of our own are looked for without a display.
std::map<std::string, std::string> on(const Display& display) {
  return {{"DISPLAY", display.name()},
          {"WAYLAND_DISPLAY", ""},
          {"SDL_VIDEODRIVER", "x11"},
          {"ASAN_OPTIONS", "detect_leaks=0:quarantine_size_mb=8"}};
}

const std::map<std::string, std::string> kNoDisplay{{"DISPLAY", ""}, {"WAYLAND_DISPLAY", ""}, {"SDL_VIDEODRIVER", ""}};

const std::string& sample_station_file() {
  static const TemporaryFolder folder;
  static const std::string file = [] {
    std::filesystem::copy(std::filesystem::path(HOOPGAUGE_SOURCE_DIR) / "images/frames/station.toml", folder.path);
    return (folder.path / "station.toml").string();
  }();
  return file;
}

double spread(const cv::Mat& picture) {
  cv::Scalar mean, deviation;
  cv::meanStdDev(picture, mean, deviation);
  return deviation[0] + deviation[1] + deviation[2];
}

cv::Mat part(const cv::Mat& picture, const SDL_FRect& r) {
  return picture(cv::Rect(cvRound(r.x), cvRound(r.y), cvRound(r.w), cvRound(r.h)));
}

double difference(const cv::Mat& a, const cv::Mat& b) {
  cv::Mat d;
  cv::absdiff(a, b, d);
  cv::cvtColor(d, d, cv::COLOR_BGR2GRAY);
  return static_cast<double>(cv::countNonZero(d > 24)) / static_cast<double>(d.total());
}

double share_of(const cv::Mat& picture, app::Colour c) {
  cv::Mat mask;
  cv::inRange(picture, cv::Scalar(c.b - 6, c.g - 6, c.r - 6), cv::Scalar(c.b + 6, c.g + 6, c.r + 6), mask);
  return static_cast<double>(cv::countNonZero(mask)) / static_cast<double>(mask.total());
}

bool wait_for(const Display& display, const std::function<bool(const cv::Mat& screen)>& wanted) {
  const auto start = std::chrono::steady_clock::now();
  while (std::chrono::steady_clock::now() - start < 60s) {
    if (wanted(display.picture())) return true;
    std::this_thread::sleep_for(20ms);
  }
  return false;
}

bool wait_for_picture(const Display& display) {
  return wait_for(display, [](const cv::Mat& screen) { return spread(screen) > 60.0; });
}

bool press_key(const Display& display, const std::string& key) {
  Process press({"xdotool", "key", key}, on(display));
  return press.wait(30s) == 0;
}

bool click(const Display& display, SDL_FPoint at) {
  Process press({"xdotool", "mousemove", std::to_string(cvRound(at.x)), std::to_string(cvRound(at.y)), "click", "1"},
                on(display));
  return press.wait(30s) == 0;
}

}  // namespace station

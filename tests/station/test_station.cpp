// The whole program in a real window, as the operator and the system see it.
#include <signal.h>

#include <cstdlib>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <thread>

#include "app/views/work_layout.h"
#include "tests/catch.h"
#include "tests/station/shown.h"

using namespace std::chrono_literals;
using station::can_show;
using station::difference;
using station::kNoDisplay;
using station::on;
using station::part;
using station::spread;
using station::wait_for_picture;

namespace {

const std::filesystem::path kFrames = std::filesystem::path(HOOPGAUGE_SOURCE_DIR) / "images/frames";

// The frames of a folder, over and over; by default those that come with the project.
std::vector<std::string> played(std::vector<std::string> more, const std::filesystem::path& frames = kFrames) {
  std::vector<std::string> command{HOOPGAUGE_PROGRAM, "station",
                                   "--frames",        frames.string(),
                                   "--station",       station::sample_station_file(),
                                   "--hoop",          (kFrames / "hoops/R140x190.toml").string()};
  command.insert(command.end(), more.begin(), more.end());
  return command;
}

std::vector<std::string> rendered(std::vector<std::string> more) {
  std::vector<std::string> command{HOOPGAUGE_PROGRAM, "station", "--rendered"};
  command.insert(command.end(), more.begin(), more.end());
  return command;
}

}  // namespace

TEST_CASE("the station fills the screen, and its readout follows the frames", "[station]") {
  if (!can_show()) return;
  const cv::Size size(1600, 900);  // not the window's own size
  const station::Display display(size);
  station::Process program(played({}), on(display));
  REQUIRE(wait_for_picture(display));
  const app::WorkLayout layout = app::work_layout(size.width, size.height);
  // Drawn as far as it reaches: the readout's panel at its right edge, above and below.
  const cv::Mat whole = display.picture();
  const app::Colour panel = app::theme::kPanel;
  const int right = cvFloor(layout.readout.x + layout.readout.w) - 14;
  for (const int y : {cvRound(layout.readout.y + 30.0F), cvRound(layout.readout.y + layout.readout.h - 30.0F)}) {
    INFO("at " << right << ", " << y);
    CHECK(cv::norm(whole.at<cv::Vec3b>(y, right) - cv::Vec3b(panel.b, panel.g, panel.r)) < 6.0);
  }
  // Each frame stays for a second; their readings and reasons differ. "Starting" and a first reason alone are two.
  std::vector<cv::Mat> readouts, pictures;
  const auto keep_new = [](std::vector<cv::Mat>& seen, const cv::Mat& now) {
    for (const cv::Mat& other : seen) {
      if (difference(other, now) < 0.02) return;
    }
    seen.push_back(now.clone());
  };
  for (int i = 0; i < 100 && (readouts.size() < 4 || pictures.size() < 4); ++i) {
    const cv::Mat now = display.picture();
    keep_new(readouts, part(now, layout.readout));
    keep_new(pictures, part(now, layout.large));
    std::this_thread::sleep_for(100ms);
  }
  CHECK(readouts.size() >= 4);
  CHECK(pictures.size() >= 4);
}

TEST_CASE("the picture written at the end is what the full screen shows", "[station]") {
  if (!can_show()) return;
  const station::Display display({1600, 900});
  const TemporaryFolder folder;
  const std::string file = (folder.path / "screen.png").string();
  // One frame only, so that the last one seen is the one written, whenever that is.
  const std::filesystem::path frames = folder.path / "frames";
  std::filesystem::create_directory(frames);
  std::filesystem::copy(kFrames / "06_easy.jpg", frames);
  station::Process program(played({"--picture", file}, frames), on(display));
  REQUIRE(wait_for_picture(display));
  // The cycle goes on for a while with the one frame; it has come to rest when six seconds change nothing.
  cv::Mat shown = display.picture();
  int unchanged = 0;
  for (int i = 0; i < 60 && unchanged < 3; ++i) {
    std::this_thread::sleep_for(2s);
    const cv::Mat now = display.picture();
    unchanged = spread(now) > 60.0 && difference(now, shown) < 0.005 ? unchanged + 1 : 0;
    shown = now;
  }
  REQUIRE(unchanged == 3);
  program.signal(SIGTERM);
  REQUIRE(program.wait(30s));
  const cv::Mat written = cv::imread(file);
  REQUIRE(written.size() == shown.size());
  CHECK(difference(written, shown) < 0.01);  // the frame rate and the last digits may differ
  const app::WorkLayout layout = app::work_layout(1600, 900);
  const app::Colour panel = app::theme::kPanel;
  const cv::Point inside(cvFloor(layout.readout.x + layout.readout.w) - 14, cvRound(layout.readout.y + 30.0F));
  CHECK(cv::norm(written.at<cv::Vec3b>(inside) - cv::Vec3b(panel.b, panel.g, panel.r)) < 6.0);
}

TEST_CASE("SIGTERM and SIGINT end the station within two seconds", "[station]") {
  if (!can_show()) return;
  for (int number : {SIGTERM, SIGINT}) {
    const station::Display display({1024, 600});
    station::Process program(played({"--window", "--size", "1024x600"}), on(display));
    REQUIRE(wait_for_picture(display));
    program.signal(number);
    const auto code = program.wait(2000ms);
    INFO("signal " << number << ", stderr: " << program.errors());
    REQUIRE(code.has_value());
    CHECK(*code == 0);
  }
}

TEST_CASE("Escape and q end the station", "[station]") {
  if (!can_show()) return;
  for (const char* key : {"Escape", "q"}) {
    const station::Display display({1024, 600});
    station::Process program(played({}), on(display));
    REQUIRE(wait_for_picture(display));
    REQUIRE(station::press_key(display, key));
    CHECK(program.wait(2000ms) == 0);
  }
}

TEST_CASE("it ends by itself after the seconds asked for and leaves its picture", "[station]") {
  if (!can_show()) return;
  const station::Display display({1024, 600});
  const TemporaryFolder folder;
  const std::string file = (folder.path / "screen.png").string();
  station::Process program(played({"--window", "--size", "1024x600", "--seconds", "2", "--picture", file}),
                           on(display));
  REQUIRE(program.wait(20s) == 0);
  const cv::Mat picture = cv::imread(file);
  CHECK(picture.size() == cv::Size(1024, 600));
  CHECK(spread(picture) > 60.0);
  CHECK(folder.entries() == 1);
}

TEST_CASE("without a display it says so and gives a picture and ten readings", "[station]") {
  const TemporaryFolder folder;
  const std::string file = (folder.path / "screen.png").string();
  station::Process program(rendered({"--picture", file, "--size", "1280x800"}), kNoDisplay);
  REQUIRE(program.wait(120s) == 0);
  const std::string said = program.output();
  INFO(said);
  CHECK(said.find("No display found") != std::string::npos);
  CHECK(said.find("rendered station") != std::string::npos);
  int readings = 0;
  for (std::size_t at = 0; (at = said.find("\"status\":\"ok\"", at)) != std::string::npos; ++at) ++readings;
  CHECK(readings == 10);
  const cv::Mat picture = cv::imread(file);
  CHECK(picture.size() == cv::Size(1280, 800));
  CHECK(spread(picture) > 60.0);
}

TEST_CASE("the rendered station says on screen and stdout that it is no camera", "[station]") {
  if (!can_show()) return;
  const station::Display display({1280, 800});
  station::Process program(rendered({"--window", "--size", "1280x800"}), on(display));
  REQUIRE(wait_for_picture(display));
  CHECK(program.output().find("rendered station") != std::string::npos);
  // The notice's band: the theme's amber across the picture's top.
  const app::WorkLayout layout = app::work_layout(1280, 800);
  SDL_FRect band = layout.large;
  band.h = layout.scale.mm(6.0);
  cv::Mat amber;
  const app::Colour c = app::theme::kMove;
  cv::inRange(part(display.picture(), band), cv::Scalar(c.b - 6, c.g - 6, c.r - 6),
              cv::Scalar(c.b + 6, c.g + 6, c.r + 6), amber);
  CHECK(cv::countNonZero(amber) > 0.5 * static_cast<double>(amber.total()));
}

// A day of frames cannot be waited for here. Ten leaked frames of 3 MB or textures of 1.5 MB a second come to more than
// 180 MB in the time; what the rendered station keeps for a piece of work comes and goes by some 20 MB.
TEST_CASE("memory stays level while frames go by", "[station]") {
  if (!can_show()) return;
  const station::Display display({1280, 800});
  station::Process program(rendered({"--window", "--size", "1280x800"}), on(display));
  REQUIRE(wait_for_picture(display));
  std::this_thread::sleep_for(8s);  // fonts, textures, buffers of every step
  const long before = program.resident_kb();
  std::this_thread::sleep_for(12s);
  const long after = program.resident_kb();
  INFO(before << " kB, then " << after << " kB");
  CHECK(before > 0);
  CHECK(after - before < 48 * 1024);
}

TEST_CASE("what cannot be run says what is missing", "[station][errors]") {
  const TemporaryFolder home;  // nobody's station lies there
  const auto run = [&](std::vector<std::string> words) {
    words.insert(words.begin(), {HOOPGAUGE_PROGRAM, "station"});
    auto environment = kNoDisplay;
    environment["XDG_DATA_HOME"] = home.path.string();
    environment["STATE_DIRECTORY"] = "";
    station::Process program(words, environment);
    const auto code = program.wait(20s);
    return std::pair(code.value_or(-1), program.errors());
  };
  const auto [no_files, no_files_says] = run({"--frames", kFrames.string()});
  CHECK(no_files == 2);
  CHECK(no_files_says.find("--station FILE --hoop FILE") != std::string::npos);
  const auto [both, both_says] = run({"--frames", kFrames.string(), "--rendered"});
  CHECK(both == 2);
  CHECK(both_says.find("exclude each other") != std::string::npos);
  const auto [none, none_says] = run({"--frames", "/none", "--station", station::sample_station_file(), "--hoop",
                                      (kFrames / "hoops/R140x190.toml").string()});
  CHECK(none == 1);
  CHECK(none_says.find("/none") != std::string::npos);
  const auto [bad, bad_says] = run({"--frames", kFrames.string(), "--station", station::sample_station_file(), "--hoop",
                                    station::sample_station_file()});
  CHECK(bad == 2);
  CHECK(bad_says.find("station.toml:") != std::string::npos);
}

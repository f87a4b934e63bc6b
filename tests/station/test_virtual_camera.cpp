// The camera through libcamera itself, without one: libcamera's virtual camera plays the sample frames.
#include <signal.h>

#include <nlohmann/json.hpp>
#include <set>
#include <thread>

#include "app/source/trouble.h"
#include "tests/catch.h"
#include "tests/station/shown.h"

using namespace std::chrono_literals;

namespace {

const std::filesystem::path kFrames = std::filesystem::path(HOOPGAUGE_SOURCE_DIR) / "images/frames";

// Two sample frames that differ much, so that a picture that never changes is noticed.
const std::vector<std::string> kPlayed{"06_easy.jpg", "39_hoop_180.jpg"};

// libcamera numbers the pictures and wants each in exactly the size that it is told.
class VirtualCamera {
 public:
  VirtualCamera() {
    std::filesystem::create_directory(folder_.path / "frames");
    int number = 0;
    for (const std::string& name : kPlayed)
      std::filesystem::copy_file(kFrames / name, folder_.path / "frames" / (std::to_string(number++) + ".jpg"));
    plug_in();
  }

  void plug_in() const { plug_in("Board camera"); }
  void plug_in(const std::string& model) const {
    folder_.put("virtual.yaml",
                "\"Virtual0\":\n"
                "  supported_formats:\n"
                "  - width: 2304\n"
                "    height: 1296\n"
                "    frame_rates:\n"
                "    - 30\n"
                "  frames:\n"
                "    path: \"" +
                    (folder_.path / "frames").string() +
                    "/\"\n"
                    "  location: \"CameraLocationExternal\"\n"
                    "  model: \"" +
                    model + "\"\n");
  }
  // These are found by whoever looks from now on; one that runs goes on. libcamera 0.4 looks for its virtual camera
  // until it first finds none, and never again in that process: a camera that shall come is preceded by another one.
  void unplug() const { std::filesystem::remove(folder_.path / "virtual.yaml"); }
  void plug_in_another() const { plug_in("Ceiling camera"); }
  // In the middle of a picture, and libcamera with it.
  void hang() const { folder_.put("virtual.yaml.hung", ""); }
  void recover() const { std::filesystem::remove(folder_.path / "virtual.yaml.hung"); }

  // The program sees this camera. Sanitizers want to be loaded first, but bear with one that wraps a few calls.
  std::map<std::string, std::string> environment() const {
    return {{"LD_PRELOAD", HOOPGAUGE_VIRTUAL_CAMERA_LIBRARY},
            {"HOOPGAUGE_VIRTUAL_CAMERA", (folder_.path / "virtual.yaml").string()},
            {"ASAN_OPTIONS", "verify_asan_link_order=0:detect_leaks=0"},
            {"DISPLAY", ""},
            {"WAYLAND_DISPLAY", ""},
            {"SDL_VIDEODRIVER", ""}};
  }

  // libcamera looked for the description: it has a virtual camera (0.0.3 has none).
  bool was_asked_for() const { return std::filesystem::exists(folder_.path / "virtual.yaml.asked"); }

  // What `hoopgauge cameras` says; nothing where this libcamera has no virtual camera, which is said plainly.
  std::optional<std::string> listed() const {
    station::Process program({HOOPGAUGE_PROGRAM, "cameras"}, environment());
    const auto code = program.wait(30s);
    INFO(program.errors());
    if (!was_asked_for()) {
      WARN("SKIPPED, nothing was checked: this libcamera is built without its virtual camera (Debian 13's has it)");
      return std::nullopt;
    }
    CHECK(code == 0);
    return program.output();
  }

  const TemporaryFolder& folder() const { return folder_; }

 private:
  TemporaryFolder folder_;
};

std::vector<std::string> station_on(const std::string& camera, const std::filesystem::path& station_file,
                                    std::vector<std::string> more) {
  std::vector<std::string> command{HOOPGAUGE_PROGRAM, "station",
                                   "--camera",        camera,
                                   "--station",       station_file.string(),
                                   "--hoop",          (kFrames / "hoops/R140x190.toml").string()};
  command.insert(command.end(), more.begin(), more.end());
  return command;
}

std::vector<std::string> watch_on(const std::string& camera, std::vector<std::string> more) {
  std::vector<std::string> command = station_on(camera, station::sample_station_file(), std::move(more));
  command[1] = "watch";
  return command;
}

std::vector<std::string> measure_of(const std::filesystem::path& frame) {
  return {HOOPGAUGE_PROGRAM, "measure",
          "--station",       station::sample_station_file(),
          "--hoop",          (kFrames / "hoops/R140x190.toml").string(),
          frame.string()};
}

// Whether the program says this so many times, on either output, before it ends. Only a failure takes the whole time.
bool says(station::Process& program, const std::string& what, int times = 1) {
  const auto count = [&](const std::string& text) {
    int found = 0;
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += what.size()) ++found;
    return found;
  };
  for (int i = 0; i < 600; ++i) {
    if (count(program.output()) >= times || count(program.errors()) >= times) return true;
    if (program.wait(50ms)) break;
  }
  UNSCOPED_INFO(program.output() << program.errors());
  return false;
}

std::vector<nlohmann::json> readings_in(const std::string& said) {
  std::vector<nlohmann::json> readings;
  std::istringstream lines(said);
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with('{')) readings.push_back(nlohmann::json::parse(line));
  }
  return readings;
}

nlohmann::json truth_of(const std::string& name) {
  for (const nlohmann::json& one : nlohmann::json::parse(TemporaryFolder::content(kFrames / "truth.json"))) {
    if (one.at("file") == name) return one;
  }
  throw std::runtime_error("no truth for " + name);
}

}  // namespace

// Guarantees: the luminance plane reaches the measurement whole and unshifted, each time anew, and frames are told
// apart. Example failures: rows taken without their stride, a buffer that is never given back, every frame called 0.
TEST_CASE("frames of a camera read as their pictures' truth", "[station][camera]") {
  const VirtualCamera camera;
  const auto listed = camera.listed();
  if (!listed) return;
  CHECK(listed->find("Board camera") != std::string::npos);

  const std::string picture = (camera.folder().path / "screen.png").string();
  station::Process program(station_on("Board", station::sample_station_file(), {"--picture", picture}),
                           camera.environment());
  REQUIRE(program.wait(60s) == 0);
  INFO(program.output() << program.errors());
  CHECK(program.output().find("Running on camera Board") != std::string::npos);
  const auto readings = readings_in(program.output());
  REQUIRE(readings.size() == 10);
  std::set<std::string> pictures, frames;
  for (const nlohmann::json& reading : readings) {
    frames.insert(reading.at("file"));
    // The nearer of the two truths; a tenth of a millimetre and of a degree tells a picture shifted by half a pixel.
    const double rotation_deg = reading.at("rotation_deg");
    const std::string name = std::abs(rotation_deg) < 90.0 ? kPlayed[0] : kPlayed[1];
    pictures.insert(name);
    const nlohmann::json truth = truth_of(name);
    CHECK_THAT(reading.at("offset_x_mm").get<double>(), WithinAbs(truth.at("offset_x_mm").get<double>(), 0.1));
    CHECK_THAT(reading.at("offset_y_mm").get<double>(), WithinAbs(truth.at("offset_y_mm").get<double>(), 0.1));
    CHECK_THAT(rotation_deg, WithinAbs(truth.at("rotation_deg").get<double>(), 0.1));
  }
  CHECK(pictures.size() == kPlayed.size());
  CHECK(frames.size() == readings.size());
}

// Guarantees: the camera's way into the measurement changes nothing. What differs is the JPEG decoder, libcamera's
// against the program's own, and what the frame before told: a hundredth of a millimetre or degree, no more.
TEST_CASE("figures of a camera's frames equal those of the same files read directly", "[station][camera]") {
  const VirtualCamera camera;
  if (!camera.listed()) return;
  std::vector<nlohmann::json> direct;
  for (const std::string& name : kPlayed) {
    station::Process measure(measure_of(kFrames / name), camera.environment());
    REQUIRE(measure.wait(30s) == 0);
    direct.push_back(readings_in(measure.output()).at(0));
  }
  const std::filesystem::path keep = camera.folder().path / "keep";
  station::Process program(watch_on("Board", {"--keep", keep.string(), "--every", "3", "--seconds", "4"}),
                           camera.environment());
  REQUIRE(program.wait(60s) == 0);
  INFO(program.output() << program.errors());
  const auto kept = readings_in(TemporaryFolder::content(keep / "readings.jsonl"));
  REQUIRE(kept.size() >= 4);
  std::set<std::string> seen;
  double last_s = 0.0;
  for (const nlohmann::json& line : kept) {
    INFO(line.dump());
    CHECK(line.at("time_s").get<double>() > last_s);
    last_s = line.at("time_s");
    if (line.at("status") != "ok") continue;
    const nlohmann::json& same = direct[std::abs(line.at("rotation_deg").get<double>()) < 90.0 ? 0 : 1];
    seen.insert(same.at("file"));
    for (const char* key : {"offset_x_mm", "offset_y_mm", "rotation_deg"})
      CHECK_THAT(line.at(key).get<double>(), WithinAbs(same.at(key).get<double>(), 0.01));
    // The kept picture reads as the camera's did.
    station::Process again(measure_of(keep / line.at("file").get<std::string>()), camera.environment());
    REQUIRE(again.wait(30s) == 0);
    for (const char* key : {"offset_x_mm", "offset_y_mm", "rotation_deg"})
      CHECK_THAT(readings_in(again.output()).at(0).at(key).get<double>(), WithinAbs(line.at(key).get<double>(), 0.01));
    if (seen.size() == kPlayed.size()) break;
  }
  CHECK(seen.size() == kPlayed.size());
}

// Guarantees: a station whose camera is missing, or another one, waits and says why, and ends when it is told to.
TEST_CASE("a camera that has not the station file's size or name is waited for by name", "[station][camera][errors]") {
  const VirtualCamera camera;
  if (!camera.listed()) return;
  std::string station_file = TemporaryFolder::content(kFrames / "station.toml");
  const std::string size = "width = 2304\nheight = 1296";
  REQUIRE(station_file.find(size) != std::string::npos);
  station_file.replace(station_file.find(size), size.size(), "width = 1920\nheight = 1080");
  const auto other_size = camera.folder().put("other_size.toml", station_file);
  const std::string picture = (camera.folder().path / "screen.png").string();

  station::Process wrong_size(station_on("Board", other_size, {"--seconds", "3", "--picture", picture}),
                              camera.environment());
  CHECK(wrong_size.wait(30s) == 1);
  CHECK(wrong_size.errors().find(app::kCameraUnfit) != std::string::npos);
  CHECK(wrong_size.errors().find("1920 x 1080 px") != std::string::npos);
  CHECK(wrong_size.errors().find("2304x1296") != std::string::npos);

  station::Process wrong_name(
      station_on("Ceiling", station::sample_station_file(), {"--seconds", "3", "--picture", picture}),
      camera.environment());
  CHECK(wrong_name.wait(30s) == 1);
  CHECK(wrong_name.errors().find(app::kOtherCamera) != std::string::npos);
  CHECK(wrong_name.errors().find("no camera is named 'Ceiling'") != std::string::npos);
  CHECK(wrong_name.errors().find("Board camera") != std::string::npos);
}

// Guarantees: a camera that comes later is used without anybody's doing. Example failure: the rendered station is shown
// instead, or the program has to be started again.
TEST_CASE("a camera that is not there at the start is named, and used when it comes", "[station][camera]") {
  const VirtualCamera camera;
  if (!camera.listed()) return;
  camera.plug_in_another();
  station::Process program(watch_on("Board", {}), camera.environment());
  REQUIRE(says(program, app::kOtherCamera));
  CHECK(program.output().find("ok: x") == std::string::npos);
  camera.plug_in();
  CHECK(says(program, "ok: x"));
  program.signal(SIGTERM);
  CHECK(program.wait(2000ms) == 0);
}

// Guarantees: no camera at all is named as that, again and again while nothing changes, and does not keep the program.
TEST_CASE("no camera at all is named, and the program ends when it is told to", "[station][camera]") {
  const VirtualCamera camera;
  if (!camera.listed()) return;
  camera.unplug();
  station::Process program(watch_on("Board", {}), camera.environment());
  REQUIRE(says(program, app::kNoCamera));
  std::this_thread::sleep_for(4s);  // some tries
  program.signal(SIGTERM);
  CHECK(program.wait(2000ms) == 1);  // orderly, but it never saw a frame
}

// Guarantees: a camera that hangs, and libcamera with it, is named within two seconds or so, and is opened anew as soon
// as it answers; the same for one that is away meanwhile.
TEST_CASE("a camera that hangs is named and comes back, and one that was unplugged too", "[station][camera]") {
  const VirtualCamera camera;
  if (!camera.listed()) return;
  station::Process program(watch_on("Board", {}), camera.environment());
  REQUIRE(says(program, "ok: x"));
  camera.hang();
  const auto start = std::chrono::steady_clock::now();
  REQUIRE(says(program, app::kCameraSilent));
  const std::chrono::duration<double> noticed = std::chrono::steady_clock::now() - start;
  WARN("noticed after " << noticed.count() << " s");
  CHECK(noticed < 3s);  // two, and what a loaded machine adds
  camera.recover();
  REQUIRE(says(program, "Frames come again"));

  camera.hang();
  REQUIRE(says(program, app::kCameraSilent, 2));
  camera.plug_in_another();
  camera.recover();
  REQUIRE(says(program, app::kOtherCamera));
  camera.plug_in();
  CHECK(says(program, "Frames come again", 2));
  program.signal(SIGTERM);
  CHECK(program.wait(2000ms) == 0);
}

// Guarantees: stopping while frames come in hundreds a second neither hangs nor hands a buffer to a stopped camera.
TEST_CASE("a station on a camera runs on a display and ends at once when told", "[station][camera]") {
  const VirtualCamera camera;
  if (!camera.listed() || !station::Display::installed()) return;
  const station::Display display({1024, 600});
  auto environment = camera.environment();
  environment["DISPLAY"] = display.name();
  environment["SDL_VIDEODRIVER"] = "x11";
  station::Process program(station_on("Board", station::sample_station_file(), {"--window", "--size", "1024x600"}),
                           environment);
  std::this_thread::sleep_for(5s);
  REQUIRE_FALSE(program.wait(0ms).has_value());
  program.signal(SIGTERM);
  const auto code = program.wait(2000ms);
  INFO(program.errors());
  CHECK(code == 0);
}

// Frames kept for support: whole, bounded, read again the same, and never waited for.
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <set>
#include <sstream>
#include <thread>

#include "app/commands/watch.h"
#include "app/keep/frame_keeper.h"
#include "app/keep/kept_folder.h"
#include "app/picture.h"
#include "app/source/folder_source.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"
#include "vision/tracker.h"

using namespace std::chrono_literals;
namespace fs = std::filesystem;

namespace {

const fs::path kFrames = fs::path(HOOPGAUGE_SOURCE_DIR) / "images/frames";

app::Measured measured(long number, cv::Size size = {320, 180}) {
  app::Measured m;
  m.frame.grey = cv::Mat(size, CV_8UC1);
  cv::randu(m.frame.grey, 0, 256);  // takes about as many bytes as it has pixels
  m.frame.number = number;
  m.frame.time_s = 1000.0 + 0.04 * static_cast<double>(number);
  return m;
}

std::set<std::string> pictures(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".jpg") names.insert(entry.path().filename().string());
  return names;
}

std::vector<nlohmann::json> lines(const fs::path& folder) {
  std::vector<nlohmann::json> all;
  std::ifstream in(folder / app::kReadingsFile);
  for (std::string line; std::getline(in, line);) all.push_back(nlohmann::json::parse(line));
  return all;
}

std::set<std::string> files_of(const std::vector<nlohmann::json>& all) {
  std::set<std::string> names;
  for (const auto& line : all) names.insert(line.at("file").get<std::string>());
  return names;
}

std::uintmax_t size_of(const fs::path& folder) {
  std::uintmax_t bytes = 0;
  for (const auto& entry : fs::directory_iterator(folder)) bytes += entry.file_size();
  return bytes;
}

}  // namespace

// Guarantees: the disk never fills, and the newest frames are those that stay. Example failure: the file of readings
// grows for ever.
TEST_CASE("kept frames stay within their limit, the oldest go, and the lines go with them", "[keep]") {
  const TemporaryFolder folder;
  constexpr std::uintmax_t kLimit = 400'000;
  app::KeptFolder kept(folder.path, kLimit);
  for (int i = 1; i <= 24; ++i) {
    kept.keep(measured(i));
    CHECK(size_of(folder.path) <= kLimit);
  }
  CHECK(size_of(folder.path) == kept.bytes());
  CHECK(size_of(folder.path) > kLimit / 2);
  const auto names = pictures(folder.path);
  CHECK(names.count("frame-00000024.jpg") == 1);
  CHECK(names.count("frame-00000001.jpg") == 0);
  CHECK(static_cast<long>(names.size()) == kept.frames());
  const auto all = lines(folder.path);
  CHECK(files_of(all) == names);
  CHECK(all.size() == names.size());
  CHECK(all.back().at("frame") == 24);
  CHECK(all.back().at("status") == "no_board");
}

TEST_CASE("one frame larger than the limit is kept all the same", "[keep]") {
  const TemporaryFolder folder;
  app::KeptFolder kept(folder.path, 1000);
  kept.keep(measured(1));
  kept.keep(measured(2));
  CHECK(pictures(folder.path) == std::set<std::string>{"frame-00000002.jpg"});
}

// Guarantees: a power cut leaves whole files. Example failure: half a line makes the folder unusable.
TEST_CASE("a folder is taken up again after a power cut", "[keep]") {
  const TemporaryFolder folder;
  {
    app::KeptFolder kept(folder.path, 10'000'000);
    for (int i = 0; i < 3; ++i) kept.keep(measured(i));
  }
  folder.put("frame-00000004.jpg.a1B2c3", "half a pict");
  folder.put("holiday.jpg", "not ours");
  std::ofstream(folder.path / app::kReadingsFile, std::ios::app) << R"({"file":"frame-00000004.jpg","sta)";
  app::KeptFolder kept(folder.path, 10'000'000);
  CHECK(kept.frames() == 3);
  CHECK(lines(folder.path).size() == 3);
  kept.keep(measured(7));
  CHECK(pictures(folder.path) == std::set<std::string>{"frame-00000001.jpg", "frame-00000002.jpg", "frame-00000003.jpg",
                                                       "frame-00000004.jpg", "holiday.jpg"});
  CHECK(lines(folder.path).back().at("frame") == 7);
}

TEST_CASE("what is no folder is refused by name", "[keep][errors]") {
  const TemporaryFolder folder;
  const fs::path file = folder.put("file", "");
  try {
    app::KeptFolder(file / "deeper", 1000);
    FAIL("it was taken");
  } catch (const calib::FileError& error) {
    CHECK(std::string(error.what()).find((file / "deeper").string()) == 0);
    CHECK(std::string(error.what()).find("--keep") != std::string::npos);
  }
}

// Guarantees: what was read can be read again from the kept frame. The sample frames are themselves JPEGs, so a little
// is lost a second time: 0.01 mm and 0.005 deg are far within their uncertainty of some hundredths.
TEST_CASE("a kept frame reads as the frame itself", "[keep]") {
  const vision::Station station = calib::load_station(kFrames / "station.toml");
  vision::Tracker tracker(station, calib::load_hoop(kFrames / "hoops/R140x190.toml"));
  const TemporaryFolder folder;
  app::KeptFolder kept(folder.path, 100'000'000);
  app::Measured m;
  m.frame.grey = app::load_picture(kFrames / "06_easy.jpg", {}).grey;
  m.result = tracker.read(m.frame.grey);
  REQUIRE(m.result.reading);
  kept.keep(m);
  tracker.forget();
  const app::Picture again = app::load_picture(folder.path / "frame-00000001.jpg", m.frame.grey.size());
  REQUIRE(again.fault == app::PictureFault::none);
  const vision::FrameResult& result = tracker.read(again.grey);
  REQUIRE(result.reading);
  CHECK_THAT(result.reading->offset_x_mm, WithinAbs(m.result.reading->offset_x_mm, 0.01));
  CHECK_THAT(result.reading->offset_y_mm, WithinAbs(m.result.reading->offset_y_mm, 0.01));
  CHECK_THAT(result.reading->rotation_deg, WithinAbs(m.result.reading->rotation_deg, 0.005));
}

TEST_CASE("a kept folder plays at the pace at which it was taken", "[keep][source]") {
  const TemporaryFolder folder;
  app::KeptFolder kept(folder.path, 10'000'000);
  for (const long i : {0, 1, 3, 4}) kept.keep(measured(i, {32, 16}));
  const auto nothing_wrong = [](const std::string& detail) { FAIL(detail); };
  app::FolderSource source(folder.path, {}, 0.01, nothing_wrong);
  const double expected_s[] = {0.0, 0.04, 0.12, 0.16, 0.17, 0.21};  // then from the start, after the period
  for (const double time_s : expected_s) {
    const auto frame = source.next();
    REQUIRE(frame);
    CHECK_THAT(frame->time_s, WithinAbs(time_s, 1e-9));
  }
}

// Guarantees: a full or lost disk ends the keeping with its reason, and nothing else.
TEST_CASE("a disk that takes no more is named, and frames go on", "[keep][errors]") {
  const TemporaryFolder outer;
  const fs::path folder = outer.path / "kept";
  app::FrameKeeper keeper(folder, 10'000'000);
  keeper.keep(measured(1));
  const auto wait_for = [](auto condition) {
    for (int i = 0; i < 2000 && !condition(); ++i) std::this_thread::sleep_for(5ms);
    return condition();
  };
  REQUIRE(wait_for([&] { return keeper.kept() == 1; }));
  fs::remove_all(folder);
  keeper.keep(measured(2));
  REQUIRE(wait_for([&] { return !keeper.trouble().empty(); }));
  CHECK(keeper.trouble().find("frame-00000002.jpg") != std::string::npos);
  keeper.keep(measured(3));
  CHECK(keeper.kept() == 1);
}

TEST_CASE("watching tells each new status and keeps what it said", "[keep][watch]") {
  const TemporaryFolder folder;
  const fs::path frames = folder.path / "frames", keep = folder.path / "keep";
  fs::create_directory(frames);
  fs::copy(kFrames / "06_easy.jpg", frames / "1.jpg");
  cv::Mat dark(1296, 2304, CV_8UC1, cv::Scalar(3));
  folder.put("frames/readings.jsonl", R"({"file":"1.jpg","time_s":1.0})"
                                      "\n"
                                      R"({"file":"2.png","time_s":1.02})");
  cv::imwrite((frames / "2.png").string(), dark);
  app::WatchOptions options;
  options.station_file = kFrames / "station.toml";
  options.hoop_file = kFrames / "hoops/R140x190.toml";
  options.frames_dir = frames;
  options.keep_dir = keep;
  options.every = 1000;
  options.seconds = 2.0;
  std::ostringstream out, err;
  CHECK(app::run_watch(options, out, err) == 0);
  INFO(out.str() << err.str());
  CHECK(out.str().find("frame 0: ok: x ") != std::string::npos);
  CHECK(out.str().find("frame 1: too_dark: ") != std::string::npos);
  CHECK(err.str().empty());
  std::set<std::string> statuses;
  for (const auto& line : lines(keep)) statuses.insert(line.at("status").get<std::string>());
  CHECK(statuses == std::set<std::string>{"ok", "too_dark"});
  CHECK(pictures(keep) == files_of(lines(keep)));

  options.keep_dir = frames;
  CHECK(app::run_watch(options, out, err) == 2);
  CHECK(err.str().find("same folder") != std::string::npos);
}

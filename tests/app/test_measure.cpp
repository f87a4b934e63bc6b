// The command `hoopgauge measure` from its arguments to its lines.
#include <cmath>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/commands/frame_list.h"
#include "app/commands/measure.h"
#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using Json = nlohmann::ordered_json;

const cv::Size kSize(640, 480);

std::string encoded(const cv::Mat& picture, const char* ending) {
  std::vector<unsigned char> bytes;
  REQUIRE(cv::imencode(ending, picture, bytes));
  return {bytes.begin(), bytes.end()};
}

// A station of small pictures, a hoop and some frames without anything to see.
struct Shop {
  Shop() {
    vision::Station station = calib::station_from_text(samples::kStation, "");
    station.lens.width_px = kSize.width;
    station.lens.height_px = kSize.height;
    station.lens.fx = station.lens.fy = 600.0;
    station.lens.cx = 320.0;
    station.lens.cy = 240.0;
    options.station_file = folder.put("station.toml", calib::text_of(station));
    options.hoop_file = folder.put("hoop.toml", samples::kHoop);
    std::filesystem::create_directory(folder.path / "day");
  }
  std::string add(const std::string& name, const std::string& bytes) {
    return folder.put("day/" + name, bytes).string();
  }
  std::string add_plain(const std::string& name) {
    return add(name, encoded(cv::Mat(kSize, CV_8UC1, cv::Scalar(120)), name.substr(name.rfind('.')).c_str()));
  }
  std::vector<Json> lines() {
    std::ostringstream out;
    err.str({});
    exit_code = app::run_measure(options, out, err);
    std::vector<Json> all;
    std::istringstream in(out.str());
    for (std::string line; std::getline(in, line);) all.push_back(Json::parse(line));
    return all;
  }

  TemporaryFolder folder;
  app::MeasureOptions options;
  std::ostringstream err;
  int exit_code = -1;
};

std::vector<std::string> statuses(const std::vector<Json>& lines) {
  std::vector<std::string> out;
  for (const Json& line : lines) out.push_back(line["status"]);
  return out;
}

}  // namespace

// Guarantees: a frame with nothing to see is a frame: its line has a reason, no reading, and the exit code is 0.
TEST_CASE("frames without anything to see are measured and refused", "[measure]") {
  Shop shop;
  shop.options.frames = {shop.add_plain("b.jpg"), shop.add_plain("a.png")};
  const std::vector<Json> lines = shop.lines();
  CHECK(shop.exit_code == 0);
  CHECK(shop.err.str().empty());
  REQUIRE(lines.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(lines[i]["file"] == shop.options.frames[i]);
    CHECK(lines[i]["status"] != "ok");
    CHECK(lines[i]["offset_x_mm"].is_null());
    CHECK(lines[i]["time_ms"].is_number());
    CHECK(lines[i]["detail"].is_string());
  }
}

// Guarantees: every bad picture has its line with its reason and name, the good ones around it are measured, and the
// exit code tells. Example failure: the first bad picture ends the run.
TEST_CASE("bad pictures get their reason and the rest go on", "[measure][errors]") {
  Shop shop;
  const std::string whole = encoded(cv::Mat(kSize, CV_8UC1, cv::Scalar(120)), ".jpg");
  shop.options.frames = {shop.add_plain("0.jpg"),
                         (shop.folder.path / "day" / "none.jpg").string(),
                         shop.add("text.jpg", "no picture at all"),
                         shop.add("zero.png", ""),
                         shop.add("cut.jpg", whole.substr(0, whole.size() / 2)),
                         shop.add("deep.png", encoded(cv::Mat(kSize, CV_16UC1, cv::Scalar(9)), ".png")),
                         shop.add("dot.png", encoded(cv::Mat(1, 1, CV_8UC1, cv::Scalar(9)), ".png")),
                         shop.add("small.jpg", encoded(cv::Mat(48, 64, CV_8UC1, cv::Scalar(9)), ".jpg")),
                         shop.add_plain("9.jpg")};
  const std::vector<Json> lines = shop.lines();
  CHECK(shop.exit_code == 1);
  REQUIRE(lines.size() == 9);
  const std::vector<std::string> all = statuses(lines);
  CHECK(std::vector<std::string>(all.begin() + 1, all.end() - 1) ==
        std::vector<std::string>{"missing", "unreadable", "empty", "truncated", "sixteen_bit", "wrong_size",
                                 "wrong_size"});
  for (std::size_t i = 1; i < 8; ++i) {
    CHECK(lines[i]["detail"].get<std::string>().starts_with(shop.options.frames[i] + " "));
    CHECK(lines[i]["rotation_deg"].is_null());
    CHECK(lines[i]["time_ms"].is_null());
  }
  CHECK(all.front() == all.back());
}

TEST_CASE("folders and patterns stand for their pictures", "[measure]") {
  Shop shop;
  const std::string a = shop.add_plain("a.JPG"), b = shop.add_plain("b.png"), c = shop.add_plain("c.jpeg");
  shop.add("notes.txt", "x");
  const std::string day = (shop.folder.path / "day").string(), none = day + "/x*.jpg";
  CHECK(app::frame_list({day}) == std::vector<std::string>{a, b, c});
  CHECK(app::frame_list({day + "/[bc]*"}) == std::vector<std::string>{b, c});
  CHECK(app::frame_list({none, a, a}) == std::vector<std::string>{none, a, a});
  const std::string odd = shop.add_plain("odd[1].png");
  CHECK(app::frame_list({odd}) == std::vector<std::string>{odd});
  std::filesystem::create_directory(shop.folder.path / "bare");
  shop.options.frames = {(shop.folder.path / "bare").string()};
  CHECK(statuses(shop.lines()) == std::vector<std::string>{"unreadable"});
  CHECK(shop.exit_code == 1);
}

TEST_CASE("overlays are written beside one another and never over a frame", "[measure][overlay]") {
  Shop shop;
  const std::string first = shop.add_plain("a.jpg"), second = shop.add_plain("a.png");
  const std::string before = TemporaryFolder::content(first);
  shop.options.frames = {first, second, "/none.jpg"};
  shop.options.overlay_dir = shop.folder.path / "day" / "drawn" / "here";
  shop.lines();
  for (const char* name : {"a.overlay.jpg", "a-2.overlay.jpg"})
    CHECK(cv::imread((*shop.options.overlay_dir / name).string()).size() == kSize);
  CHECK(std::distance(std::filesystem::directory_iterator(*shop.options.overlay_dir), {}) == 2);
  shop.options.overlay_dir = shop.folder.path / "day";
  shop.lines();
  CHECK(TemporaryFolder::content(first) == before);
  CHECK(std::filesystem::exists(shop.folder.path / "day" / "a.overlay.jpg"));
  CHECK(app::frame_list({(shop.folder.path / "day").string()}) == std::vector<std::string>{first, second});
  shop.options.overlay_dir = first;
  CHECK(shop.lines().empty());
  CHECK(shop.exit_code == 2);
  CHECK(shop.err.str().find("is no folder") != std::string::npos);
}

TEST_CASE("a station or hoop file that cannot be used ends the run before the first line", "[measure][errors]") {
  Shop shop;
  shop.options.frames = {shop.add_plain("a.jpg")};
  shop.options.hoop_file = shop.folder.put("bad.toml", "name = 3\n");
  CHECK(shop.lines().empty());
  CHECK(shop.exit_code == 2);
  CHECK(shop.err.str().find("bad.toml:1: 'name' is a whole number; write a text in quotes") != std::string::npos);
}

// Guarantees: the command's numbers are the frame's truth (images/frames/truth.json, from the independent renderer), in
// its signs and its hoop. Example failure: x and y exchanged, or a rotation counted clockwise.
// Tolerances: what counts as a wrong reading in the design's section 7; how exact readings are is the bench's matter.
TEST_CASE("sample frames read their truth through the command", "[measure][frames]") {
  const std::filesystem::path frames = std::filesystem::path(HOOPGAUGE_SOURCE_DIR) / "images" / "frames";
  const Json truth = Json::parse(TemporaryFolder::content(frames / "truth.json"));
  int read = 0;
  for (const Json& row : truth) {
    Shop shop;
    shop.options.station_file = frames / "station.toml";
    shop.options.hoop_file = frames / "hoops" / (row["hoop"].get<std::string>() + ".toml");
    shop.options.frames = {(frames / row["file"].get<std::string>()).string()};
    const bool several = row["stickers"].size() > 1;
    if (several) CHECK(statuses(shop.lines()) == std::vector<std::string>{"several_stickers"});
    shop.options.sticker = row["stickers"][0]["number"].get<int>();
    shop.options.fresh = true;
    const std::vector<Json> lines = shop.lines();
    CHECK(shop.exit_code == 0);
    REQUIRE(lines.size() == 1);
    INFO(row["file"] << ": " << lines[0].dump());
    if (lines[0]["status"] != "ok") continue;
    ++read;
    CHECK(lines[0]["sticker"] == row["stickers"][0]["number"]);
    CHECK_THAT(lines[0]["offset_x_mm"].get<double>(), WithinAbs(row["offset_x_mm"].get<double>(), 0.5));
    CHECK_THAT(lines[0]["offset_y_mm"].get<double>(), WithinAbs(row["offset_y_mm"].get<double>(), 0.5));
    CHECK_THAT(std::remainder(lines[0]["rotation_deg"].get<double>() - row["rotation_deg"].get<double>(), 360.0),
               WithinAbs(0.0, 0.3));
    CHECK_THAT(lines[0]["hoop_x_mm"].get<double>(), WithinAbs(row["hoop_pose_board"]["x_mm"].get<double>(), 0.5));
    CHECK_THAT(lines[0]["hoop_y_mm"].get<double>(), WithinAbs(row["hoop_pose_board"]["y_mm"].get<double>(), 0.5));
  }
  CHECK(read >= 4);
}

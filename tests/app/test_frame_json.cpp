#include <limits>
#include <nlohmann/json.hpp>

#include "app/frame_json.h"
#include "tests/catch.h"

namespace {

using Json = nlohmann::ordered_json;

// The keys in the order of the design's section 5, and our own "detail" at the end.
const std::vector<std::string> kKeys{"file",         "status",       "offset_x_mm",    "offset_y_mm",
                                     "rotation_deg", "u_offset_mm",  "u_rotation_deg", "sticker",
                                     "hoop_x_mm",    "hoop_y_mm",    "hoop_angle_deg", "board_marks",
                                     "notches_seen", "ring_support", "time_ms",        "detail"};

std::vector<std::string> keys(const Json& line) {
  std::vector<std::string> out;
  for (const auto& [key, value] : line.items()) out.push_back(key);
  return out;
}

vision::FrameResult good() {
  vision::FrameResult result;
  result.status = vision::Status::ok;
  result.reading = vision::Reading{2.0, -3.25, 179.99996, 0.04, 0.02, {}, {}};
  result.board_marks.resize(5);
  result.stickers.resize(1);
  result.stickers[0].number = 7;
  result.board_from_hoop = vision::Pose2{{1.5, -2.0}, 0.5 * vision::kPi};
  result.notches_seen = 3;
  result.ring_support = 0.87654321;
  return result;
}

}  // namespace

TEST_CASE("a reading's line carries every value under its key", "[json]") {
  const std::string text = app::frame_json("day/a.jpg", good(), {}, 12.34567);
  CHECK(text.find('\n') == std::string::npos);
  const Json line = Json::parse(text);
  CHECK(keys(line) == kKeys);
  CHECK(line["file"] == "day/a.jpg");
  CHECK(line["status"] == "ok");
  CHECK(line["offset_x_mm"] == 2.0);
  CHECK(line["offset_y_mm"] == -3.25);
  CHECK(line["rotation_deg"] == 180.0);
  CHECK(line["u_offset_mm"] == 0.04);
  CHECK(line["u_rotation_deg"] == 0.02);
  CHECK(line["sticker"] == 7);
  CHECK(line["hoop_x_mm"] == 1.5);
  CHECK(line["hoop_y_mm"] == -2.0);
  CHECK(line["hoop_angle_deg"] == 90.0);
  CHECK(line["board_marks"] == 5);
  CHECK(line["notches_seen"] == 3);
  CHECK(line["ring_support"] == 0.8765);
  CHECK(line["time_ms"] == 12.3457);
  CHECK(line["detail"].is_null());
}

// Guarantees: no number stands where nothing was measured. Example failure: offsets of 0 beside "no_sticker".
TEST_CASE("what was not seen is null and the reason has its sentence", "[json]") {
  vision::FrameResult result;
  result.status = vision::Status::no_sticker;
  const Json line = Json::parse(app::frame_json("a.jpg", result, {}, 1.0));
  CHECK(keys(line) == kKeys);
  CHECK(line["status"] == "no_sticker");
  for (const char* key : {"offset_x_mm", "offset_y_mm", "rotation_deg", "u_offset_mm", "u_rotation_deg", "sticker",
                          "hoop_x_mm", "hoop_y_mm", "hoop_angle_deg", "notches_seen", "ring_support"})
    CHECK(line[key].is_null());
  CHECK(line["board_marks"] == 0);
  CHECK(line["detail"].get<std::string>().find("sticker") != std::string::npos);
}

TEST_CASE("the sticker's number is told only where it is certain which one counts", "[json]") {
  vision::FrameResult result = good();
  result.stickers.resize(2);
  result.stickers[1].number = 12;
  CHECK(Json::parse(app::frame_json("a", result, {}, 1.0))["sticker"].is_null());
  CHECK(Json::parse(app::frame_json("a", result, 12, 1.0))["sticker"] == 12);
  CHECK(Json::parse(app::frame_json("a", result, 13, 1.0))["sticker"].is_null());
}

TEST_CASE("a picture that is none has its line too, whatever bytes its name holds", "[json]") {
  const Json line = Json::parse(app::fault_json("b\xff\"\n.jpg", "truncated", "says\xfe why"));
  CHECK(keys(line) == kKeys);
  CHECK(line["file"] == "b\xef\xbf\xbd\"\n.jpg");
  CHECK(line["status"] == "truncated");
  CHECK(line["time_ms"].is_null());
  CHECK(line["board_marks"].is_null());
  vision::FrameResult result = good();
  result.reading->u_offset_mm = std::numeric_limits<double>::quiet_NaN();
  CHECK(Json::parse(app::frame_json("a", result, {}, 1.0))["u_offset_mm"].is_null());
}

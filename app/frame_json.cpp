#include "app/frame_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "app/advice.h"

namespace app {
namespace {

using Json = nlohmann::ordered_json;

// A tenth of a micrometre or of a thousandth of a degree, far below what a reading resolves. NaN becomes null.
Json rounded(double value) {
  constexpr double kSteps = 1e4;
  if (!std::isfinite(value)) return nullptr;
  return std::round(value * kSteps) / kSteps + 0.0;  // + 0.0 turns -0 into 0
}

Json empty_line(const std::string& file, std::string_view status) {
  Json line;
  line["file"] = file;
  line["status"] = status;
  for (const char* key :
       {"offset_x_mm", "offset_y_mm", "rotation_deg", "u_offset_mm", "u_rotation_deg", "sticker", "hoop_x_mm",
        "hoop_y_mm", "hoop_angle_deg", "board_marks", "notches_seen", "ring_support", "time_ms", "detail"})
    line[key] = nullptr;
  return line;
}

// A file's name may hold any bytes; what is not UTF-8 is replaced.
std::string written(const Json& line) { return line.dump(-1, ' ', false, Json::error_handler_t::replace); }

}  // namespace

std::string frame_json(const std::string& file, const vision::FrameResult& result, std::optional<int> wanted,
                       double time_ms) {
  Json line = empty_line(file, vision::name(result.status));
  if (result.reading) {
    line["offset_x_mm"] = rounded(result.reading->offset_x_mm);
    line["offset_y_mm"] = rounded(result.reading->offset_y_mm);
    line["rotation_deg"] = rounded(result.reading->rotation_deg);
    line["u_offset_mm"] = rounded(result.reading->u_offset_mm);
    line["u_rotation_deg"] = rounded(result.reading->u_rotation_deg);
  }
  for (const vision::SeenSticker& sticker : result.stickers)
    if (result.stickers.size() == 1 || sticker.number == wanted) line["sticker"] = sticker.number;
  if (result.board_from_hoop) {
    line["hoop_x_mm"] = rounded(result.board_from_hoop->origin_mm.x);
    line["hoop_y_mm"] = rounded(result.board_from_hoop->origin_mm.y);
    line["hoop_angle_deg"] = rounded(vision::wrapped_rad(result.board_from_hoop->angle_rad) * vision::kDegPerRad);
    line["notches_seen"] = result.notches_seen;
    line["ring_support"] = rounded(result.ring_support);
  }
  line["board_marks"] = result.board_marks.size();
  line["time_ms"] = rounded(time_ms);
  std::string detail = result.status == vision::Status::ok ? "" : std::string(advice(result.status));
  if (const std::string marks = board_marks_advice(result); !marks.empty()) {
    if (!detail.empty()) detail += ' ';
    detail += marks;
  }
  if (!detail.empty()) line["detail"] = detail;
  return written(line);
}

std::string fault_json(const std::string& file, std::string_view status, const std::string& detail) {
  Json line = empty_line(file, status);
  line["detail"] = detail;
  return written(line);
}

}  // namespace app

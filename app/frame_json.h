// The line that `hoopgauge measure` prints for a frame.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "vision/reading.h"

namespace app {

// One JSON object, no line end: file, status, offset_x_mm, offset_y_mm, rotation_deg, u_offset_mm, u_rotation_deg,
// sticker, hoop_x_mm, hoop_y_mm, hoop_angle_deg, board_marks, notches_seen, ring_support, time_ms, detail; in this
// order, null where there is no value. The hoop's pose is in the board frame; board_marks counts the marks that agreed
// with the survey; sticker is the only one, or `wanted` among several; detail is the operator's sentence where there is
// no reading.
std::string frame_json(const std::string& file, const vision::FrameResult& result, std::optional<int> wanted,
                       double time_ms);

// The same line for a picture that gave no frame: `status` names why, and every value is null.
std::string fault_json(const std::string& file, std::string_view status, const std::string& detail);

}  // namespace app

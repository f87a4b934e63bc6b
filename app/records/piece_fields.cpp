#include "app/records/piece_fields.h"

#include <algorithm>
#include <iterator>

namespace app {

std::string_view notice_name(CycleNotice notice) {
  switch (notice) {
    case CycleNotice::none:
      break;
    case CycleNotice::hoop_shifted:
      return "hoop_shifted";
    case CycleNotice::cloth_slipped:
      return "cloth_slipped";
    case CycleNotice::ring_over_sticker:
      return "ring_over_sticker";
    case CycleNotice::wrong_sticker:
      return "wrong_sticker";
    case CycleNotice::second_sticker:
      return "second_sticker";
    case CycleNotice::hoop_reversed:
      return "hoop_reversed";
    case CycleNotice::wrong_hoop:
      return "wrong_hoop";
    case CycleNotice::stickers_disagree:
      return "stickers_disagree";
  }
  return "none";
}

std::optional<CycleNotice> notice_called(std::string_view name) {
  for (int i = 0; i < kCycleNoticeCount; ++i) {
    const auto one = static_cast<CycleNotice>(i);
    if (notice_name(one) == name) return one;
  }
  return std::nullopt;
}

bool is_later_field(std::string_view name) {
  constexpr std::string_view kLater[]{
      "station",       "garment",          "cloth",           "garment_number",   "board",
      "machine",       "entered_rotation", "jog_right_mm",    "jog_up_mm",        "left_over_mm",
      "left_over_deg", "fit_gap_mm",       "stretch_percent", "u_stretch_percent"};
  return std::find(std::begin(kLater), std::end(kLater), name) != std::end(kLater);
}

}  // namespace app

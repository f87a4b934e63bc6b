#include "vision/reading.h"

namespace vision {

std::string_view name(Status status) {
  switch (status) {
    case Status::ok:
      return "ok";
    case Status::no_board:
      return "no_board";
    case Status::board_moved:
      return "board_moved";
    case Status::no_ring:
      return "no_ring";
    case Status::ring_covered:
      return "ring_covered";
    case Status::which_way_up:
      return "which_way_up";
    case Status::no_sticker:
      return "no_sticker";
    case Status::sticker_covered:
      return "sticker_covered";
    case Status::several_stickers:
      return "several_stickers";
    case Status::wrong_sticker:
      return "wrong_sticker";
    case Status::sticker_missing:
      return "sticker_missing";
    case Status::stickers_disagree:
      return "stickers_disagree";
    case Status::blurred:
      return "blurred";
    case Status::too_dark:
      return "too_dark";
    case Status::too_bright:
      return "too_bright";
    case Status::moving:
      return "moving";
  }
  return "unknown";
}

}  // namespace vision

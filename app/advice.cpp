#include "app/advice.h"

namespace app {

using vision::Status;

std::string_view advice(Status status) {
  switch (status) {
    case Status::ok:
      return "Slide and turn the cloth as shown, or enter these numbers at the machine.";
    case Status::no_board:
      return "Clear the board marks: the camera must see at least three of them.";
    case Status::board_moved:
      return "The camera or the board was moved: put it back, or survey the board marks again.";
    case Status::no_ring:
      return "Lay the outer ring in its place, and check that the right hoop is chosen.";
    case Status::ring_covered:
      return "Take hands, tools and loose cloth off the ring; check that the right hoop is chosen.";
    case Status::which_way_up:
      return "Uncover the north notch or the north mark, so that the ring's top can be told.";
    case Status::no_sticker:
      return "Put the target sticker on the cloth, face up, inside the ring.";
    case Status::sticker_covered:
      return "Uncover the target sticker and press it flat: at least two of its four codes must show.";
    case Status::several_stickers:
      return "Take away all stickers but one, or choose the number of the one that counts.";
    case Status::wrong_sticker:
      return "This is another sticker than the one chosen: change the sticker or the number.";
    case Status::blurred:
      return "Wipe the lens and check its focus; then hold everything still.";
    case Status::too_dark:
      return "Switch on the lamp or take away what shades the board.";
    case Status::too_bright:
      return "Dim the lamp or turn it so that it does not glare on ring and sticker.";
    case Status::moving:
      return "Let go of hoop and cloth and wait a moment.";
  }
  return "Take another picture.";
}

std::string_view headline(Status status) {
  switch (status) {
    case Status::ok:
      return "Measured";
    case Status::no_board:
      return "No board marks";
    case Status::board_moved:
      return "Board moved";
    case Status::no_ring:
      return "No ring";
    case Status::ring_covered:
      return "Ring covered";
    case Status::which_way_up:
      return "Which way up?";
    case Status::no_sticker:
      return "No sticker";
    case Status::sticker_covered:
      return "Sticker covered";
    case Status::several_stickers:
      return "Several stickers";
    case Status::wrong_sticker:
      return "Wrong sticker";
    case Status::blurred:
      return "Blurred";
    case Status::too_dark:
      return "Too dark";
    case Status::too_bright:
      return "Too bright";
    case Status::moving:
      return "Moving";
  }
  return "No reading";
}

}  // namespace app

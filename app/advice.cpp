#include "app/advice.h"

#include <cstdio>

namespace app {

using vision::Status;

namespace {

// "mark 403", "marks 403 and 404", or how many where the sentence would not fit.
std::string marks(const std::vector<int>& ids) {
  if (ids.size() == 1) return "mark " + std::to_string(ids[0]);
  if (ids.size() == 2) return "marks " + std::to_string(ids[0]) + " and " + std::to_string(ids[1]);
  return "marks " + std::to_string(ids[0]) + " and " + std::to_string(ids.size() - 1) + " more";
}

}  // namespace

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

std::string moved_marks_advice(const std::vector<int>& ids) {
  if (ids.size() == 1)
    return "Board " + marks(ids) + " is not where it was surveyed: press it down, or survey the board again.";
  return "Board " + marks(ids) + " have moved: press them down, or survey the board again.";
}

std::string marks_twice_advice(const std::vector<int>& ids) {
  if (ids.size() == 1) return "Board " + marks(ids) + " is on the board twice: take one of the two away.";
  return "Board " + marks(ids) + " are on the board twice: take one of each two away.";
}

std::string knock_advice(double way_mm, double turn_deg) {
  char text[91];
  std::snprintf(text, sizeof text, "The camera was knocked by %.1f mm and %.2f deg: corrected from the marks.", way_mm,
                turn_deg);
  return text;
}

std::string board_marks_advice(const vision::FrameResult& result) {
  if (result.status == Status::board_moved) return {};
  std::string text;
  if (!result.board_marks_disagreeing.empty()) text = moved_marks_advice(result.board_marks_disagreeing);
  if (result.board_marks_twice.empty()) return text;
  if (!text.empty()) text += ' ';
  return text += marks_twice_advice(result.board_marks_twice);
}

}  // namespace app

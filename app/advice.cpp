#include "app/advice.h"

#include "app/format.h"
#include "app/words/words.h"

namespace app {

using vision::Status;

namespace {}  // namespace

std::string_view advice(Status status) {
  switch (status) {
    case Status::ok:
      return noop("Slide and turn the cloth as shown, or enter these numbers at the machine.");
    case Status::no_board:
      return noop("Clear the board marks: the camera must see at least three of them.");
    case Status::board_moved:
      return noop("The camera or the board was moved: put it back, or survey the board marks again.");
    case Status::no_ring:
      return noop("Lay the outer ring in its place, and check that the right hoop is chosen.");
    case Status::ring_covered:
      return noop("Take hands, tools and loose cloth off the ring; check that the right hoop is chosen.");
    case Status::which_way_up:
      return noop("Uncover the north notch or the north mark, so that the ring's top can be told.");
    case Status::no_sticker:
      return noop("Put the target sticker on the cloth, face up, inside the ring.");
    case Status::sticker_covered:
      return noop("Uncover the target sticker and press it flat: at least two of its four codes must show.");
    case Status::several_stickers:
      return noop("Take away all stickers but one, or choose the number of the one that counts.");
    case Status::wrong_sticker:
      return noop("This is another sticker than the one chosen: change the sticker or the number.");
    case Status::sticker_missing:
      return noop("Show the job's other stickers: at least two of them must be seen within the ring.");
    case Status::stickers_disagree:
      return noop("The stickers do not lie as the job says: check their places and their numbers.");
    case Status::blurred:
      return noop("Wipe the lens and check its focus; then hold everything still.");
    case Status::too_dark:
      return noop("Switch on the lamp or take away what shades the board.");
    case Status::too_bright:
      return noop("Dim the lamp or turn it so that it does not glare on ring and sticker.");
    case Status::moving:
      return noop("Let go of hoop and cloth and wait a moment.");
  }
  return noop("Take another picture.");
}

std::string_view headline(Status status) {
  switch (status) {
    case Status::ok:
      return noop("Measured");
    case Status::no_board:
      return noop("No board marks");
    case Status::board_moved:
      return noop("Board moved");
    case Status::no_ring:
      return noop("No ring");
    case Status::ring_covered:
      return noop("Ring covered");
    case Status::which_way_up:
      return noop("Which way up?");
    case Status::no_sticker:
      return noop("No sticker");
    case Status::sticker_covered:
      return noop("Sticker covered");
    case Status::several_stickers:
      return noop("Several stickers");
    case Status::wrong_sticker:
      return noop("Wrong sticker");
    case Status::sticker_missing:
      return noop("Sticker missing");
    case Status::stickers_disagree:
      return noop("Stickers disagree");
    case Status::blurred:
      return noop("Blurred");
    case Status::too_dark:
      return noop("Too dark");
    case Status::too_bright:
      return noop("Too bright");
    case Status::moving:
      return noop("Moving");
  }
  return noop("No reading");
}

std::string moved_marks_advice(const std::vector<int>& ids) {
  const int first = ids.front(), count = static_cast<int>(ids.size());
  if (count == 1)
    return format(tr("Board mark %d is not where it was surveyed: press it down, or survey the board again."), first);
  if (count == 2)
    return format(tr("Board marks %d and %d have moved: press them down, or survey the board again."), first, ids[1]);
  return format(tr("Board marks %d and %d more have moved: press them down, or survey the board again."), first,
                count - 1);
}

std::string marks_twice_advice(const std::vector<int>& ids) {
  const int first = ids.front(), count = static_cast<int>(ids.size());
  if (count == 1) return format(tr("Board mark %d is on the board twice: take one of the two away."), first);
  if (count == 2)
    return format(tr("Board marks %d and %d are on the board twice: take one of each two away."), first, ids[1]);
  return format(tr("Board marks %d and %d more are on the board twice: take one of each two away."), first, count - 1);
}

std::string knock_advice(double way_mm, double turn_deg) {
  return format(tr("The camera was knocked by %s mm and %s deg: corrected from the marks."), number(way_mm, 1),
                number(turn_deg, 2));
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

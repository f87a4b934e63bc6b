#include "app/sheets/tag_sheets.h"

#include "app/sheets/cut_grid.h"
#include "app/sheets/marks.h"
#include "app/sheets/number_list.h"

namespace app {
namespace {

// White around the black square: 7 mm of the 3.75 that its border needs, and the number's line below.
constexpr double kBoardTagMm = 30.0, kBoardTagLiftMm = 2.0;
const CutGrid kBoardGrid{{44.0, 48.0}, {44.0, 48.0}};
// A rim is narrow: 2 mm of white around 8 mm of black, and the number.
constexpr double kNorthTagMm = 8.0, kNorthTagLiftMm = 1.5;
const CutGrid kNorthGrid{{12.0, 15.0}, {16.4, 20.0}};

std::vector<int> part(const std::vector<int>& numbers, std::size_t first, std::size_t end) {
  return {numbers.begin() + static_cast<std::ptrdiff_t>(first), numbers.begin() + static_cast<std::ptrdiff_t>(end)};
}

void draw_board_mark(Pen& pen, int tag) {
  const Pen::Frame at_tag(pen, {0.0, kBoardTagLiftMm});
  draw_tag(pen, tag, kBoardTagMm);
  pen.text_centred(kSmallText, {0.0, -kBoardTagMm / 2.0 - 7.0}, std::to_string(tag));
}

void draw_north_mark(Pen& pen, int tag) {
  const Pen::Frame at_tag(pen, {0.0, kNorthTagLiftMm});
  draw_tag(pen, tag, kNorthTagMm);
  pen.text_centred(kSmallText, {0.0, -kNorthTagMm / 2.0 - 3.4}, std::to_string(tag));
}

CutText mark_text(const char* title, const char* purpose, double side_mm, const std::vector<int>& tags) {
  const std::string size = std::to_string(static_cast<int>(side_mm)) + " mm";
  return {[=](std::size_t first, std::size_t end) { return title + number_text(part(tags, first, end)); }, purpose,
          [=](std::size_t, std::size_t) { return "Tags of the family 36h11, black square " + size; }};
}

}  // namespace

Document board_mark_sheets(Paper paper, const std::vector<int>& tags) {
  const CutText text = mark_text(
      "Board marks ", "Stick four or more flat on the board near its rim, where the garment leaves them free.",
      kBoardTagMm, tags);
  return {"Board marks", cut_pages(paper, kBoardGrid, tags.size(), text,
                                   [tags](Pen& pen, std::size_t i) { draw_board_mark(pen, tags[i]); })};
}

Document north_mark_sheets(Paper paper, const std::vector<int>& tags) {
  const CutText text =
      mark_text("North marks ", "Stick one on the rim at north of a hoop whose ring looks the same when it is turned.",
                kNorthTagMm, tags);
  return {"North marks", cut_pages(paper, kNorthGrid, tags.size(), text,
                                   [tags](Pen& pen, std::size_t i) { draw_north_mark(pen, tags[i]); })};
}

}  // namespace app

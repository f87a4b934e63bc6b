// The sheets of things that are cut out: target stickers, board marks, north marks, badges and job tickets.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/sheets/page.h"

namespace app {

// A sheet of labels, upright, mm. The sticker is set in the middle of each.
struct LabelGrid {
  int columns = 0, rows = 0;
  cv::Size2d label_mm;
  cv::Point2d margin_mm;  // from the paper's left and upper edge to the first label
  cv::Point2d pitch_mm;   // from label to label, to the right and downwards
  int skip = 0;           // labels of the first sheet that are used up, in reading order
};

// Throws SheetError where labels overlap, leave the paper or are smaller than the sticker.
void check_labels(const LabelGrid& labels, Paper paper);

// On plain paper with cut lines, or on labels; then the first page is for plain paper, to be laid on a sheet of labels
// and to check the scale, because labels leave no room for it.
Document sticker_sheets(Paper paper, const std::vector<int>& numbers, const std::optional<LabelGrid>& labels = {});
Document board_mark_sheets(Paper paper, const std::vector<int>& tags);
Document north_mark_sheets(Paper paper, const std::vector<int>& tags);

enum class CardKind { badge, ticket };
struct Card {
  int tag = 0;
  std::string label;  // the operator's or the job's name, UTF-8
};
// Throws SheetError where a label is empty, too long or holds a sign that the typeface does not.
Document card_sheets(Paper paper, CardKind kind, const std::vector<Card>& cards);

// One sticker alone, without anything around it: for PNG and SVG.
Page single_sticker(int number);

}  // namespace app

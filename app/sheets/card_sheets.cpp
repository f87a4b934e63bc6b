// Badges and job tickets: a tag and a name on a card of the size of a bank card, which common sleeves hold.
#include <algorithm>
#include <string>

#include "app/sheets/cut_grid.h"
#include "app/sheets/marks.h"
#include "app/sheets/number_list.h"
#include "app/sheets/tag_sheets.h"

namespace app {
namespace {

constexpr double kWidthMm = 85.6, kHeightMm = 54.0;  // ID-1 of ISO/IEC 7810, to a tenth
const CutGrid kCardGrid{{kWidthMm, kHeightMm}, {kColumnMm - kWidthMm, kHeightMm}};
constexpr double kTagMm = 30.0, kTagLeftMm = 7.0;
constexpr double kTextLeftMm = 44.0, kTextRightMm = 4.0;
constexpr double kTextWidthMm = kWidthMm - kTextLeftMm - kTextRightMm;
constexpr double kNameRoomMm = 22.0;  // between caption and tag number

struct SetName {
  PrintStyle style;
  std::vector<std::string> lines;
};

// The largest height at which the name has room; no lines where it has none.
SetName set_name(Pen& pen, const std::string& name) {
  for (const double height_mm : {4.2, 3.6, 3.0, 2.5, 2.1}) {
    SetName set{{Weight::bold, height_mm}, {}};
    set.lines = pen.wrap(set.style, name, kTextWidthMm);
    const auto count = static_cast<double>(set.lines.size());
    const bool narrow = std::all_of(set.lines.begin(), set.lines.end(),
                                    [&](const auto& line) { return pen.width(set.style, line) <= kTextWidthMm; });
    if (narrow && height_mm + (count - 1.0) * Pen::line_pitch(set.style) <= kNameRoomMm) return set;
  }
  return {};
}

void draw_card(Pen& pen, CardKind kind, const Card& card) {
  {
    const Pen::Frame at_tag(pen, {-kWidthMm / 2.0 + kTagLeftMm + kTagMm / 2.0, 0.0});
    draw_tag(pen, card.tag, kTagMm);
  }
  const double left = -kWidthMm / 2.0 + kTextLeftMm, top = kTagMm / 2.0;
  pen.text(kFaintText, {left, top - kFaintText.height_mm}, kind == CardKind::badge ? "Operator" : "Job");
  const SetName name = set_name(pen, card.label);
  double y = top - kFaintText.height_mm - 3.0 - name.style.height_mm;
  for (const std::string& line : name.lines) {
    pen.text(name.style, {left, y}, line);
    y -= Pen::line_pitch(name.style);
  }
  pen.text(kFaintText, {left, -top}, std::to_string(card.tag));
}

void check_label(Pen& pen, const Typeface& typeface, const Card& card) {
  const std::string number = std::to_string(card.tag);
  if (card.label.find_first_not_of(' ') == std::string::npos)
    throw SheetError("tag " + number + " has no text; write it as in " + number + "=Name");
  if (const std::string missing = typeface.first_missing(card.label); !missing.empty())
    throw SheetError("the text of tag " + number + " holds " + missing +
                     ", which the typeface does not have; write it without");
  if (set_name(pen, card.label).lines.empty())
    throw SheetError("the text of tag " + number + " is too long for its card; shorten it");
}

// Every label has its room, found out before anything is drawn.
void check_labels(const std::vector<Card>& cards) {
  cairo_surface_t* nowhere = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, nullptr);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(nowhere), cairo_destroy);
  cairo_surface_destroy(nowhere);  // the context keeps it
  Pen pen(cairo.get());
  const Typeface typeface(Weight::bold);
  for (const Card& card : cards) check_label(pen, typeface, card);
}

}  // namespace

Document card_sheets(Paper paper, CardKind kind, const std::vector<Card>& cards) {
  check_labels(cards);
  const bool badge = kind == CardKind::badge;
  const std::string name = badge ? "Badges" : "Job tickets";
  const auto title = [=](std::size_t first, std::size_t end) {
    std::vector<int> tags;
    for (std::size_t i = first; i < end; ++i) tags.push_back(cards[i].tag);
    const char* one = badge ? "Badge " : "Job ticket ";
    return (tags.size() == 1 ? one : name + ' ') + number_text(tags);
  };
  const CutText text{
      title,
      badge ? "Laid on the board, a badge chooses the operator. Cut on the lines."
            : "Laid on the board, a ticket chooses the job. Cut on the lines.",
      [](std::size_t, std::size_t) { return std::string("Tags of the family 36h11, black square 30 mm"); }};
  return {name, cut_pages(paper, kCardGrid, cards.size(), text,
                          [=](Pen& pen, std::size_t i) { draw_card(pen, kind, cards[i]); })};
}

}  // namespace app

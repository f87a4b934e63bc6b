#include "app/sheets/job_ticket.h"

#include <algorithm>
#include <array>
#include <memory>

#include "app/format.h"
#include "app/sheets/garment_sheet.h"
#include "app/sheets/job_ticket_text.h"
#include "app/sheets/marks.h"
#include "app/sheets/pen.h"
#include "app/sheets/sheet_error.h"

namespace app {
namespace {

constexpr double kLeft = -kColumnMm / 2.0, kRight = kColumnMm / 2.0;
constexpr double kTagMm = 30.0, kTagBorderMm = 5.0;  // white around it, more than a module
constexpr double kDrawingWidth = 84.0, kDrawingHeight = 84.0, kGap = 5.0;
constexpr double kBoxMm = 2.2;  // to be ticked

// Sizes of one setting of the page: all smaller together when there is much to say.
struct Setting {
  double factor = 1.0;
  PrintStyle body() const { return {Weight::regular, 2.2 * factor, 0.0}; }
  PrintStyle strong() const { return {Weight::bold, 2.2 * factor, 0.0}; }
  PrintStyle caption() const { return {Weight::regular, 1.9 * factor, 0.4}; }
};

double tag_y_mm(Paper paper) { return content_bottom_mm(paper) + kTagMm / 2.0 + kTagBorderMm; }

// Each returns the y below itself.
double draw_name(Pen& pen, const std::string& name, double top) {
  for (const double height : {6.0, 5.0, 4.2, 3.4, 2.6}) {
    const PrintStyle style{Weight::bold, height, 0.0};
    const auto lines = pen.wrap(style, name, kColumnMm);
    const bool narrow =
        std::all_of(lines.begin(), lines.end(), [&](const auto& line) { return pen.width(style, line) <= kColumnMm; });
    if ((!narrow || lines.size() > 2 || (lines.size() > 1 && height > 5.0)) && height > 2.6) continue;
    return pen.paragraph(style, {kLeft, top - height}, name, kColumnMm) - 0.5 * height;
  }
  return top;
}

double draw_facts(Pen& pen, const Setting& set, const JobTicketText& text, cv::Point2d top_left, double width) {
  constexpr double kCaptionWidth = 21.0;
  double y = top_left.y;
  for (const auto& [caption, value] : text.facts) {
    y -= set.body().height_mm;
    pen.text(set.caption(), {top_left.x, y}, caption);
    y = pen.paragraph(set.body(), {top_left.x + kCaptionWidth, y}, value, width - kCaptionWidth);
    y -= 1.9 * set.factor;
    pen.line({top_left.x, y}, {top_left.x + width, y}, kHairMm, 0.75);
    y -= 1.3 * set.factor;
  }
  return y;
}

double draw_list(Pen& pen, const Setting& set, const std::string& head, const std::vector<std::string>& items,
                 cv::Point2d top_left, double width, bool boxes) {
  double y = top_left.y - set.strong().height_mm;
  pen.text(set.strong(), {top_left.x, y}, head);
  const double indent = boxes ? kBoxMm + 2.0 : 0.0;
  for (const std::string& item : items) {
    y -= 1.9 * set.body().height_mm;
    if (boxes) pen.outline({top_left.x, y - 0.1, kBoxMm, kBoxMm}, 0.2, 0.0);
    y = pen.paragraph(set.body(), {top_left.x + indent, y}, item, width - indent);
  }
  return y - 1.2 * set.body().height_mm;
}

double draw_rule(Pen& pen, double y) {
  pen.line({kLeft, y}, {kRight, y}, 0.2, 0.6);
  return y - 3.5;
}

double draw_upper(Pen& pen, const Setting& set, const JobTicketText& text, double top) {
  const double y = draw_name(pen, text.name, top) - 1.0;
  const bool drawn = text.drawing.has_value();
  const double x = drawn ? kLeft + kDrawingWidth + kGap : kLeft;
  const double facts = draw_facts(pen, set, text, {x, y}, kRight - x);
  if (!drawn) return facts;
  draw_garment(pen, {kLeft, y - kDrawingHeight, kDrawingWidth, kDrawingHeight}, text);
  return std::min(facts, y - kDrawingHeight) - 2.0;
}

double draw_lists(Pen& pen, const Setting& set, const JobTicketText& text, double top) {
  const double half = (kColumnMm - kGap) / 2.0, third = (kColumnMm - 2.0 * kGap) / 3.0;
  double y = top, low = top;
  const double right = kLeft + half + kGap;
  if (!text.place.empty()) low = draw_list(pen, set, "Where it goes", text.place, {kLeft, y}, half, false);
  if (!text.warnings.empty()) {
    const bool beside = !text.place.empty();
    low = std::min(low, draw_list(pen, set, "Look at this first", text.warnings, {beside ? right : kLeft, y},
                                  beside ? half : kColumnMm, false));
  }
  if (low < top) y = draw_rule(pen, low);
  low = y;
  const std::array<std::pair<const char*, const std::vector<std::string>*>, 3> lists{
      {{"Hooping", &text.hooping}, {"At the machine", &text.machine}, {"After stitching", &text.finishing}}};
  double x = kLeft;
  for (const auto& [head, items] : lists) {
    if (!items->empty()) low = std::min(low, draw_list(pen, set, head, *items, {x, y}, third, true));
    x += third + kGap;
  }
  low -= 1.5;
  pen.text(set.caption(), {kLeft, low}, "Steps are common practice where nothing else is said.");
  return low - 3.0;
}

// From above downwards; the cautions and the tag stand at the page's foot. Whether it all had room.
bool draw_ticket(Pen& pen, Paper paper, const Setting& set, const JobTicketText& text) {
  const double foot = tag_y_mm(paper) + kTagMm / 2.0 + kTagBorderMm;
  double low = draw_upper(pen, set, text, content_top_mm(paper) + 0.5);
  low = draw_lists(pen, set, text, draw_rule(pen, low));
  const double text_left = text.tag ? kLeft + kTagMm + 2.0 * kTagBorderMm : kLeft;
  const double end =
      draw_list(pen, set, "Cautions", text.cautions, {text_left, foot - kTagBorderMm}, kRight - text_left, false);
  if (text.tag) {
    const Pen::Frame at_tag(pen, {kLeft + kTagMm / 2.0, tag_y_mm(paper)});
    draw_tag(pen, *text.tag, kTagMm);
  }
  pen.line({kLeft, foot}, {kRight, foot}, 0.2, 0.6);
  return low >= foot && end >= content_bottom_mm(paper) - 3.0;
}

void check_letters(const JobTicketText& text) {
  const Typeface typeface(Weight::regular);
  std::vector<std::string> all{text.name};
  for (const auto& [caption, value] : text.facts) all.push_back(value);
  for (const auto* list : {&text.place, &text.warnings, &text.hooping, &text.finishing})
    all.insert(all.end(), list->begin(), list->end());
  for (const std::string& one : all)
    if (const std::string missing = typeface.first_missing(one); !missing.empty())
      throw SheetError(format("'%s' holds %s, which the typeface does not have; write it without", one, missing));
}

// The largest setting that has room.
Setting fitting(Paper paper, const JobTicketText& text) {
  cairo_surface_t* nowhere = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, nullptr);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(nowhere), cairo_destroy);
  cairo_surface_destroy(nowhere);  // the context keeps it
  Pen pen(cairo.get());
  for (const double factor : {1.0, 0.93, 0.86, 0.79, 0.72})
    if (draw_ticket(pen, paper, {factor}, text)) return {factor};
  throw SheetError("the job says more than one page holds; shorten its note and names");
}

}  // namespace

cv::Point2d job_ticket_tag_mm(Paper paper) { return {kLeft + kTagMm / 2.0, tag_y_mm(paper)}; }

Document job_ticket(Paper paper, const JobTicket& ticket) {
  const JobTicketText text = job_ticket_text(ticket);
  check_letters(text);
  const Setting set = fitting(paper, text);
  PageText around;
  around.title = text.tag ? format("Job ticket %d", *text.tag) : "Job ticket";
  around.purpose = text.tag ? "Laid on the board so that the camera sees its tag, it chooses the job."
                            : "This job has no ticket number: it is chosen on the screen.";
  around.small = text.tag ? "Tag of the family 36h11, black square 30 mm" : "";
  return {"Job ticket: " + text.name, {{paper_size_mm(paper), [=](Pen& pen) {
                                          draw_page_text(pen, paper, around);
                                          draw_ticket(pen, paper, set, text);
                                        }}}};
}

}  // namespace app

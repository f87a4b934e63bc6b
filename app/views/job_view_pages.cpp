// What the view of one job shows, page by page.
#include <algorithm>

#include "app/format.h"
#include "app/names.h"
#include "app/screen/text_block.h"
#include "app/views/job_view.h"

namespace app {
namespace {

constexpr double kAdvice_mm = 66.0;          // the advice's width beside the fields
constexpr double kPortraitAdvice_mm = 44.0;  // its height below them

}  // namespace

PageHeader JobView::header(const Desk& desk) const {
  PageHeader h;
  h.title = page_ == Page::fields ? std::string(tr("Job")) : name();
  switch (page_) {
    case Page::fields:
      h.headline = name();
      h.right = draft_.unsaved() ? tr("not saved yet") : "";
      return h;
    case Page::choices:
      h.headline = format("%s: %s", job_field_name(field_), job_field_value(field_, draft_, desk));
      return h;
    case Page::text:
      h.title = format("%s: %s", name(), job_field_name(field_));
      h.headline = entry_.text() + "_";
      return h;
    case Page::numbers:
      h.title = format("%s: %s", name(), quantities_.title());
      h.headline = quantities_.headline();
      return h;
    case Page::stickers:
      h.headline = tr("Which stickers belong to it?");
      return h;
    case Page::list:
      h.title = tr("Sticker numbers, 0 to 99, as in 0-9,14");
      h.headline = pad_.text() + "_";
  }
  return h;
}

std::vector<Button> JobView::row(const Desk& desk) const {
  std::vector<Button> all;
  switch (page_) {
    case Page::fields:
      all = {view_button(kUndo, tr("Undo"), 0, draft_.can_undo()),
             view_button(kTakeHoop, tr("Take the proposed hoop"), 0, better_hoop(desk).has_value()),
             view_button(kSave, tr("Save"), 0, draft_.unsaved() && !draft_.job().name.empty())};
      all.back().main = true;
      return all;
    case Page::choices:
      if (may_be_typed(field_)) all.push_back(view_button(kTypeIt, tr("Type it")));
      return all;
    case Page::text:
      all = entry_.action_buttons();
      all.push_back(view_button(kKeepText, tr("Keep"), 0, field_ != JobField::name || !entry_.text().empty()));
      all.back().main = true;
      return all;
    case Page::numbers:
      all = quantities_.row();
      if (after_numbers_ == Page::stickers && sticker_) all[0] = view_button(kRemoveSticker, tr("Remove"));
      return all;
    case Page::stickers:
      return {view_button(kAnySticker, tr("Any")), view_button(kEachSticker, tr("Numbers, one a piece")),
              view_button(kAddSticker, tr("Add one on every piece"))};
    case Page::list:
      all = {view_button(kEraseDigit, tr("Delete")), view_button(kKeepText, tr("Keep"))};
      all.back().main = true;
  }
  return all;
}

std::vector<Button> JobView::field_buttons(const Desk& desk) const {
  std::vector<Button> all;
  for (int i = 0; i < kJobFieldCount; ++i) {
    const auto field = static_cast<JobField>(i);
    Button b = view_button(kFirst + i, job_field_name(field));
    b.detail = job_field_value(field, draft_, desk);
    // Figures without a place would say nothing.
    b.enabled = field != JobField::measures || !draft_.job().place.name.empty();
    all.push_back(std::move(b));
  }
  return all;
}

std::vector<Button> JobView::choice_buttons(const Desk& desk) {
  choices_ = job_choices(field_, draft_, desk);
  const std::string now = job_text(field_, draft_.job());
  std::vector<Button> all;
  for (const JobChoice& one : choices_) {
    Button b = view_button(kFirst + static_cast<int>(all.size()), one.label);
    b.detail = one.detail;
    b.note = one.note;
    b.selected = now.empty() ? one.value.empty() : same_name(one.value, now);
    all.push_back(std::move(b));
  }
  return all;
}

std::vector<Button> JobView::sticker_buttons(const Desk& desk) const {
  std::vector<Button> all;
  for (const PlacedSticker& one : draft_.job().placed_stickers) {
    all.push_back(view_button(kFirst + static_cast<int>(all.size()), format(tr("Sticker %d"), one.number)));
    all.back().detail = placed_sticker_words(one, desk.settings().units);
  }
  return all;
}

void JobView::draw_advice(Sheet& sheet, const SDL_FRect& area) const {
  const Scale& scale = sheet.layout.scale;
  sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(3.0);
  SDL_FRect inside{area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad};
  const TextStyle style{Weight::regular, scale.text_mm(2.7)};
  const auto& [warnings, proposals] = draft_.advice();
  const float gap = scale.mm(2.0);
  if (!warnings.empty()) {
    const float end = draw_paragraphs(sheet.text, style, inside, warnings, gap, theme::kMove) + gap;
    inside.h -= end - inside.y;
    inside.y = end;
  }
  if (inside.h < scale.mm(8.0)) return;
  if (proposals.empty() && warnings.empty()) {
    draw_block(sheet.text, style, inside,
               tr("Say cloth, place and design, and it is proposed here what goes with them."), theme::kTextQuiet);
    return;
  }
  draw_paragraphs(sheet.text, style, inside, proposals, gap, theme::kTextQuiet);
}

std::vector<Button> JobView::draw_main(Sheet& sheet) {
  const ViewLayout& layout = sheet.layout;
  const TouchList::Shape shape{.columns = layout.landscape ? 2 : 1, .line_mm = 17.0};
  switch (page_) {
    case Page::text:
      return entry_.placed(layout.main, layout.scale, layout.landscape);
    case Page::numbers:
      return quantities_.placed(layout);
    case Page::list: {
      SDL_FRect area = layout.main;
      area.w = std::min(area.w, layout.scale.mm(100.0));
      return pad_.placed(area, layout.scale);
    }
    case Page::choices:
      return list_.placed(choice_buttons(sheet.desk), layout.main, layout.scale, shape);
    case Page::stickers: {
      const auto all = sticker_buttons(sheet.desk);
      if (!all.empty()) return list_.placed(all, layout.main, layout.scale, shape);
      draw_nothing(sheet.canvas, sheet.text, layout, layout.main,
                   job_field_value(JobField::stickers, draft_, sheet.desk));
      return {};
    }
    case Page::fields:
      break;
  }
  SDL_FRect fields = layout.main, advice = layout.main;
  const float gap = layout.scale.mm(2.5);
  if (layout.landscape) {
    advice.w = layout.scale.mm(kAdvice_mm);
    fields.w -= advice.w + gap;
    advice.x = fields.x + fields.w + gap;
  } else {
    advice.h = layout.scale.mm(kPortraitAdvice_mm);
    fields.h -= advice.h + gap;
    advice.y = fields.y + fields.h + gap;
  }
  draw_advice(sheet, advice);
  return list_.placed(field_buttons(sheet.desk), fields, layout.scale, shape);
}

}  // namespace app

// What a person does with a job on the screen.
#include "app/views/job_view.h"

#include <utility>

#include "app/format.h"
#include "app/jobs/hoop_proposal.h"
#include "app/jobs/job_file.h"
#include "app/names.h"
#include "app/sheets/number_list.h"
#include "app/sheets/sheet_error.h"
#include "app/views/view_words.h"

namespace app {

bool JobView::go_back(Desk& desk) {
  if (PageView::go_back(desk)) return true;
  if (page_ == Page::numbers) return page_ = after_numbers_, true;
  if (page_ == Page::list) return page_ = Page::stickers, true;
  // A new job without a name: nothing was begun.
  const bool begun = !draft_.stored_name().empty() || draft_.unsaved();
  if (page_ != Page::fields && begun) return page_ = Page::fields, true;
  if (!draft_.unsaved()) return false;
  ask({tr("Leave without saving?"), tr("What was changed here is lost then."), tr("Leave"), [this](Desk& d) {
         draft_ = JobDraft(d.opened_job(), d);
         d.back();
       }});
  return true;
}

void JobView::open_field(JobField field, Desk& desk) {
  field_ = field;
  if (field == JobField::stickers) {
    page_ = Page::stickers;
  } else if (typed_as_numbers(field)) {
    quantities_ = job_quantities(field, draft_, desk, [this, &desk, field](const auto& values) {
      change(desk, [&](Job& job) { set_job_values(field, job, values); });
    });
    after_numbers_ = Page::fields;
    page_ = Page::numbers;
  } else if (chosen_from_list(field)) {
    page_ = Page::choices;
    list_.show(0);
  } else {
    open_text(field);
  }
}

void JobView::open_sticker(std::optional<std::size_t> index, Desk& desk) {
  sticker_ = index;
  const auto& all = draft_.job().placed_stickers;
  const PlacedSticker now = index ? all[*index] : PlacedSticker{};
  using Of = Quantity::Of;
  const std::optional<double> number = index ? std::optional<double>(now.number) : std::nullopt;
  quantities_ = Quantities(
      index ? format(tr("Sticker %d"), now.number) : std::string(tr("Another sticker")),
      {{tr("Number"), Of::count, {kStickerNumbers.first * 1.0, kStickerNumbers.last * 1.0}, number, false, ""},
       {tr("Right"), Of::length, job_limits::kStickerAt_mm, now.at_mm.x, false,
        tr("of the design's centre; minus: left")},
       {tr("Up"), Of::length, job_limits::kStickerAt_mm, now.at_mm.y, false, tr("of the design's centre; minus: down")},
       {tr("Turn"), Of::degrees, job_limits::kStickerTurn_deg, now.turn_deg, false,
        tr("of its arrow, counter-clockwise")}},
      desk.settings().units, [this, &desk](const auto& values) {
        change(desk, [&](Job& job) {
          PlacedSticker one;
          one.number = static_cast<int>(values[0].value_or(0.0) + 0.5);
          one.at_mm = {values[1].value_or(0.0), values[2].value_or(0.0)};
          one.turn_deg = values[3].value_or(0.0);
          job.stickers.clear();
          if (sticker_ && *sticker_ < job.placed_stickers.size())
            job.placed_stickers[*sticker_] = one;
          else
            job.placed_stickers.push_back(one);
        });
      });
  after_numbers_ = Page::stickers;
  page_ = Page::numbers;
}

void JobView::keep_numbers(Desk& desk) {
  if (const std::string fault = quantities_.keep(); !fault.empty()) return desk.say(fault, true);
  page_ = after_numbers_;
}

void JobView::keep_list(Desk& desk) {
  try {
    const std::vector<int> numbers =
        pad_.text().empty() ? std::vector<int>{} : parse_numbers({pad_.text()}, kStickerNumbers);
    change(desk, [&](Job& job) {
      job.stickers = numbers;
      job.placed_stickers.clear();
    });
    page_ = Page::stickers;
  } catch (const SheetError& error) {
    desk.say(error.what(), true);
  }
}

void JobView::save(Desk& desk) {
  if (desk.save_job(draft_.job(), draft_.stored_name())) draft_.saved();
}

void JobView::ask_to_save(Desk& desk) {
  const Work& work = desk.work();
  const std::string& hoop = draft_.job().hoop;
  const bool running = work.job() && work.job()->name == draft_.stored_name();
  if (!running || !work.cycle().held() || hoop.empty() || hoop == work.hoop().name) return save(desk);
  ask({tr("Save it now?"), held_reading_lost(), tr("Save"), [this](Desk& d) { save(d); }});
}

// The hoop that is proposed, where it is another than the job's.
std::optional<std::string> JobView::better_hoop(const Desk& desk) const {
  if (!draft_.design()) return std::nullopt;
  const auto best = smallest_hoop(*draft_.design(), desk.hoops(), false);
  if (!best || same_name(best->hoop, draft_.job().hoop)) return std::nullopt;
  return best->hoop;
}

bool JobView::typed(const InputEvent& event, Desk& desk) {
  if (!wants_text()) return false;
  const bool enter = event.kind == InputEvent::Kind::key && (event.key == SDLK_RETURN || event.key == SDLK_KP_ENTER);
  if (enter && !buttons_.focus()) {
    if (page_ == Page::text && (field_ != JobField::name || !entry_.text().empty())) set_text(desk, entry_.text());
    if (page_ == Page::list) keep_list(desk);
    if (page_ == Page::numbers && !quantities_.next()) keep_numbers(desk);
    return true;
  }
  if (page_ == Page::text) return entry_.type(event);
  return page_ == Page::numbers ? quantities_.type(event) : pad_.type(event);
}

void JobView::press_on_stickers(int id, Desk& desk) {
  switch (id) {
    case kAnySticker:
      return change(desk, [](Job& job) {
        job.stickers.clear();
        job.placed_stickers.clear();
      });
    case kEachSticker: {
      std::string numbers;
      for (const int one : draft_.job().stickers)
        numbers.append(numbers.empty() ? "" : ",").append(std::to_string(one));
      pad_ = NumberPad(NumberPad::Kind::list, numbers.size() < 50 ? numbers : "");
      page_ = Page::list;
      return;
    }
    case kAddSticker:
      return open_sticker(std::nullopt, desk);
    default:
      return open_sticker(static_cast<std::size_t>(id - kFirst), desk);
  }
}

void JobView::pressed(int id, Desk& desk) {
  switch (page_) {
    case Page::fields:
      if (id == kSave) return ask_to_save(desk);
      if (id == kUndo) return draft_.undo(desk);
      if (id == kTakeHoop) {
        if (const auto hoop = better_hoop(desk)) change(desk, [&](Job& job) { job.hoop = *hoop; });
        return;
      }
      return open_field(static_cast<JobField>(id - kFirst), desk);
    case Page::choices:
      if (id == kTypeIt) return open_text(field_);
      return set_text(desk, choices_.at(static_cast<std::size_t>(id - kFirst)).value);
    case Page::text:
      if (id == kKeepText) return set_text(desk, entry_.text());
      entry_.press(id);
      return;
    case Page::numbers:
      if (id == Quantities::kKeep) return keep_numbers(desk);
      if (id == kRemoveSticker) {
        change(desk, [&](Job& job) {
          job.placed_stickers.erase(job.placed_stickers.begin() + static_cast<std::ptrdiff_t>(sticker_.value()));
        });
        page_ = Page::stickers;
        return;
      }
      quantities_.press(id);
      return;
    case Page::stickers:
      return press_on_stickers(id, desk);
    case Page::list: {
      InputEvent erase;
      erase.key = SDLK_BACKSPACE;
      if (id == kKeepText) return keep_list(desk);
      if (id == kEraseDigit) pad_.type(erase);
      pad_.press(id);
    }
  }
}

std::unique_ptr<StationView> make_job_view() { return std::make_unique<JobView>(); }

}  // namespace app

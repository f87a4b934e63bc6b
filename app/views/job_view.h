// One job, made or changed by touch: every field with its list, keyboard or number pad; what is proposed and what
// speaks against it beside them.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/screen/text_entry.h"
#include "app/views/job_fields.h"
#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {

class JobView : public PageView {
 public:
  bool wants_text() const override { return page_ == Page::text || page_ == Page::numbers || page_ == Page::list; }
  bool go_back(Desk& desk) override;
  void entered(Desk& desk) override {
    PageView::entered(desk);
    desk.look_again();
    draft_ = JobDraft(desk.opened_job(), desk);
    page_ = Page::fields;
    // A new job begins with its name.
    if (draft_.stored_name().empty()) open_text(JobField::name);
  }

 protected:
  PageHeader header(const Desk& desk) const override;
  std::vector<Button> row(const Desk& desk) const override;
  std::vector<Button> draw_main(Sheet& sheet) override;
  bool typed(const InputEvent& event, Desk& desk) override;
  void pressed(int id, Desk& desk) override;

 private:
  enum Id {
    kSave = 1,
    kUndo,
    kTakeHoop,
    kKeepText,
    kTypeIt,
    kAddSticker,
    kRemoveSticker,
    kAnySticker,
    kEachSticker,
    kEraseDigit,
    kFirst = 1000
  };
  enum class Page { fields, choices, text, numbers, stickers, list };

  std::string name() const { return draft_.job().name.empty() ? tr("A new job") : draft_.job().name; }
  void change(Desk& desk, const std::function<void(Job&)>& change) { draft_.change(desk, change); }
  void set_text(Desk& desk, const std::string& value) {
    change(desk, [&](Job& job) { set_job_text(field_, job, value, desk.place_guide()); });
    page_ = Page::fields;
  }
  void open_field(JobField field, Desk& desk);
  void open_text(JobField field) {
    field_ = field;
    entry_ = TextEntry(TextEntry::Keys::letters, job_text(field, draft_.job()));
    page_ = Page::text;
  }
  void open_sticker(std::optional<std::size_t> index, Desk& desk);
  void press_on_stickers(int id, Desk& desk);
  void keep_numbers(Desk& desk);
  void keep_list(Desk& desk);
  void save(Desk& desk);
  void ask_to_save(Desk& desk);
  std::optional<std::string> better_hoop(const Desk& desk) const;
  std::vector<Button> field_buttons(const Desk& desk) const;
  std::vector<Button> choice_buttons(const Desk& desk);
  std::vector<Button> sticker_buttons(const Desk& desk) const;
  void draw_advice(Sheet& sheet, const SDL_FRect& area) const;

  JobDraft draft_;
  Page page_ = Page::fields;
  JobField field_ = JobField::name;
  std::vector<JobChoice> choices_;
  TextEntry entry_{TextEntry::Keys::letters};
  Quantities quantities_;
  Page after_numbers_ = Page::fields;
  NumberPad pad_;
  std::optional<std::size_t> sticker_;  // being changed
};

}  // namespace app

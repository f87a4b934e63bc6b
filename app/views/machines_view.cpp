// The machines: which one is stitched with, and each described by plain questions that are tried out at it.
#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "app/format.h"
#include "app/machine/entry_words.h"
#include "app/machine/machine_questions.h"
#include "app/names.h"
#include "app/screen/text_block.h"
#include "app/screen/text_entry.h"
#include "app/views/page_view.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id {
  kNew = 1,
  kChange,
  kCopy,
  kRemove,
  kUndo,
  kName,
  kNote,
  kKeep,
  kNext,
  kPrevious,
  kNone = 1000,
  kFirst = 1001
};

constexpr double kExample_mm = 3.1;  // its letters
constexpr double kExampleHeight_mm = 52.0;
constexpr double kChoice_mm = 15.0;  // height of a line of choices

class MachinesView : public PageView {
 public:
  bool wants_text() const override { return page_ == Page::name || page_ == Page::note; }

  bool go_back(Desk& desk) override {
    if (PageView::go_back(desk)) return true;
    switch (page_) {
      case Page::list:
        return false;
      case Page::description:
        leave_description();
        return true;
      case Page::question:
        previous();
        return true;
      case Page::name:
        page_ = draft_ ? Page::description : Page::list;
        return true;
      case Page::note:
        page_ = Page::description;
        return true;
    }
    return false;
  }

  void entered(Desk& desk) override {
    PageView::entered(desk);
    page_ = Page::list;
    draft_.reset();
    desk.look_again();
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Machines");
    switch (page_) {
      case Page::list:
        h.headline = desk.machine() ? desk.machine()->name : tr("Which machine do you stitch with?");
        return h;
      case Page::name:
        h.title = tr("What do you call this machine?");
        h.headline = entry_.text() + "_";
        return h;
      case Page::note:
        h.title = tr("A note for whoever stands at this machine");
        h.headline = entry_.text() + "_";
        return h;
      case Page::description:
        h.title = format(tr("The machine %s"), draft_->name);
        h.headline = tr("How it turns and moves a design");
        return h;
      case Page::question: {
        const AskedQuestion now = asked_now(desk);
        h.title = format(tr("%s: question %d of %d"), draft_->name, static_cast<int>(question_ + 1),
                         static_cast<int>(questions_of(*draft_).size()));
        h.headline = now.name;
        h.sentence = now.question;
      }
    }
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    switch (page_) {
      case Page::list: {
        const bool any = described(desk) != nullptr;
        return {view_button(kNew, tr("New")), view_button(kChange, tr("Change"), 0, any),
                view_button(kCopy, tr("Copy"), 0, any), view_button(kRemove, tr("Remove"), 0, any),
                view_button(kUndo, tr("Bring back"), 0, can_undo_)};
      }
      case Page::description: {
        std::vector<Button> all{view_button(kName, tr("Name")), view_button(kNote, tr("Note")),
                                view_button(kKeep, tr("Keep"))};
        all.back().main = true;
        return all;
      }
      case Page::question: {
        const bool last = question_ + 1 >= questions_of(*draft_).size();
        std::vector<Button> all{view_button(kNext, last || !walking_ ? tr("Done") : tr("Next"))};
        all.back().main = true;
        return all;
      }
      default:
        break;
    }
    std::vector<Button> all = entry_.action_buttons();
    all.push_back(view_button(kKeep, tr("Go on"), 0, page_ == Page::note || !entry_.text().empty()));
    all.back().main = true;
    return all;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    const ViewLayout& layout = sheet.layout;
    switch (page_) {
      case Page::list:
        can_undo_ = sheet.desk.machine_was_removed();
        return list_.placed(entries(sheet.desk), layout.main, layout.scale,
                            {.columns = layout.landscape ? 2 : 1, .line_mm = 18.0});
      case Page::description:
        return list_.placed(answers(sheet.desk), layout.main, layout.scale,
                            {.columns = layout.landscape ? 3 : 2, .line_mm = 17.0});
      case Page::question:
        return draw_question(sheet);
      default:
        return entry_.placed(layout.main, layout.scale, layout.landscape);
    }
  }

  bool typed(const InputEvent& event, Desk& desk) override {
    if (!wants_text()) return false;
    const bool enter = event.kind == InputEvent::Kind::key && (event.key == SDLK_RETURN || event.key == SDLK_KP_ENTER);
    if (enter && !buttons_.focus()) {
      keep_text(desk);
      return true;
    }
    return entry_.type(event);
  }

  void pressed(int id, Desk& desk) override {
    if (wants_text() && entry_.press(id)) return;
    switch (page_) {
      case Page::list:
        return pressed_in_list(id, desk);
      case Page::description:
        return pressed_in_description(id, desk);
      case Page::question:
        if (id == kNext) return next();
        return answer(*draft_, questions_of(*draft_).at(question_), static_cast<std::size_t>(id - kFirst));
      default:
        if (id == kKeep) keep_text(desk);
    }
  }

 private:
  enum class Page { list, name, note, description, question };

  AskedQuestion asked_now(const Desk& desk) const {
    return asked(questions_of(*draft_).at(question_), *draft_, desk.settings().units);
  }

  // The chosen one, to be changed, copied or removed.
  static const Machine* described(const Desk& desk) {
    for (const StoredMachine& one : desk.machines().machines)
      if (one.machine.name == desk.settings().machine_name) return &one.machine;
    return nullptr;
  }

  static std::vector<Button> entries(const Desk& desk) {
    const std::string& chosen = desk.settings().machine_name;
    std::vector<Button> all{view_button(kNone, tr("No machine"))};
    all.back().row = true;
    all.back().detail = tr("rotation and offset are shown as they are read");
    all.back().selected = described(desk) == nullptr;
    for (const StoredMachine& one : desk.machines().machines) {
      Button b = view_button(kNone + static_cast<int>(all.size()), one.machine.name);
      b.detail = machine_summary(one.machine, desk.settings().units);
      b.selected = one.machine.name == chosen;
      if (!b.selected && desk.machine() && desk.machine()->name == one.machine.name) b.note = tr("the job's");
      all.push_back(std::move(b));
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      if (all[i].selected) all[i].note = tr("chosen");
      if (i <= 9) all[i].key = SDLK_0 + static_cast<int>(i);
    }
    for (const DamagedMachine& damaged : desk.machines().damaged)
      all.push_back(damaged_entry(kNone + static_cast<int>(all.size()), damaged.file, damaged.message));
    return all;
  }

  std::vector<Button> answers(const Desk& desk) const {
    std::vector<Button> all;
    for (const MachineQuestion question : questions_of(*draft_)) {
      const AskedQuestion one = asked(question, *draft_, desk.settings().units);
      Button b = view_button(kFirst + static_cast<int>(all.size()), one.name);
      b.row = true;
      b.detail = one.answer;
      all.push_back(std::move(b));
    }
    return all;
  }

  // The choices above, the worked example below them.
  std::vector<Button> draw_question(Sheet& sheet) {
    const ViewLayout& layout = sheet.layout;
    const Scale& scale = layout.scale;
    const AskedQuestion now = asked_now(sheet.desk);
    std::vector<Button> all;
    for (const MachineChoice& choice : now.choices) {
      all.push_back(view_button(kFirst + static_cast<int>(all.size()), choice.label));
      all.back().selected = choice.chosen;
    }
    const int columns = layout.landscape ? (all.size() > 3 ? 4 : static_cast<int>(all.size())) : 2;
    const auto lines = (all.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
    const float gap = scale.mm(2.0);
    const float width = (layout.main.w - gap * static_cast<float>(columns - 1)) / static_cast<float>(columns);
    for (std::size_t i = 0; i < all.size(); ++i)
      all[i].area = {
          layout.main.x + static_cast<float>(i % static_cast<std::size_t>(columns)) * (width + gap),
          layout.main.y + static_cast<float>(i / static_cast<std::size_t>(columns)) * (scale.mm(kChoice_mm) + gap),
          width, scale.mm(kChoice_mm)};
    const float top = layout.main.y + static_cast<float>(lines) * (scale.mm(kChoice_mm) + gap) + gap;
    draw_example(sheet, {layout.main.x, top, layout.main.w, layout.main.y + layout.main.h - top});
    return all;
  }

  void draw_example(Sheet& sheet, SDL_FRect area) const {
    const Scale& scale = sheet.layout.scale;
    area.h = std::min(area.h, scale.mm(kExampleHeight_mm));
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(3.0);
    draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(kExample_mm)},
                    {area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad},
                    worked_example(*draft_, sheet.desk.settings().units), scale.mm(1.6), theme::kText);
  }

  // ---- What is pressed

  void pressed_in_list(int id, Desk& desk) {
    const Machine* one = described(desk);
    switch (id) {
      case kNew:
        draft_.reset();
        return write(Page::name, "");
      case kChange:
        if (one != nullptr) describe(*one, one->name);
        return;
      case kCopy:
        if (one == nullptr) return;
        describe(*one, "");
        draft_->name = format(tr("%s, copy"), one->name);
        return write(Page::name, draft_->name);
      case kRemove: {
        if (one == nullptr) return;
        const std::string name = one->name;
        return ask({format(tr("Remove %s?"), name), tr("\"Bring back\" makes it as it was."), tr("Remove"),
                    [name](Desk& d) { d.remove_machine(name); }});
      }
      case kUndo:
        desk.bring_machine_back();
        return;
      case kNone:
        return desk.choose_machine("");
      default:
        break;
    }
    const auto index = static_cast<std::size_t>(id - kNone - 1);
    if (index < desk.machines().machines.size())
      desk.choose_machine(std::string(desk.machines().machines[index].machine.name));
  }

  void pressed_in_description(int id, Desk& desk) {
    switch (id) {
      case kName:
        return write(Page::name, draft_->name);
      case kNote:
        return write(Page::note, draft_->note);
      case kKeep:
        return keep(desk);
      default:
        walking_ = false;
        question_ = static_cast<std::size_t>(id - kFirst);
        page_ = Page::question;
    }
  }

  void write(Page page, const std::string& text) {
    entry_ = TextEntry(TextEntry::Keys::letters, text);
    page_ = page;
  }

  void describe(const Machine& machine, const std::string& was) {
    draft_ = before_ = machine;
    was_ = was;
    page_ = Page::description;
  }

  // A new machine's name is followed by the questions.
  void keep_text(Desk& desk) {
    const std::string text = tidy_name(entry_.text());
    if (page_ == Page::note) {
      draft_->note = text;
      page_ = Page::description;
      return;
    }
    if (const std::string fault = fault_of_name(text, "a machine needs a name"); !fault.empty())
      return desk.say(fault, true);
    for (const StoredMachine& one : desk.machines().machines)
      if (same_name(one.machine.name, text) && !same_name(text, was_or_none()))
        return desk.say(format(tr("There is a machine %s already."), one.machine.name), true);
    if (draft_) {
      draft_->name = text;
      page_ = Page::description;
      return;
    }
    describe(Machine{}, "");
    draft_->name = text;
    walking_ = true;
    question_ = 0;
    page_ = Page::question;
  }

  std::string was_or_none() const { return draft_ ? was_ : ""; }

  void next() {
    if (walking_ && question_ + 1 < questions_of(*draft_).size()) {
      ++question_;
      return;
    }
    page_ = Page::description;
  }
  void previous() {
    if (walking_ && question_ > 0) {
      --question_;
      return;
    }
    page_ = Page::description;
  }

  // The page stays where it was refused: the desk says why. A new machine is chosen at once.
  void keep(Desk& desk) {
    if (!desk.keep_machine(*draft_, was_)) return;
    const std::string name = draft_->name;
    const bool fresh = was_.empty();
    draft_.reset();
    page_ = Page::list;
    if (fresh) return desk.choose_machine(name);
    desk.say(format(tr("Kept: %s"), name));
  }

  void leave_description() {
    if (!was_.empty() && *draft_ == before_) {
      draft_.reset();
      page_ = Page::list;
      return;
    }
    ask({tr("Leave without keeping this machine?"), tr("What was answered is lost."), tr("Leave"), [this](Desk&) {
           draft_.reset();
           page_ = Page::list;
         }});
  }

  Page page_ = Page::list;
  TextEntry entry_{TextEntry::Keys::letters};
  std::optional<Machine> draft_;
  Machine before_;
  std::string was_;       // the machine that is changed; empty: a new one
  bool walking_ = false;  // through all questions, one after another
  std::size_t question_ = 0;
  bool can_undo_ = false;
};

}  // namespace

std::unique_ptr<StationView> make_machines_view() { return std::make_unique<MachinesView>(); }

}  // namespace app

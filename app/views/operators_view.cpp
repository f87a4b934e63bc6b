// Who works here: chosen, added, renamed, removed, given a badge; and what the records say of the name.
#include <charconv>
#include <optional>

#include "app/format.h"
#include "app/names.h"
#include "app/screen/text_block.h"
#include "app/screen/text_entry.h"
#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id {
  kAdd = 1,
  kBadge,
  kRename,
  kRemove,
  kKeep,
  kTypeBadge,
  kNoBadge,
  kRecords,
  kHide,
  kAnonymise,
  kNobody = 1000
};

class OperatorsView : public PageView {
 public:
  bool wants_text() const override { return page_ == Page::name || page_ == Page::badge_number; }

  bool go_back(Desk& desk) override {
    if (PageView::go_back(desk)) return true;
    if (page_ == Page::list) return false;
    leave_page(page_ == Page::badge_number ? Page::badge : Page::list, desk);
    return true;
  }

  void entered(Desk& desk) override {
    PageView::entered(desk);
    leave_page(Page::list, desk);
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Operators");
    const std::string& chosen = desk.settings().operator_name;
    switch (page_) {
      case Page::list:
        h.headline = chosen.empty() ? tr("Who works here?") : chosen;
        return h;
      case Page::name:
        h.title = renamed_.empty() ? tr("Add an operator") : format(tr("Rename %s"), renamed_.c_str());
        h.headline = entry_.text() + "_";
        return h;
      case Page::badge: {
        const std::optional<int> badge = badge_of_chosen(desk);
        h.title = format(tr("Badge of %s"), chosen.c_str());
        h.headline = waiting(desk) ? tr("Lay the badge on the board now")
                     : badge       ? format(tr("Badge %d"), *badge)
                                   : tr("No badge");
        h.mood = !waiting(desk) && badge ? PageMood::good : PageMood::plain;
        return h;
      }
      case Page::records:
        h.title = format(tr("%s in the records"), chosen.c_str());
        h.headline = is_hidden(desk) ? tr("Left out of lists and comparisons") : tr("Listed and compared");
        return h;
      case Page::badge_number:
        h.title = format(tr("Badge of %s: its number, 480 to 586"), chosen.c_str());
        h.headline = entry_.text() + "_";
    }
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    const bool any = !desk.settings().operator_name.empty();
    std::vector<Button> all;
    switch (page_) {
      case Page::list:
        return {view_button(kAdd, tr("Add")), view_button(kBadge, tr("Badge"), 0, any),
                view_button(kRename, tr("Rename"), 0, any), view_button(kRemove, tr("Remove"), 0, any),
                view_button(kRecords, tr("In the records"), 0, any)};
      case Page::records:
        return {view_button(kHide, is_hidden(desk) ? tr("Show") : tr("Hide")),
                view_button(kAnonymise, tr("Anonymise"), 0, !desk.beside().running())};
      case Page::badge:
        return {view_button(kTypeBadge, tr("Type the number")),
                view_button(kNoBadge, tr("No badge"), 0, badge_of_chosen(desk).has_value())};
      default:
        all = entry_.action_buttons();
        all.push_back(view_button(kKeep, tr("Keep"), 0, !entry_.text().empty()));
        all.back().main = true;
        return all;
    }
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    const ViewLayout& layout = sheet.layout;
    if (wants_text()) return entry_.placed(layout.main, layout.scale, layout.landscape);
    if (page_ == Page::badge) {
      draw_badge_page(sheet);
      return {};
    }
    if (page_ == Page::records) {
      draw_records_page(sheet);
      return {};
    }
    return list_.placed(entries(sheet.desk), layout.main, layout.scale, {.columns = layout.landscape ? 2 : 1});
  }

  bool typed(const InputEvent& event, Desk& desk) override {
    if (!wants_text()) return false;
    const bool enter = event.kind == InputEvent::Kind::key && (event.key == SDLK_RETURN || event.key == SDLK_KP_ENTER);
    if (enter && !buttons_.focus()) {
      if (!entry_.text().empty()) keep(desk);
      return true;
    }
    return entry_.type(event);
  }

  void pressed(int id, Desk& desk) override {
    const std::string chosen = desk.settings().operator_name;
    if (wants_text() && entry_.press(id)) return;
    switch (id) {
      case kAdd:
        return write_name("");
      case kRename:
        return write_name(chosen);
      case kBadge:
        page_ = Page::badge;
        return desk.expect_badge_of(chosen);
      case kTypeBadge:
        entry_ = TextEntry(TextEntry::Keys::digits);
        page_ = Page::badge_number;
        return;
      case kNoBadge:
        desk.set_badge(chosen, std::nullopt);
        return;
      case kRemove:
        return ask({format(tr("Remove %s?"), chosen.c_str()), tr("The records keep the name."), tr("Remove"),
                    [chosen](Desk& d) { d.remove_operator(chosen); }});
      case kRecords:
        page_ = Page::records;
        return;
      case kHide:
        return desk.hide_operator(chosen, !is_hidden(desk));
      case kAnonymise:
        return ask({format(tr("Take %s out of the records for good?"), chosen.c_str()),
                    tr("This cannot be undone. All records get a made-up name, and pictures of the pieces are deleted. "
                       "Backups on sticks and what was written out before keep the name."),
                    tr("Anonymise"), [this, chosen](Desk& d) {
                      d.anonymise_operator(chosen);
                      leave_page(Page::list, d);
                    }});
      case kKeep:
        return keep(desk);
      case kNobody:
        return desk.choose_operator("");
      default:
        return choose(static_cast<std::size_t>(id - kNobody - 1), desk);
    }
  }

 private:
  enum class Page { list, name, badge, badge_number, records };

  static std::optional<int> badge_of_chosen(const Desk& desk) {
    const Operator* one = desk.crew().find(desk.settings().operator_name);
    return one != nullptr ? one->badge : std::nullopt;
  }
  static bool is_hidden(const Desk& desk) { return desk.log().names().hidden(desk.settings().operator_name); }
  static bool waiting(const Desk& desk) { return !desk.badge_expected_of().empty(); }

  void leave_page(Page to, Desk& desk) {
    page_ = to;
    renamed_.clear();
    desk.expect_badge_of(to == Page::badge ? desk.settings().operator_name : "");
  }

  static std::vector<Button> entries(const Desk& desk) {
    const std::string& chosen = desk.settings().operator_name;
    std::vector<Button> all{view_button(kNobody, tr("Nobody"))};
    all.back().selected = chosen.empty();
    const NameHistory names = desk.log().names();
    for (const Operator& one : desk.crew().operators()) {
      Button b = view_button(kNobody + static_cast<int>(all.size()), one.name);
      b.selected = one.name == chosen;
      if (one.badge) b.detail = format(tr("badge %d"), *one.badge);
      if (names.hidden(one.name)) b.detail.append(b.detail.empty() ? "" : ", ").append(tr("hidden"));
      all.push_back(std::move(b));
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      if (all[i].selected) all[i].note = tr("chosen");
      if (i <= 9) all[i].key = SDLK_0 + static_cast<int>(i);
    }
    return all;
  }

  static void choose(std::size_t index, Desk& desk) {
    const auto& all = desk.crew().operators();
    if (index < all.size()) desk.choose_operator(std::string(all[index].name));
  }

  void write_name(const std::string& of) {
    renamed_ = of;
    entry_ = TextEntry(TextEntry::Keys::letters, of);
    page_ = Page::name;
  }

  // The page stays where it was refused: the desk says why.
  void keep(Desk& desk) {
    if (page_ == Page::badge_number) {
      int badge = 0;
      const std::string& digits = entry_.text();
      std::from_chars(digits.data(), digits.data() + digits.size(), badge);
      if (desk.set_badge(desk.settings().operator_name, badge)) leave_page(Page::list, desk);
      return;
    }
    const std::string name = entry_.text();
    if (!renamed_.empty()) {
      if (desk.rename_operator(renamed_, name)) leave_page(Page::list, desk);
      return;
    }
    if (!desk.add_operator({name, std::nullopt})) return;
    leave_page(Page::list, desk);
    desk.choose_operator(tidy_name(name));
  }

  static void draw_badge_page(Sheet& sheet) {
    draw_lines(
        sheet,
        {tr("Badges are printed with: hoopgauge print badges 480=Name"),
         waiting(sheet.desk)
             ? tr("Lay it flat on the board, where the camera sees all of it. It is taken as soon as it is seen.")
             : tr("From now on laying this badge on the board chooses the operator."),
         tr("A badge that is somebody else's, or a job's ticket, is refused.")});
  }

  static void draw_records_page(Sheet& sheet) {
    draw_lines(sheet,
               {tr("Rename, on the page before, renames the operator in the records as well."),
                tr("Hide leaves the name out of lists and comparisons; its pieces still count for the shop."),
                tr("Anonymise takes the name out of the records for good: a made-up name stands there instead, and "
                   "nobody can tell whose it was.")});
  }

  static void draw_lines(Sheet& sheet, const std::vector<std::string>& lines) {
    const Scale& scale = sheet.layout.scale;
    const SDL_FRect& area = sheet.layout.main;
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(4.0);
    draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(3.6)},
                    {area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad}, lines, scale.mm(3.0),
                    theme::kText);
  }

  Page page_ = Page::list;
  std::string renamed_;  // being renamed; empty: one is added
  TextEntry entry_{TextEntry::Keys::letters};
};

}  // namespace

std::unique_ptr<StationView> make_operators_view() { return std::make_unique<OperatorsView>(); }

}  // namespace app

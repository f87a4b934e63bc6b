// What people choose at the station. Every change holds at once.
#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/desk/pedal_keys.h"
#include "app/format.h"
#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr int kGroupStep = 20;
enum Group { kUnits, kLanguage, kSounds, kPedal, kDim, kLarge, kPictures, kGroups };
enum PedalChoice { kLearn, kNoPedal };
enum SoundChoice { kOn, kOff, kTry };

constexpr double kCaption_mm = 2.7;

struct Choices {
  std::string caption;
  std::vector<Button> buttons;
};

Button choice(Group group, int index, std::string label, bool selected, SDL_Keycode key = 0) {
  Button b = view_button(static_cast<int>(group) * kGroupStep + index, std::move(label), key);
  b.selected = selected;
  return b;
}

// Minutes offered, and the one in force where it is another.
std::vector<int> dim_minutes(int now) {
  std::vector<int> all{0, 5, 10, 30};
  if (std::find(all.begin(), all.end(), now) == all.end()) all.push_back(now);
  return all;
}

std::string dim_label(int minutes) { return minutes == 0 ? std::string(tr("Never")) : format(tr("%d min"), minutes); }

class SettingsView : public PageView {
 public:
  bool wants_keys() const override { return learning_; }
  bool go_back(Desk& desk) override { return PageView::go_back(desk) || std::exchange(learning_, false); }
  void entered(Desk& desk) override {
    PageView::entered(desk);
    learning_ = false;
  }

 protected:
  PageHeader header(const Desk&) const override {
    PageHeader h;
    h.title = tr("Settings");

    h.headline = learning_ ? tr("Press the pedal now") : tr("Each choice holds at once");
    return h;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    const ViewLayout& layout = sheet.layout;
    const Scale& scale = layout.scale;
    std::vector<Button> all;
    const int columns = layout.landscape ? 2 : 1;
    const int lines = (kGroups + columns - 1) / columns;
    const float gap = scale.mm(layout.landscape ? 8.0 : 3.0);
    const float width = (layout.main.w - gap * static_cast<float>(columns - 1)) / static_cast<float>(columns);
    const float pitch = std::min(layout.main.h / static_cast<float>(lines), scale.mm(27.0));
    for (int g = 0; g < kGroups; ++g) {
      const SDL_FRect area{layout.main.x + static_cast<float>(g / lines) * (width + gap),
                           layout.main.y + static_cast<float>(g % lines) * pitch, width, pitch};
      Choices choices = choices_of(static_cast<Group>(g), sheet.desk);
      const TextStyle caption =
          sheet.text.fitted({Weight::regular, scale.text_mm(kCaption_mm)}, choices.caption, area.w);
      const float top = area.y + scale.mm(1.2) + scale.mm(kCaption_mm);
      sheet.text.draw(caption, {area.x, top}, choices.caption, theme::kTextQuiet);
      place_in_row(choices.buttons, {area.x, top + scale.mm(1.8), area.w, scale.mm(kTouch_mm)}, scale.mm(2.0));
      all.insert(all.end(), choices.buttons.begin(), choices.buttons.end());
    }
    return all;
  }

  bool typed(const InputEvent& event, Desk& desk) override {
    if (!learning_ || event.kind == InputEvent::Kind::text) return learning_ && event.kind == InputEvent::Kind::text;
    if (event.kind != InputEvent::Kind::key) return event.kind == InputEvent::Kind::key_up;
    const std::string refused = refused_as_pedal(event.key);
    if (!refused.empty()) {
      desk.say(refused, true);
      return true;
    }
    learning_ = false;
    Settings changed = desk.settings();
    changed.pedal_key = event.key;
    desk.set(changed);
    if (desk.settings().pedal_key == event.key) desk.say(format(tr("The pedal is %s."), key_name(event.key).c_str()));
    return true;
  }

  void pressed(int id, Desk& desk) override {
    const int index = id % kGroupStep;
    const auto group = static_cast<Group>(id / kGroupStep);
    learning_ = group == kPedal && index == kLearn;
    if (group == kSounds && index == kTry) return desk.play(Sound::accepted);
    if (learning_) return;
    Settings changed = desk.settings();
    change(changed, group, index);
    desk.set(changed);
  }

 private:
  static void change(Settings& s, Group group, int index) {
    const auto at = static_cast<std::size_t>(index);
    switch (group) {
      case kUnits:
        s.units = index == 0 ? Units::mm : Units::inch;
        return;
      case kLanguage:
        s.language = index == 0 ? "" : languages().at(at - 1).code;
        return;
      case kSounds:
        s.sounds = index == kOn;
        return;
      case kPedal:
        s.pedal_key = 0;
        return;
      case kDim:
        s.dim_after_min = dim_minutes(s.dim_after_min).at(at);
        return;
      case kLarge:
        s.large_plan = index == 1;
        return;
      case kPictures:
        s.piece_pictures = index == 1;
        return;
      case kGroups:
        return;
    }
  }

  Choices choices_of(Group group, const Desk& desk) const {
    const Settings& s = desk.settings();
    switch (group) {
      case kUnits:
        return {tr("Units"),
                {choice(group, 0, tr("Millimetres"), s.units == Units::mm, SDLK_m),
                 choice(group, 1, tr("Inches"), s.units == Units::inch, SDLK_i)}};
      case kLanguage: {
        Choices all{tr("Language"), {choice(group, 0, tr("The system's"), s.language.empty())}};
        for (const Language& one : languages())
          all.buttons.push_back(choice(group, static_cast<int>(all.buttons.size()), one.name, s.language == one.code));
        return all;
      }
      case kSounds: {
        Choices all{tr("Sounds: a reading is held, taken, a problem"),
                    {choice(group, kOn, tr("On"), s.sounds), choice(group, kOff, tr("Off"), !s.sounds),
                     choice(group, kTry, tr("Try"), false)}};
        all.buttons.back().enabled = s.sounds;
        return all;
      }
      case kPedal: {
        const std::string now = s.pedal_key == 0 ? std::string(tr("none learned")) : key_name(s.pedal_key);
        Choices all{format(tr("Foot pedal: %s"), now.c_str()),
                    {choice(group, kLearn, learning_ ? tr("Press the pedal now") : tr("Learn the pedal"), learning_),
                     choice(group, kNoPedal, tr("No pedal"), s.pedal_key == 0 && !learning_)}};
        return all;
      }
      case kDim: {
        Choices all{tr("The screen dims when nothing changes for"), {}};
        for (const int minutes : dim_minutes(s.dim_after_min))
          all.buttons.push_back(
              choice(group, static_cast<int>(all.buttons.size()), dim_label(minutes), s.dim_after_min == minutes));
        return all;
      }
      case kLarge:
        return {tr("The large picture while working"),
                {choice(group, 0, tr("Camera"), !s.large_plan), choice(group, 1, tr("Plan"), s.large_plan)}};
      case kPictures:
        return {tr("A small picture of each piece, kept with its record"),
                {choice(group, 0, tr("Off"), !s.piece_pictures), choice(group, 1, tr("On"), s.piece_pictures)}};
      case kGroups:
        break;
    }
    return {};
  }

  bool learning_ = false;
};

}  // namespace

std::unique_ptr<StationView> make_settings_view() { return std::make_unique<SettingsView>(); }

}  // namespace app

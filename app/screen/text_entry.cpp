#include "app/screen/text_entry.h"

#include <algorithm>

#include "app/words/words.h"

namespace app {
namespace {

constexpr double kGap_mm = 1.6;
constexpr double kTallestKey_mm = 19.0;

Button key_button(int id, std::string label) {
  Button b;
  b.id = id;
  b.label = std::move(label);
  return b;
}

}  // namespace

std::vector<std::vector<std::string>> TextEntry::rows(bool landscape) const {
  if (keys_ == Keys::digits) return {{"1", "2", "3"}, {"4", "5", "6"}, {"7", "8", "9"}, {"0"}};
  if (accents_) return accent_rows(capitals_, landscape ? 10 : 7);
  return landscape ? keyboard_rows(capitals_) : narrow_keyboard_rows(capitals_);
}

std::vector<Button> TextEntry::placed(const SDL_FRect& area, const Scale& scale, bool landscape) const {
  shown_ = rows(landscape);
  const float gap = scale.mm(kGap_mm);
  const auto n = static_cast<float>(shown_.size());
  const float height = std::min(scale.mm(kTallestKey_mm), (area.h - gap * (n - 1.0F)) / n);
  SDL_FRect line = area;
  line.h = height;
  if (keys_ == Keys::digits) line.w = std::min(area.w, scale.mm(100.0));
  std::vector<Button> all;
  for (std::size_t r = 0; r < shown_.size(); ++r) {
    std::vector<Button> keys;
    for (std::size_t c = 0; c < shown_[r].size(); ++c)
      keys.push_back(key_button(kFirstKey + static_cast<int>(r) * kRowStep + static_cast<int>(c), shown_[r][c]));
    // A short last line has keys as wide as the others'.
    const auto columns = static_cast<float>(shown_.front().size());
    SDL_FRect part = line;
    part.w = (line.w - gap * (columns - 1.0F)) / columns * static_cast<float>(keys.size()) +
             gap * static_cast<float>(keys.size() - 1);
    place_in_row(keys, part, gap);
    all.insert(all.end(), keys.begin(), keys.end());
    line.y += height + gap;
  }
  return all;
}

std::vector<Button> TextEntry::action_buttons() const {
  if (keys_ == Keys::digits) return {key_button(kErase, tr("Delete"))};
  return {key_button(kCapitals, capitals_ ? "abc" : "ABC"), key_button(kAccents, accents_ ? "a-z" : "äéñ"),
          key_button(kSpace, tr("Space")), key_button(kErase, tr("Delete"))};
}

void TextEntry::add(const std::string& utf8) {
  if (keys_ == Keys::digits && !(utf8.size() == 1 && utf8[0] >= '0' && utf8[0] <= '9' && text().size() < 4)) return;
  entry_.type(utf8);
  // A name begins with a capital; its other letters are small ones.
  if (keys_ == Keys::letters) capitals_ = utf8 == " ";
}

bool TextEntry::press(int id) {
  switch (id) {
    case kCapitals:
      capitals_ = !capitals_;
      return true;
    case kAccents:
      accents_ = !accents_;
      return true;
    case kSpace:
      add(" ");
      return true;
    case kErase:
      entry_.erase_last();
      if (text().empty()) capitals_ = true;
      return true;
    default:
      break;
  }
  const int key = id - kFirstKey;
  if (key < 0) return false;
  const auto r = static_cast<std::size_t>(key / kRowStep), c = static_cast<std::size_t>(key % kRowStep);
  if (r >= shown_.size() || c >= shown_[r].size()) return false;
  const bool was_accents = accents_;
  add(shown_[r][c]);
  if (was_accents) accents_ = false;
  return true;
}

bool TextEntry::type(const InputEvent& event) {
  if (event.kind == InputEvent::Kind::text) {
    add(event.text);
    return true;
  }
  if (event.kind != InputEvent::Kind::key) return false;
  if (event.key == SDLK_BACKSPACE) {
    press(kErase);
    return true;
  }
  return event.key == SDLK_SPACE;  // comes as text as well
}

}  // namespace app

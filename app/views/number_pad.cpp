#include "app/views/number_pad.h"

#include <algorithm>

#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr std::size_t kLongestNumber = 8, kLongestList = 60;
constexpr double kGap_mm = 1.6, kTallestKey_mm = 19.0;
constexpr const char* kMinus = "−";  // a true one, as numbers on the screen have it

std::string decimal_sign() { return number(0.5, 1).substr(1, 1); }

}  // namespace

std::vector<std::string> NumberPad::keys() const {
  std::vector<std::string> all{"1", "2", "3", "4", "5", "6", "7", "8", "9"};
  if (kind_ == Kind::list) return all.insert(all.end(), {",", "0", "-"}), all;
  all.push_back(kind_ == Kind::either ? "±" : "");
  all.emplace_back("0");
  all.push_back(kind_ == Kind::count ? "" : decimal_sign());
  return all;
}

std::vector<Button> NumberPad::placed(const SDL_FRect& area, const Scale& scale) const {
  constexpr int kColumns = 3, kRows = 4;
  const float gap = scale.mm(kGap_mm);
  const float height = std::min(scale.mm(kTallestKey_mm), (area.h - gap * (kRows - 1)) / kRows);
  const float width = (area.w - gap * (kColumns - 1)) / kColumns;
  const std::vector<std::string> labels = keys();
  std::vector<Button> all;
  for (int i = 0; i < static_cast<int>(labels.size()); ++i) {
    const std::string& label = labels[static_cast<std::size_t>(i)];
    if (label.empty()) continue;
    Button b = view_button(kFirstKey + i, label);
    b.area = {area.x + static_cast<float>(i % kColumns) * (width + gap),
              area.y + static_cast<float>(i / kColumns) * (height + gap), width, height};
    all.push_back(std::move(b));
  }
  return all;
}

void NumberPad::add(const std::string& key) {
  if (key == "±" || key == kMinus || (key == "-" && kind_ != Kind::list)) {
    if (kind_ != Kind::either) return;
    const std::string minus = kMinus;
    text_ = text_.starts_with(minus) ? text_.substr(minus.size()) : minus + text_;
    return;
  }
  const bool digit = key.size() == 1 && key[0] >= '0' && key[0] <= '9';
  const bool sign = kind_ == Kind::list ? key == "," || key == "-" || key == " " : key == "." || key == ",";
  if (!digit && (!sign || kind_ == Kind::count)) return;
  if (text_.size() >= (kind_ == Kind::list ? kLongestList : kLongestNumber)) return;
  if (kind_ != Kind::list && sign) {
    if (text_.find_first_of(".,") == std::string::npos) text_ += decimal_sign();
    return;
  }
  text_ += key;
}

bool NumberPad::press(int id) {
  const std::vector<std::string> labels = keys();
  const auto index = static_cast<std::size_t>(id - kFirstKey);
  if (id < kFirstKey || index >= labels.size() || labels[index].empty()) return false;
  add(labels[index]);
  return true;
}

bool NumberPad::type(const InputEvent& event) {
  if (event.kind == InputEvent::Kind::text) return add(event.text), true;
  if (event.kind != InputEvent::Kind::key || event.key != SDLK_BACKSPACE) return false;
  if (text_ == kMinus) text_.clear();
  if (!text_.empty()) text_.pop_back();
  return true;
}

}  // namespace app

#include "app/views/quantities.h"

#include <algorithm>
#include <charconv>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr const char* kMinus = "−";

NumberPad::Kind kind_of(const Quantity& one) {
  if (one.of == Quantity::Of::count) return NumberPad::Kind::count;
  return one.range.low < 0.0 ? NumberPad::Kind::either : NumberPad::Kind::decimal;
}

// As a person would type it: no more decimals than the value has.
std::string as_typed(double value, int decimals) {
  std::string text = number(value, decimals);
  if (decimals > 0) {
    text.erase(text.find_last_not_of('0') + 1);
    if (!text.empty() && (text.back() == '.' || text.back() == ',')) text.pop_back();
  }
  if (text.starts_with("-")) text = kMinus + text.substr(1);
  return text;
}

std::optional<double> number_in(std::string text) {
  const bool minus = text.starts_with(kMinus);
  if (minus) text.erase(0, std::string(kMinus).size());
  std::replace(text.begin(), text.end(), ',', '.');
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return minus ? -value : value;
}

}  // namespace

Quantities::Quantities(std::string title, std::vector<Quantity> all, Units units, Keep keep)
    : title_(std::move(title)), all_(std::move(all)), units_(units), keep_(std::move(keep)) {
  for (const Quantity& one : all_) {
    const bool length = one.of == Quantity::Of::length;
    const int decimals = one.of == Quantity::Of::count ? 0 : length && units_ == Units::inch ? 3 : 2;
    std::string text;
    if (one.value) text = as_typed(length ? in_units(*one.value, units_) : *one.value, decimals);
    first_texts_.push_back(text);
    pads_.emplace_back(kind_of(one), std::move(text));
  }
}

std::string Quantities::unit(const Quantity& one) const {
  switch (one.of) {
    case Quantity::Of::length:
      return std::string(" ") + unit_word(units_);
    case Quantity::Of::degrees:
      return "°";
    case Quantity::Of::percent:
      return " %";
    case Quantity::Of::count:
      break;
  }
  return "";
}

std::string Quantities::shown(std::size_t index, bool with_cursor) const {
  const std::string& text = pads_[index].text();
  if (text.empty() && !with_cursor) return all_[index].may_lack ? tr("not said") : "–";
  return text + (with_cursor ? "_" : "") + unit(all_[index]);
}

std::string Quantities::headline() const { return format("%s: %s", all_[at_].caption, shown(at_, true)); }

std::vector<Button> Quantities::placed(const ViewLayout& layout) const {
  const Scale& scale = layout.scale;
  SDL_FRect left = layout.main, right = layout.main;
  const float gap = scale.mm(4.0), line = scale.mm(18.0);
  if (layout.landscape) {
    left.w = (layout.main.w - gap) / 2.0F;
    right.x = left.x + left.w + gap;
    right.w = left.w;
  } else {
    left.h = static_cast<float>(all_.size()) * (line + scale.mm(1.6));
    right.y += left.h + gap;
    right.h -= left.h + gap;
  }
  std::vector<Button> buttons;
  for (std::size_t i = 0; i < all_.size(); ++i) {
    Button b = view_button(kFirstQuantity + static_cast<int>(i), all_[i].caption);
    b.row = true;
    b.detail = all_[i].hint;
    b.note = shown(i, false);
    b.selected = i == at_;
    buttons.push_back(std::move(b));
  }
  place_in_column(buttons, left, line, scale.mm(1.6));
  const std::vector<Button> pad = pads_[at_].placed(right, scale);
  buttons.insert(buttons.end(), pad.begin(), pad.end());
  return buttons;
}

std::vector<Button> Quantities::row() const {
  std::vector<Button> all{view_button(kClear, tr("Not said"), 0, all_[at_].may_lack), view_button(kErase, tr("Delete")),
                          view_button(kKeep, tr("Keep"))};
  all.back().main = true;
  return all;
}

bool Quantities::press(int id) {
  const int index = id - kFirstQuantity;
  if (index >= 0 && index < static_cast<int>(all_.size())) {
    at_ = static_cast<std::size_t>(index);
    fresh_ = true;
    return true;
  }
  InputEvent erase;
  erase.key = SDLK_BACKSPACE;
  switch (id) {
    case kClear:
      pads_[at_].clear();
      return true;
    case kErase:
      fresh_ = false;
      return pads_[at_].type(erase);
    default:
      break;
  }
  // The value that stands there gives way to the first key, but for its sign.
  NumberPad tried = pads_[at_];
  if (fresh_) tried.clear();
  if (!tried.press(id)) return false;
  const bool sign = tried.text() == kMinus;
  if (sign) {
    pads_[at_].press(id);
  } else {
    pads_[at_] = tried;
    fresh_ = false;
  }
  return true;
}

bool Quantities::type(const InputEvent& event) {
  if (event.kind == InputEvent::Kind::text && fresh_ && event.text != "-") {
    NumberPad tried = pads_[at_];
    tried.clear();
    tried.type(event);
    if (!tried.text().empty()) pads_[at_] = tried, fresh_ = false;
    return true;
  }
  if (!pads_[at_].type(event)) return false;
  fresh_ = false;
  return true;
}

bool Quantities::next() {
  if (at_ + 1 >= all_.size()) return false;
  ++at_;
  fresh_ = true;
  return true;
}

std::optional<double> Quantities::typed(std::size_t index) const {
  if (pads_[index].text() == first_texts_[index]) return all_[index].value;  // to its last digit
  const auto value = number_in(pads_[index].text());
  if (!value || all_[index].of != Quantity::Of::length) return value;
  return mm_from(*value, units_);
}

std::string Quantities::keep() {
  std::vector<std::optional<double>> values;
  for (std::size_t i = 0; i < all_.size(); ++i) {
    const Quantity& one = all_[i];
    const std::optional<double> value = typed(i);
    const bool lacks = pads_[i].text().empty();
    constexpr double kRounding = 1e-9;  // of a value in inches
    const bool inside = value && *value >= one.range.low - kRounding && *value <= one.range.high + kRounding;
    if (lacks ? !one.may_lack : !inside) {
      at_ = i;
      const bool length = one.of == Quantity::Of::length;
      const auto end = [&](double limit) { return as_typed(length ? in_units(limit, units_) : limit, 1); };
      return format(tr("%s: type a number from %s to %s."), one.caption, end(one.range.low),
                    end(one.range.high) + unit(one));
    }
    values.push_back(value);
  }
  keep_(values);
  return "";
}

}  // namespace app

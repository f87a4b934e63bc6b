// A field's value as text, the same in every language, and back.
#pragma once

#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

namespace app {

inline std::string field_text(const std::string& value) { return value; }
inline std::string field_text(std::string_view value) { return std::string(value); }
inline std::string field_text(bool value) { return value ? "1" : "0"; }
inline std::string field_text(int value) { return std::to_string(value); }
// The shortest text that reads as the same number, with a point; empty for what is none.
inline std::string field_text(double value) {
  if (!std::isfinite(value)) return {};
  std::array<char, 32> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value).ptr;
  return {text.data(), end};
}

// Whole, or nothing. Numbers have a point and must be finite; an empty text is a double's NaN.
template <typename Value>
std::optional<Value> value_from_text(std::string_view text) {
  if constexpr (std::is_same_v<Value, std::string>) {
    return std::string(text);
  } else if constexpr (std::is_same_v<Value, bool>) {
    if (text != "0" && text != "1") return std::nullopt;
    return text == "1";
  } else {
    if constexpr (std::is_same_v<Value, double>)
      if (text.empty()) return std::numeric_limits<double>::quiet_NaN();
    Value out{};
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), out);
    if (fault != std::errc() || end != text.data() + text.size()) return std::nullopt;
    if constexpr (std::is_same_v<Value, double>)
      if (!std::isfinite(out)) return std::nullopt;
    return out;
  }
}

}  // namespace app

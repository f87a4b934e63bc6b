// Numbers in words, after printf.
#pragma once

#include <cstdio>
#include <string>

namespace app {

namespace printf_value {
inline const char* of(const std::string& text) { return text.c_str(); }
template <typename Value>
Value of(Value value) {
  return value;
}
}  // namespace printf_value

// As printf writes it, at any length; %s takes std::string as well. An object and no function, so that nothing of the
// standard library's of this name is looked up for a std::string among the values.
struct Format {
  template <typename... Values>
  std::string operator()(const char* pattern, const Values&... values) const {
    const int length = std::snprintf(nullptr, 0, pattern, printf_value::of(values)...);
    std::string text(length > 0 ? static_cast<std::size_t>(length) : 0, '\0');
    std::snprintf(text.data(), text.size() + 1, pattern, printf_value::of(values)...);
    return text;
  }
  template <typename... Values>
  std::string operator()(const std::string& pattern, const Values&... values) const {
    return (*this)(pattern.c_str(), values...);
  }
};
inline constexpr Format format{};

}  // namespace app

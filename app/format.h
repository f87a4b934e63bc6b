// Numbers in words, after printf.
#pragma once

#include <cstdio>
#include <string>

namespace app {

// At most 239 bytes; what is longer is cut off.
template <typename... Values>
std::string format(const char* pattern, Values... values) {
  char text[240];
  std::snprintf(text, sizeof text, pattern, values...);
  return text;
}

}  // namespace app

#include "app/report/clean_text.h"

namespace app {
namespace {

// Bytes of the sign that begins here; 0 where none does, or where it is a control character (XML 1.0, 2.2).
std::size_t sign_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  if (byte(0) < 0x80) return byte(0) >= 0x20 && byte(0) != 0x7F ? 1 : 0;
  const std::size_t length = (byte(0) >> 5) == 6 ? 2 : (byte(0) >> 4) == 14 ? 3 : (byte(0) >> 3) == 30 ? 4 : 0;
  if (length == 0 || length > text.size()) return 0;
  char32_t code = byte(0) & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) >> 6) != 2) return 0;
    code = code << 6 | (byte(i) & 0x3FU);
  }
  constexpr char32_t kLeast[5] = {0, 0, 0xA0, 0x800, 0x10000};
  const bool none =
      code < kLeast[length] || code > 0x10FFFF || (code >= 0xD800 && code < 0xE000) || code == 0xFFFE || code == 0xFFFF;
  return none ? 0 : length;
}

}  // namespace

std::string clean_text(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t length = sign_length(text);
    out += length > 0 ? text.substr(0, length) : std::string_view("\uFFFD");
    text.remove_prefix(length > 0 ? length : 1);
  }
  return out;
}

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : clean_text(text)) switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  return out;
}

}  // namespace app

#include "app/hoops/hoop_names.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <utility>

namespace app {
namespace {

constexpr std::size_t kLongestName = 100;  // bytes, as in a hoop file
constexpr std::size_t kLongestStem = 60;

bool digit(char c) { return c >= '0' && c <= '9'; }
char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

std::string folded(std::string_view name) {
  std::string out = tidy_name(name);
  std::transform(out.begin(), out.end(), out.begin(), lower);
  return out;
}

// The next code point; nothing where the bytes are no UTF-8.
std::optional<std::uint32_t> next(std::string_view& text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(0);
  const std::size_t length = first < 0x80U                      ? 1
                             : first >= 0xC2U && first < 0xE0U  ? 2
                             : first >= 0xE0U && first < 0xF0U  ? 3
                             : first >= 0xF0U && first <= 0xF4U ? 4
                                                                : 0;
  if (length == 0 || length > text.size()) return std::nullopt;
  std::uint32_t code = length == 1 ? first : first & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return std::nullopt;
    code = (code << 6U) | (byte(i) & 0x3FU);
  }
  constexpr std::array<std::uint32_t, 5> kLeast{0, 0, 0x80, 0x800, 0x10000};
  if (code < kLeast[length] || code > 0x10FFFFU || (code >= 0xD800U && code < 0xE000U)) return std::nullopt;
  text.remove_prefix(length);
  return code;
}

// What a letter beyond ASCII is called in a file's name; empty for a sign.
std::string_view base_of(std::uint32_t code) {
  struct Base {
    std::string_view letters;  // UTF-8
    std::string_view base;
  };
  constexpr std::array kBases{
      Base{"äÄæÆ", "ae"},      Base{"öÖœŒ", "oe"}, Base{"üÜ", "ue"},      Base{"ß", "ss"},
      Base{"àáâãÀÁÂÃąĄ", "a"}, Base{"åÅ", "aa"},   Base{"çÇćĆčČ", "c"},   Base{"èéêëÈÉÊËęĘ", "e"},
      Base{"ìíîïÌÍÎÏ", "i"},   Base{"ñÑńŃ", "n"},  Base{"òóôõÒÓÔÕ", "o"}, Base{"øØ", "oe"},
      Base{"ùúûÙÚÛ", "u"},     Base{"ýÿÝ", "y"},   Base{"łŁ", "l"},       Base{"śŚšŠ", "s"},
      Base{"źŹżŻžŽ", "z"},     Base{"×", "x"},
  };
  for (const Base& one : kBases) {
    std::string_view rest = one.letters;
    while (!rest.empty())
      if (next(rest) == code) return one.base;
  }
  return {};
}

}  // namespace

std::string tidy_name(std::string_view name) {
  std::string out;
  for (const char c : name)
    if (c != ' ' || (!out.empty() && out.back() != ' ')) out += c;
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::string fault_of_name(std::string_view name) {
  if (name.empty()) return "a hoop needs a name; write what is printed on it";
  if (name.size() > kLongestName) return "the name is longer than 100 bytes; write a shorter one";
  while (!name.empty()) {
    const auto code = next(name);
    if (!code) return "the name is not UTF-8 text; write it with letters, digits and signs";
    if (*code < 0x20 || (*code >= 0x7F && *code < 0xA0) || *code == 0x2028 || *code == 0x2029)
      return "the name holds a control character; write it in one line without tabs";
  }
  return {};
}

bool same_name(std::string_view a, std::string_view b) { return folded(a) == folded(b); }

std::string file_stem(std::string_view name) {
  std::string out;
  bool gap = false;
  const auto put = [&](std::string_view letters) {
    if (gap && !out.empty()) out += '-';
    gap = false;
    out += letters;
  };
  while (!name.empty() && out.size() < kLongestStem) {
    const char first = lower(name.front());
    const auto code = next(name);
    if (!code) {
      name.remove_prefix(1);
      gap = true;
    } else if (*code < 0x80) {
      if (digit(first) || (first >= 'a' && first <= 'z'))
        put({&first, 1});
      else
        gap = true;
    } else if (const std::string_view base = base_of(*code); !base.empty()) {
      put(base);
    } else {
      gap = true;
    }
  }
  out.resize(std::min(out.size(), kLongestStem));
  return out.empty() ? "hoop" : out;
}

bool name_before(std::string_view a, std::string_view b) {
  const std::string x = folded(a), y = folded(b);
  std::size_t i = 0, j = 0;
  while (i < x.size() && j < y.size()) {
    if (digit(x[i]) && digit(y[j])) {
      const auto number = [](const std::string& text, std::size_t& at) {
        while (at < text.size() && text[at] == '0') ++at;
        const std::size_t start = at;
        while (at < text.size() && digit(text[at])) ++at;
        return std::pair(at - start, text.substr(start, at - start));  // the longer one is the larger
      };
      const auto m = number(x, i), n = number(y, j);
      if (m != n) return m < n;
    } else {
      if (x[i] != y[j]) return static_cast<unsigned char>(x[i]) < static_cast<unsigned char>(y[j]);
      ++i, ++j;
    }
  }
  if (x.size() - i != y.size() - j) return x.size() - i < y.size() - j;
  return a < b;
}

}  // namespace app

#include "app/names.h"

#include <locale.h>
#include <wctype.h>

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

void append_utf8(std::string& out, std::uint32_t code) {
  const auto put = [&](std::uint32_t bits) { out += static_cast<char>(static_cast<unsigned char>(bits)); };
  const auto rest = [&](unsigned shift) { put(0x80U | ((code >> shift) & 0x3FU)); };
  if (code < 0x80) return put(code);
  if (code < 0x800) return put(0xC0U | (code >> 6U)), rest(0);
  if (code < 0x10000) return put(0xE0U | (code >> 12U)), rest(6), rest(0);
  put(0xF0U | (code >> 18U)), rest(12), rest(6), rest(0);
}

// In small letters as Unicode has them, whatever language the program runs in. The locale lives as long as the program.
std::uint32_t small(std::uint32_t code) {
  static const locale_t unicode = ::newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr);
  if (unicode == nullptr) return code < 0x80 ? static_cast<std::uint32_t>(lower(static_cast<char>(code))) : code;
  return static_cast<std::uint32_t>(::towlower_l(static_cast<wint_t>(code), unicode));
}

std::string folded(std::string_view name) {
  const std::string tidy = tidy_name(name);
  std::string out;
  for (std::string_view rest = tidy; !rest.empty();) {
    if (const auto code = next(rest)) {
      append_utf8(out, small(*code));
    } else {
      out += rest.front();
      rest.remove_prefix(1);
    }
  }
  return out;
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

std::string fault_of_name(std::string_view name, std::string_view when_empty) {
  return name.empty() ? std::string(when_empty) : fault_of_line(name, "name", kLongestName);
}

std::string fault_of_line(std::string_view line, std::string_view what, std::size_t longest_bytes) {
  const std::string the = "the " + std::string(what);
  if (line.size() > longest_bytes)
    return the + " is longer than " + std::to_string(longest_bytes) + " bytes; write a shorter one";
  while (!line.empty()) {
    const auto code = next(line);
    if (!code) return the + " is not UTF-8 text; write it with letters, digits and signs";
    if (*code < 0x20 || (*code >= 0x7F && *code < 0xA0) || *code == 0x2028 || *code == 0x2029)
      return the + " holds a control character; write it in one line without tabs";
  }
  return {};
}

std::size_t characters_in(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

bool same_name(std::string_view a, std::string_view b) { return folded(a) == folded(b); }

std::string file_stem(std::string_view name, std::string_view otherwise) {
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
  return out.empty() ? std::string(otherwise) : out;
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

#include "app/hoops/name_entry.h"

#include <algorithm>
#include <initializer_list>

#include "app/names.h"

namespace app {

void NameEntry::type(std::string_view utf8) {
  if (utf8.empty()) return;
  const std::string longer = text_ + std::string(utf8);
  // Spaces are tidied at the end only: a name is typed with one before its next word.
  if (!fault_of_name(longer).empty()) return;
  text_ = longer;
}

void NameEntry::erase_last() {
  while (!text_.empty() && (static_cast<unsigned char>(text_.back()) & 0xC0U) == 0x80U) text_.pop_back();
  if (!text_.empty()) text_.pop_back();
}

namespace {

using Rows = std::vector<std::vector<std::string>>;

Rows rows_of(std::initializer_list<std::string_view> lines, bool capitals) {
  Rows rows;
  for (std::string_view line : lines) {
    rows.emplace_back();
    for (const char c : line)
      rows.back().emplace_back(1, capitals && c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c);
  }
  return rows;
}

struct Accent {
  const char* small;
  const char* capital;
};

constexpr Accent kAccents[] = {
    {"ä", "Ä"}, {"ö", "Ö"}, {"ü", "Ü"}, {"ß", "ß"}, {"é", "É"}, {"è", "È"}, {"ê", "Ê"}, {"ë", "Ë"},
    {"á", "Á"}, {"à", "À"}, {"â", "Â"}, {"ã", "Ã"}, {"å", "Å"}, {"æ", "Æ"}, {"ą", "Ą"}, {"ç", "Ç"},
    {"ć", "Ć"}, {"č", "Č"}, {"ę", "Ę"}, {"ě", "Ě"}, {"í", "Í"}, {"î", "Î"}, {"ï", "Ï"}, {"ł", "Ł"},
    {"ñ", "Ñ"}, {"ń", "Ń"}, {"ó", "Ó"}, {"ô", "Ô"}, {"õ", "Õ"}, {"ø", "Ø"}, {"œ", "Œ"}, {"ř", "Ř"},
    {"ś", "Ś"}, {"š", "Š"}, {"ú", "Ú"}, {"ù", "Ù"}, {"ů", "Ů"}, {"ý", "Ý"}, {"ż", "Ż"}, {"ž", "Ž"},
};

}  // namespace

Rows keyboard_rows(bool capitals) {
  return rows_of({"1234567890", "qwertyuiop", "asdfghjkl-", "zxcvbnm.,/"}, capitals);
}

Rows narrow_keyboard_rows(bool capitals) {
  return rows_of({"1234567", "890-.,/", "abcdefg", "hijklmn", "opqrstu", "vwxyz'&"}, capitals);
}

Rows accent_rows(bool capitals, std::size_t columns) {
  Rows rows;
  for (const Accent& accent : kAccents) {
    if (rows.empty() || rows.back().size() == columns) rows.emplace_back();
    rows.back().emplace_back(capitals ? accent.capital : accent.small);
  }
  return rows;
}

}  // namespace app

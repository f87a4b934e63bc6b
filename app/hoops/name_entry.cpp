#include "app/hoops/name_entry.h"

#include <algorithm>

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

std::vector<std::vector<std::string>> keyboard_rows(bool capitals) {
  std::vector<std::vector<std::string>> rows;
  for (std::string_view row : {"1234567890", "qwertyuiop", "asdfghjkl-", "zxcvbnm.,/"}) {
    rows.emplace_back();
    for (const char c : row)
      rows.back().emplace_back(1, capitals && c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c);
  }
  return rows;
}

}  // namespace app

// A line of text typed on the screen's keyboard or a real one.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace app {

class NameEntry {
 public:
  explicit NameEntry(std::string text = {}) : text_(std::move(text)) {}
  const std::string& text() const { return text_; }
  // Letters, also several; not taken where the text would grow longer than a name may be, or holds a control character.
  void type(std::string_view utf8);
  // Takes away the last letter, whole.
  void erase_last();

 private:
  std::string text_;
};

// The rows of the screen's keyboard, a letter a key.
std::vector<std::vector<std::string>> keyboard_rows(bool capitals);

// The same letters and signs in seven columns, in the order of the alphabet, for a narrow screen.
std::vector<std::vector<std::string>> narrow_keyboard_rows(bool capitals);
// Letters with accents, as people's names in Europe have them, in lines of `columns` keys.
std::vector<std::vector<std::string>> accent_rows(bool capitals, std::size_t columns);

}  // namespace app

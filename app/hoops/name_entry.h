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

}  // namespace app

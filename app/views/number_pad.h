// Numbers typed by touch or keyboard: a length, a turn, a count, or numbers as in "0-9, 14".
#pragma once

#include <string>
#include <vector>

#include "app/screen/button.h"

namespace app {

class NumberPad {
 public:
  enum class Kind {
    count,    // digits alone
    decimal,  // with a decimal sign, the language's
    either,   // likewise, and a sign
    list,     // digits, comma and hyphen
  };
  explicit NumberPad(Kind kind = Kind::count, std::string text = {}) : kind_(kind), text_(std::move(text)) {}

  const std::string& text() const { return text_; }
  void clear() { text_.clear(); }
  // The keys, filling the area.
  std::vector<Button> placed(const SDL_FRect& area, const Scale& scale) const;
  // The pressed key, by id; false: it is none of them.
  bool press(int id);
  // Digits and signs, Backspace. True: it was meant for the number.
  bool type(const InputEvent& event);

 private:
  enum Id { kFirstKey = 2000 };
  std::vector<std::string> keys() const;
  void add(const std::string& key);

  Kind kind_;
  std::string text_;
};

}  // namespace app

// A name or a number typed on the screen's keyboard or a real one.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/hoops/name_entry.h"
#include "app/screen/button.h"

namespace app {

class TextEntry {
 public:
  enum class Keys { letters, digits };
  explicit TextEntry(Keys keys, std::string text = {}) : keys_(keys), entry_(std::move(text)) {}

  const std::string& text() const { return entry_.text(); }
  // The keys, filling the area; at least kTouch_mm each where that is possible at all.
  std::vector<Button> placed(const SDL_FRect& area, const Scale& scale, bool landscape) const;
  // For a row below: change of letters, space, delete; without places.
  std::vector<Button> action_buttons() const;
  // The pressed key of either, by id; false: it is none of them.
  bool press(int id);
  // Letters, Backspace. True: it was meant for the text.
  bool type(const InputEvent& event);

 private:
  enum Id { kCapitals = 800, kAccents, kSpace, kErase, kFirstKey = 2000, kRowStep = 50 };
  void add(const std::string& utf8);
  std::vector<std::vector<std::string>> rows(bool landscape) const;

  Keys keys_;
  NameEntry entry_;
  bool capitals_ = true, accents_ = false;
  mutable std::vector<std::vector<std::string>> shown_;  // as placed last
};

}  // namespace app

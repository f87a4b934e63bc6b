// A question that takes the whole screen: some words and buttons.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/screen/page.h"
#include "app/screen/screen.h"

namespace app {

struct Question {
  PageHeader header;
  std::vector<std::string> lines;  // in the main part
  std::vector<Button> buttons;     // without places
};

void draw_question(Screen& screen, const Question& question, Buttons& buttons);

// The id of the button pressed; nothing for Escape, q, a closed window, or once `over` says that it is time to end.
std::optional<int> ask(Screen& screen, const Question& question, const std::function<bool()>& over);

}  // namespace app

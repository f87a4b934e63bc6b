#include "app/station_questions.h"

#include <algorithm>
#include <cctype>

#include "app/screen/ask.h"
#include "app/words/words.h"

namespace app {
namespace {

Button button(int id, std::string label) {
  Button b;
  b.id = id;
  b.label = std::move(label);
  return b;
}

std::string sentence(std::string text) {
  if (!text.empty()) text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  return text + ".";
}

}  // namespace

SetUpAnswer ask_for_set_up(Window& window, const std::string& missing, const std::function<bool()>& over) {
  enum { guide = 1, rendered, leave };
  Window::show_pointer(true);
  Question question;
  question.header = {tr("Station"), "", tr("Not set up yet"), sentence(tr(missing)), PageMood::bad};
  question.lines = {tr("The guide takes you from the box to the proof, step by step."),
                    tr("The rendered station shows what the work looks like, with an invented camera, board and "
                       "hoop.")};
  question.buttons = {button(guide, tr("Start the guide")), button(rendered, tr("Rendered station")),
                      button(leave, tr("Leave"))};
  question.buttons.front().main = true;
  Screen screen(window);
  const auto answer = ask(screen, question, over);
  Window::show_pointer(false);
  if (answer == guide) return SetUpAnswer::guide;
  return answer == rendered ? SetUpAnswer::rendered : SetUpAnswer::leave;
}

}  // namespace app

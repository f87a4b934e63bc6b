#include "app/station_questions.h"

#include <algorithm>
#include <cctype>

#include "app/hoops/hoop_words.h"
#include "app/screen/ask.h"

namespace app {
namespace {

constexpr std::size_t kHoopsAtOnce = 3;

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
  question.header = {"Station", "", "Not set up yet", sentence(missing), PageMood::bad};
  question.lines = {"The guide takes you from the box to the proof, step by step.",
                    "The rendered station shows what the work looks like, with an invented camera, board and hoop."};
  question.buttons = {button(guide, "Start the guide"), button(rendered, "Rendered station"), button(leave, "Leave")};
  question.buttons.front().main = true;
  Screen screen(window);
  const auto answer = ask(screen, question, over);
  Window::show_pointer(false);
  if (answer == guide) return SetUpAnswer::guide;
  return answer == rendered ? SetUpAnswer::rendered : SetUpAnswer::leave;
}

std::optional<StoredHoop> ask_for_hoop(Window& window, const std::vector<StoredHoop>& hoops,
                                       const std::function<bool()>& over) {
  constexpr int kMore = -1;
  Window::show_pointer(true);
  Screen screen(window);
  for (std::size_t first = 0;; first = first + kHoopsAtOnce < hoops.size() ? first + kHoopsAtOnce : 0) {
    Question question;
    question.header = {"Station", "", "Which hoop?", "Choose the hoop that lies on the board.", PageMood::plain};
    for (std::size_t i = first; i < std::min(hoops.size(), first + kHoopsAtOnce); ++i) {
      question.buttons.push_back(button(static_cast<int>(i), hoops[i].hoop.name));
      const cv::Size2d opening = opening_mm(hoops[i].hoop);
      question.lines.push_back(hoops[i].hoop.name + ": opening " + std::to_string(cvRound(opening.width)) + " x " +
                               std::to_string(cvRound(opening.height)) + " mm");
    }
    if (hoops.size() > kHoopsAtOnce) question.buttons.push_back(button(kMore, "More hoops"));
    const auto answer = ask(screen, question, over);
    if (answer == kMore) continue;
    Window::show_pointer(false);
    if (!answer) return std::nullopt;
    return hoops[static_cast<std::size_t>(*answer)];
  }
}

}  // namespace app

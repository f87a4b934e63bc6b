#include "app/hoops/teach_screen.h"

#include <string>
#include <vector>

#include "app/format.h"
#include "app/hoops/teach_view.h"
#include "app/screen/ask.h"
#include "app/words/words.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr Uint32 kPause_ms = 10;
enum Answer { yes = 1, no };

// One run of the screen.
class TeachScreen {
 public:
  TeachScreen(Screen& screen, Teaching& teaching, const Catalogue& catalogue, HoopStore& store,
              const std::function<bool()>& over)
      : screen_(screen), teaching_(teaching), store_(store), over_(over), view_(teaching, catalogue) {}

  std::optional<fs::path> run() {
    bool redraw = true;
    while (!over_()) {
      const WindowEvents events = screen_.poll();
      if (events.closed) return std::nullopt;
      if (events.textures_lost) view_.textures_lost();
      for (const InputEvent& event : events.input) {
        const auto wish = view_.handle(event);
        redraw = true;
        if (wish == TeachWish::leave && may_leave()) return std::nullopt;
        if (wish != TeachWish::save) continue;
        if (const auto file = keep()) return file;
      }
      if (redraw || events.redraw) {
        view_.draw(screen_.canvas, screen_.text, screen_.size());
        screen_.present();
        redraw = false;
      } else {
        SDL_Delay(kPause_ms);
      }
    }
    return std::nullopt;
  }

 private:
  // The main answer is `yes`.
  bool asked(PageMood mood, const std::string& headline, const std::string& sentence, std::vector<std::string> lines,
             const std::string& yes_label, const std::string& no_label) {
    Question question;
    question.header = {tr("Teach a hoop"), "", headline, sentence, mood};
    question.lines = std::move(lines);
    Button first, second;
    first.id = yes, first.label = yes_label;
    second.id = no, second.label = no_label, second.main = true;
    question.buttons = {first, second};
    return ask(screen_, question, over_) == yes;
  }

  bool may_leave() {
    return asked(PageMood::plain, tr("Leave this hoop?"), tr("It is not kept yet: what was confirmed so far is lost."),
                 {}, tr("Leave it"), tr("Stay here"));
  }

  std::optional<fs::path> keep() {
    const std::vector<std::string> doubts = teaching_.doubts();
    if (!doubts.empty() &&
        !asked(PageMood::bad, tr("Something is doubtful"), tr("Look at it, or keep the hoop as it is."), doubts,
               tr("Keep it as it is"), tr("Look again")))
      return std::nullopt;
    try {
      try {
        return store_.save(teaching_.hoop(), false);
      } catch (const NameTaken&) {
        if (!asked(PageMood::bad, tr("This name is taken"),
                   format(tr("There is another hoop called %s."), teaching_.hoop().name),
                   {tr("Put in its place, the other one can be brought back: hoopgauge hoop undo.")},
                   tr("Put this in its place"), tr("Another name")))
          return std::nullopt;
        return store_.save(teaching_.hoop(), true);
      }
    } catch (const calib::FileError& error) {
      Question question;
      question.header = {tr("Teach a hoop"), "", tr("The hoop could not be kept"), error.what(), PageMood::bad};
      Button back;
      back.id = no, back.label = tr("Back"), back.main = true;
      question.buttons = {back};
      ask(screen_, question, over_);
      return std::nullopt;
    }
  }

  Screen& screen_;
  Teaching& teaching_;
  HoopStore& store_;
  const std::function<bool()>& over_;
  TeachView view_;
};

}  // namespace

std::optional<fs::path> run_teach_screen(Screen& screen, Teaching& teaching, const Catalogue& catalogue,
                                         HoopStore& store, const std::function<bool()>& over) {
  return TeachScreen(screen, teaching, catalogue, store, over).run();
}

}  // namespace app

#include "app/screen/ask.h"

#include "app/screen/text_block.h"

namespace app {
namespace {

constexpr Uint32 kPause_ms = 10;

}  // namespace

void draw_question(Screen& screen, const Question& question, Buttons& buttons) {
  const cv::Size size = screen.size();
  const PageLayout layout = page_layout(size.width, size.height, static_cast<int>(question.buttons.size()));
  const Scale& scale = layout.scale;
  screen.canvas.clear(theme::kGround);
  draw_header(screen.canvas, screen.text, layout, question.header);
  screen.canvas.rounded_rect(layout.main, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(4.0);
  const SDL_FRect inside{layout.main.x + pad, layout.main.y + pad, layout.main.w - 2.0F * pad,
                         layout.main.h - 2.0F * pad};
  draw_paragraphs(screen.text, {Weight::regular, scale.text_mm(3.6)}, inside, question.lines, scale.mm(3.0),
                  theme::kText);
  buttons.set(placed(question.buttons, layout));
  buttons.draw(screen.canvas, screen.text, scale);
}

std::optional<int> ask(Screen& screen, const Question& question, const std::function<bool()>& over) {
  Buttons buttons;
  bool redraw = true;
  while (!over()) {
    const WindowEvents events = screen.poll();
    if (events.quit) return std::nullopt;
    for (const InputEvent& event : events.input) {
      if (const auto id = buttons.handle(event)) return id;
    }
    if (redraw || events.redraw || !events.input.empty()) {
      draw_question(screen, question, buttons);
      screen.present();
      redraw = false;
    } else {
      SDL_Delay(kPause_ms);
    }
  }
  return std::nullopt;
}

}  // namespace app

#include "app/guide/guide_view.h"

#include <algorithm>
#include <utility>

#include "app/format.h"
#include "app/guide/stage_drawing.h"
#include "app/guide/stage_words.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPad_mm = 3.0;

Button button(GuideWish wish, std::string label, SDL_Keycode key, bool enabled) {
  Button b;
  b.id = static_cast<int>(wish);
  b.label = std::move(label);
  b.key = key;
  b.enabled = enabled;
  return b;
}

Colour colour_of(StageState state) {
  switch (state) {
    case StageState::done:
      return theme::kWithin;
    case StageState::stale:
      return theme::kMove;
    default:
      return theme::kText;
  }
}

// done: a tick; stale: a notice sign; to do: a ring; by hand: a ring with a dot.
void draw_state(Canvas& canvas, SDL_FPoint at, float radius, StageState state) {
  switch (state) {
    case StageState::done:
      return draw_tick(canvas, at, radius, theme::kWithin, theme::kPanel);
    case StageState::stale:
      return draw_notice_sign(canvas, at, radius, theme::kMove, theme::kPanel);
    case StageState::by_hand:
      canvas.disc(at, 0.35F * radius, theme::kText);
      [[fallthrough]];
    case StageState::to_do:
      canvas.circle(at, 0.85F * radius, 0.25F * radius, theme::kText);
  }
}

}  // namespace

GuideView::GuideView(std::vector<StageNow> states, std::string station_file)
    : states_(std::move(states)), station_file_(std::move(station_file)) {
  go_to_first_open();
}

void GuideView::update(std::vector<StageNow> states) { states_ = std::move(states); }

void GuideView::go_to_first_open() { at_ = std::min(first_open(states_), kStageCount - 1); }

std::vector<Button> GuideView::wanted_buttons() const {
  const bool runs = !stage().command.empty();
  std::vector<Button> buttons{button(GuideWish::previous, tr("Previous"), SDLK_PAGEUP, at_ > 0),
                              button(GuideWish::next, tr("Next"), SDLK_PAGEDOWN, at_ + 1 < kStageCount),
                              button(GuideWish::first_open, tr("First not done"), SDLK_HOME,
                                     first_open(states_) < kStageCount && first_open(states_) != at_),
                              button(GuideWish::start, runs ? start_words(stage()) : tr("By hand"), SDLK_s, runs),
                              button(GuideWish::leave, tr("Leave"), 0, true)};
  buttons[runs && !only_looks(stage()) && now().state != StageState::done ? 3
          : at_ + 1 < kStageCount                                         ? 1
                                                                          : 4]
      .main = true;
  return buttons;
}

std::optional<GuideWish> GuideView::handle(const InputEvent& event) {
  const bool key = event.kind == InputEvent::Kind::key;
  if (key && (event.key == SDLK_ESCAPE || event.key == SDLK_q)) return GuideWish::leave;
  const auto id = buttons_.handle(event);
  if (!id) return std::nullopt;
  const auto wish = static_cast<GuideWish>(*id);
  switch (wish) {
    case GuideWish::previous:
      at_ = std::max(0, at_ - 1);
      return std::nullopt;
    case GuideWish::next:
      at_ = std::min(kStageCount - 1, at_ + 1);
      return std::nullopt;
    case GuideWish::first_open:
      go_to_first_open();
      return std::nullopt;
    default:
      return wish;
  }
}

void GuideView::draw(Canvas& canvas, Text& text, cv::Size screen) {
  std::vector<Button> buttons = wanted_buttons();
  const PageLayout layout = page_layout(screen.width, screen.height, static_cast<int>(buttons.size()), ButtonsIn::row);
  const Scale& scale = layout.scale;
  canvas.clear(theme::kGround);
  const std::string where = format(tr("Setting up the station: %d of %d"), at_ + 1, kStageCount);
  draw_header(canvas, text, layout, {where, station_file_, tr(stage().headline), tr(stage().why), PageMood::plain});
  const float gap = scale.mm(2.5);
  SDL_FRect drawing = layout.main, steps = layout.main;
  if (layout.landscape) {
    drawing.w = 0.42F * layout.main.w;
    steps.x += drawing.w + gap;
    steps.w -= drawing.w + gap;
  } else {
    drawing.h = 0.4F * layout.main.h;
    steps.y += drawing.h + gap;
    steps.h -= drawing.h + gap;
  }
  draw_stage(canvas, text, scale, drawing, stage().id);
  draw_steps(canvas, text, scale, steps);
  draw_list(canvas, text, scale, layout.side);
  buttons_.set(placed(std::move(buttons), layout));
  buttons_.draw(canvas, text, scale);
}

void GuideView::draw_steps(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area) const {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(kPad_mm);
  const float left = area.x + pad, width = area.w - 2.0F * pad;
  // The state, below the steps.
  const float sign = scale.mm(2.0);
  const TextStyle small{Weight::bold, scale.text_mm(2.5)};
  const std::string state = state_words(now());
  const float text_left = left + 2.0F * sign + scale.mm(1.8);
  const float state_width = area.x + area.w - pad - text_left;
  const float state_height = scale.mm(9.0);
  const float state_top = area.y + area.h - state_height - scale.mm(1.0);
  draw_state(canvas, {left + sign, state_top + sign + scale.mm(0.6)}, sign, now().state);
  canvas.clip(area);
  draw_block(text, small, {text_left, state_top + scale.mm(1.2), state_width, state_height - scale.mm(1.2)}, state,
             colour_of(now().state));
  canvas.unclip();
  canvas.rect({left, state_top - scale.mm(1.4), width, std::max(1.0F, scale.mm(0.2))}, theme::kRule);
  std::vector<std::string> steps;
  for (const std::string& step : stage().steps) steps.push_back(tr(step));
  draw_paragraphs(text, {Weight::regular, scale.text_mm(3.1)},
                  {left, area.y + pad, width, state_top - scale.mm(2.4) - area.y - pad}, steps, scale.mm(2.4),
                  theme::kText);
}

void GuideView::draw_list(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area) const {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(1.6);
  const float sign = std::min(scale.mm(1.9), area.h / 30.0F);
  const bool two_columns = area.w > 1.6F * area.h;
  const int rows = two_columns ? (kStageCount + 1) / 2 : kStageCount;
  const float row = (area.h - 2.0F * pad) / static_cast<float>(rows);
  const float column = two_columns ? area.w / 2.0F : area.w;
  for (int i = 0; i < kStageCount; ++i) {
    const float x = area.x + column * static_cast<float>(i / rows);
    const float middle = area.y + pad + row * (static_cast<float>(i % rows) + 0.5F);
    const bool here = i == at_;
    if (here) {
      const SDL_FRect band{x + pad, middle - row / 2.0F, column - 2.0F * pad, row};
      canvas.rounded_rect(band, scale.mm(1.0), theme::kRule);
    }
    draw_state(canvas, {x + 2.0F * pad + sign, middle}, sign, states_[static_cast<std::size_t>(i)].state);
    const TextStyle style{here ? Weight::bold : Weight::regular, scale.text_mm(2.7)};
    text.draw(style, {x + 3.0F * pad + 2.0F * sign, middle + static_cast<float>(style.height_px) / 2.0F},
              tr(stages()[static_cast<std::size_t>(i)].name), here ? theme::kText : theme::kTextQuiet);
  }
}

}  // namespace app

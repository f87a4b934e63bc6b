#include "app/setup/step_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>
#include <utility>

#include "app/format.h"
#include "app/screen/notice.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/setup/step_marks.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPad_mm = 3.0;

// No wish of the owner's: the outcome's picture instead of its lines, and back.
constexpr int kEnlarge = 100;

Button button(StepWish wish, std::string label, SDL_Keycode key) {
  Button b;
  b.id = static_cast<int>(wish);
  b.label = std::move(label);
  b.key = key;
  return b;
}

void draw_bar(Canvas& canvas, const Scale& scale, const SDL_FRect& bar, float from, float to, Colour colour) {
  const float line = scale.mm(0.4);
  canvas.rounded_rect(bar, bar.h / 2.0F, theme::kTextQuiet);
  const SDL_FRect inner{bar.x + line, bar.y + line, bar.w - 2.0F * line, bar.h - 2.0F * line};
  canvas.rounded_rect(inner, inner.h / 2.0F, theme::kGround);
  const float w = (to - from) * inner.w;
  if (w >= 1.0F) canvas.rounded_rect({inner.x + from * inner.w, inner.y, w, inner.h}, inner.h / 2.0F, colour);
}

// A bright frame and a word: seen from the corner of the eye.
void draw_flash(Canvas& canvas, Text& text, const Scale& scale, const SDL_Rect& picture) {
  const SDL_FRect p{static_cast<float>(picture.x), static_cast<float>(picture.y), static_cast<float>(picture.w),
                    static_cast<float>(picture.h)};
  const float w = scale.mm(2.5);
  for (const SDL_FRect& side : {SDL_FRect{p.x, p.y, p.w, w}, SDL_FRect{p.x, p.y + p.h - w, p.w, w},
                                SDL_FRect{p.x, p.y, w, p.h}, SDL_FRect{p.x + p.w - w, p.y, w, p.h}})
    canvas.rect(side, theme::kText);
  const TextStyle style{Weight::bold, scale.text_mm(6.0)};
  const std::string_view word = tr("Taken");
  const float half = text.width(style, word) / 2.0F + scale.mm(4.0);
  const SDL_FPoint middle{p.x + p.w / 2.0F, p.y + p.h / 2.0F};
  canvas.rounded_rect({middle.x - half, middle.y - scale.mm(6.0), 2.0F * half, scale.mm(12.0)}, scale.mm(1.2),
                      theme::kText);
  text.draw_centred(style, {middle.x, middle.y + scale.mm(3.0)}, word, theme::kGround);
}

// The area cut in two, across (`left` of the width) or along (`top` of the height).
std::pair<SDL_FRect, SDL_FRect> cut(const SDL_FRect& area, float left, float top, float gap) {
  SDL_FRect first = area, second = area;
  if (left > 0.0F) {
    first.w = left * area.w;
    second.x += first.w + gap;
    second.w -= first.w + gap;
  } else {
    first.h = top * area.h;
    second.y += first.h + gap;
    second.h -= first.h + gap;
  }
  return {first, second};
}

}  // namespace

void StepView::take(Frame frame, StepAdvice advice) {
  pending_ = std::move(frame);
  advice_ = std::move(advice);
}

void StepView::show(std::optional<StepOutcome> outcome) {
  outcome_ = std::move(outcome);
  enlarged_ = false;
  result_.set(outcome_ ? outcome_->picture : cv::Mat());
}

void StepView::textures_lost() {
  picture_.textures_lost();
  result_.textures_lost();
}

std::vector<Button> StepView::wanted_buttons(const StepState& state) const {
  if (state.computing) return {};
  if (outcome_) {
    Button leave = button(StepWish::leave,
                          !outcome_->good           ? tr("Leave it")
                          : outcome_->files.empty() ? tr("Go on")
                                                    : tr("Done"),
                          0);
    leave.main = outcome_->good;
    std::vector<Button> buttons;
    if (!outcome_->good) {
      buttons.push_back(button(StepWish::more, tr("Take more pictures"), SDLK_m));
      buttons.back().main = true;
    }
    if (!result_.empty()) {
      buttons.push_back(button(StepWish::leave, enlarged_ ? tr("Show the figures") : tr("Show the picture"), SDLK_p));
      buttons.back().id = kEnlarge;
    }
    buttons.push_back(leave);
    return buttons;
  }
  Button undo = button(StepWish::undo, tr("Take back the last"), SDLK_u);
  undo.enabled = state.can_undo;
  Button compute = button(StepWish::compute, tr("Compute now"), SDLK_c);
  compute.enabled = advice_ && (advice_->enough || advice_->complete);
  return {undo, compute, button(StepWish::leave, tr("Back"), 0)};
}

std::optional<StepWish> StepView::handle(const InputEvent& event) {
  const bool key = event.kind == InputEvent::Kind::key;
  if (key && (event.key == SDLK_ESCAPE || event.key == SDLK_q)) return StepWish::leave;
  const auto id = buttons_.handle(event);
  if (id == kEnlarge) {
    enlarged_ = !enlarged_;
    return std::nullopt;
  }
  return id ? std::optional(static_cast<StepWish>(*id)) : std::nullopt;
}

PageHeader StepView::header(const StepState& state) const {
  PageHeader h;
  h.title = state.title;
  h.right = state.source;
  if (state.computing) {
    h.headline = tr("Computing");
    h.sentence = tr("This may take some seconds. The pictures are complete: nothing needs to be held still.");
  } else if (outcome_) {
    h.mood = outcome_->good ? PageMood::good : PageMood::bad;
    h.headline = outcome_->headline;
    const bool written = !outcome_->files.empty();
    if (outcome_->good && written) h.sentence = tr("It is written to the station's files.");
    if (!outcome_->good && !written) h.sentence = tr("Nothing was written: what the station knew before still holds.");
  } else if (!state.trouble.empty()) {
    h.mood = PageMood::bad;
    h.headline = tr("No picture");
    h.sentence = tr(state.trouble);
  } else if (state.stale || !advice_) {
    h.headline = advice_ ? tr("No picture") : tr("Starting");
    h.sentence = advice_ ? tr("No new picture has come for two seconds. Check the camera's cable.")
                         : tr("The first picture has not come yet.");
    if (advice_) h.mood = PageMood::bad;
  } else {
    h.headline = advice_->headline;
    h.sentence = advice_->sentence;
  }
  return h;
}

void StepView::draw(Canvas& canvas, Text& text, cv::Size screen, const StepState& state) {
  std::vector<Button> buttons = wanted_buttons(state);
  const PageLayout layout = page_layout(screen.width, screen.height, static_cast<int>(buttons.size()));
  canvas.clear(theme::kGround);
  draw_header(canvas, text, layout, header(state));
  if (outcome_ && !state.computing) {
    draw_outcome(canvas, text, layout);
  } else {
    draw_live(canvas, text, layout, state);
  }
  pending_ = {};  // back to its source
  buttons_.set(placed(std::move(buttons), layout));
  buttons_.draw(canvas, text, layout.scale);
}

void StepView::draw_live(Canvas& canvas, Text& text, const PageLayout& layout, const StepState& state) {
  draw_picture(canvas, text, layout, state);
  draw_progress(canvas, text, layout, state);
}

void StepView::draw_picture(Canvas& canvas, Text& text, const PageLayout& layout, const StepState& state) {
  SDL_FRect area = layout.main;
  if (!state.notice.empty()) {
    const float band = layout.scale.mm(kNotice_mm);
    draw_notice(canvas, text, layout.scale, {area.x, area.y, area.w, band}, state.notice);
    area.y += band;
    area.h -= band;
  }
  canvas.rect(area, theme::kPanel);
  if (!pending_.grey.empty()) {
    const PictureRegion region = fit_region(pending_.grey.size(), {}, 0, area);
    picture_.upload(canvas.renderer(), pending_.grey, region);
  }
  if (picture_.empty()) return;
  picture_.draw(canvas);
  if (state.computing || state.stale || !advice_) return;
  draw_step_marks(canvas, text, layout.scale, picture_.region(), advice_->marks);
  if (state.flash) draw_flash(canvas, text, layout.scale, picture_.region().screen);
}

void StepView::draw_progress(Canvas& canvas, Text& text, const PageLayout& layout, const StepState& state) const {
  const Scale& scale = layout.scale;
  const SDL_FRect& area = layout.side;
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(kPad_mm);
  const float left = area.x + pad, width = area.w - 2.0F * pad;
  const SDL_FRect bar{left, area.y + pad, width - scale.mm(14.0), scale.mm(4.6)};
  const TextStyle number{Weight::bold, scale.text_mm(3.6)};
  if (state.computing) {
    // It moves to and fro, for nobody knows how long it takes.
    const auto from = static_cast<float>(0.35 - 0.35 * std::cos(2.5 * state.computing_s));
    draw_bar(canvas, scale, {bar.x, bar.y, width, bar.h}, from, from + 0.3F, theme::kRing);
    return;
  }
  if (!advice_) return;
  const double progress = std::clamp(std::isfinite(advice_->progress) ? advice_->progress : 0.0, 0.0, 1.0);
  draw_bar(canvas, scale, bar, 0.0F, static_cast<float>(progress), theme::kWithin);
  const std::string percent = std::to_string(static_cast<int>(std::floor(100.0 * progress + 1e-9))) + " %";
  text.draw_right(number, {left + width, bar.y + (bar.h + static_cast<float>(number.height_px)) / 2.0F}, percent,
                  theme::kText);
  std::vector<std::string> lines = advice_->details;
  const float top = bar.y + bar.h + scale.mm(3.5);
  float bottom = area.y + area.h - scale.mm(1.5);
  if (!state.remark.empty()) {
    const TextStyle style = text.fitted({Weight::bold, scale.text_mm(2.6)}, state.remark, width);
    bottom -= scale.mm(1.5);
    text.draw(style, {left, bottom}, state.remark, theme::kText);
    bottom -= scale.mm(4.5);
  }
  draw_paragraphs(text, {Weight::regular, scale.text_mm(2.7)}, {left, top, width, bottom - top}, lines, scale.mm(1.8),
                  theme::kText);
}

// Few lines stand beside a large picture; many take its place, and the picture stands small in the column.
void StepView::draw_outcome(Canvas& canvas, Text& text, const PageLayout& layout) {
  const Scale& scale = layout.scale;
  const float pad = scale.mm(kPad_mm), gap = scale.mm(2.5), between = scale.mm(1.6);
  const auto inside = [&](const SDL_FRect& r) {
    return SDL_FRect{r.x + pad, r.y + pad, r.w - 2.0F * pad, r.h - 2.0F * pad};
  };
  const auto panel = [&](const SDL_FRect& r) { canvas.rounded_rect(r, scale.mm(1.2), theme::kPanel); };
  const TextStyle style{Weight::regular, scale.text_mm(3.2)};
  SDL_FRect lines = layout.main, side = layout.side;
  if (enlarged_) {
    panel(layout.main);
    result_.draw(canvas, layout.main);
  } else if (!result_.empty()) {
    auto [picture, rest] = cut(layout.main, layout.landscape ? 0.52F : 0.0F, layout.landscape ? 0.0F : 0.5F, gap);
    if (paragraphs_fit(text, style, inside(rest), outcome_->lines, between)) {
      lines = rest;
    } else {
      std::tie(picture, side) = cut(side, layout.landscape ? 0.0F : 0.5F, layout.landscape ? 0.62F : 0.0F, gap);
    }
    panel(picture);
    result_.draw(canvas, picture);
  }
  if (!enlarged_) {
    panel(lines);
    draw_paragraphs(text, style, inside(lines), outcome_->lines, between, theme::kText);
  }
  panel(side);
  std::vector<std::string> files;
  if (!outcome_->files.empty()) files.emplace_back(tr("Written:"));
  for (const auto& file : outcome_->files) files.push_back(file.filename().string());
  if (!outcome_->files.empty() && outcome_->files.front().has_parent_path())
    files.push_back(format(tr("in %s"), outcome_->files.front().parent_path().string()));
  canvas.clip(side);
  draw_paragraphs(text, {Weight::regular, scale.text_mm(2.5)}, inside(side), files, scale.mm(0.8), theme::kTextQuiet);
  canvas.unclip();
}

}  // namespace app

#include "app/views/ruler_entry.h"

#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Line { kRight, kUp, kTurn, kLines };
constexpr int kSteps = 4, kStride = 10;
constexpr double kFine_deg = 0.1, kCoarse_deg = 1.0, kMost_deg = 180.0, kMost_mm = 500.0;

struct Step {
  int steps;
  bool coarse;
};
constexpr Step kStep[kSteps] = {{-1, true}, {-1, false}, {1, false}, {1, true}};

std::string degree_label(const Step& step) {
  const double by = step.coarse ? kCoarse_deg : kFine_deg;
  return format(step.steps < 0 ? "\u2212%s°" : "+%s°", number(by, step.coarse ? 0 : 1));
}

}  // namespace

Inspection RulerEntry::found() const {
  Inspection one = found_;
  // A ruler laid along one side only says that the other is right.
  const bool typed = std::isfinite(one.offset_x_mm) || std::isfinite(one.offset_y_mm);
  for (double* side : {&one.offset_x_mm, &one.offset_y_mm})
    if (typed && !std::isfinite(*side)) *side = 0.0;
  one.found_by = typed || std::isfinite(one.rotation_deg) ? FoundBy::ruler : FoundBy::eye;
  return one;
}

double& RulerEntry::value(int line) {
  return line == kRight ? found_.offset_x_mm : line == kUp ? found_.offset_y_mm : found_.rotation_deg;
}

std::string RulerEntry::words(int line, Units units) const {
  const double now = line == kRight ? found_.offset_x_mm : line == kUp ? found_.offset_y_mm : found_.rotation_deg;
  if (!std::isfinite(now)) {
    constexpr const char* kUnknown[kLines] = {noop("left or right: not measured"), noop("up or down: not measured"),
                                              noop("turn: not measured")};
    return tr(kUnknown[line]);
  }
  if (line == kTurn)
    return format(now < 0.0 ? tr("%s° clockwise") : tr("%s° counter-clockwise"), number(std::abs(now), 1));
  const std::string length = length_text(std::abs(now), LengthKind::guide, units);
  if (line == kRight) return format(now < 0.0 ? tr("%s left") : tr("%s right"), length);
  return format(now < 0.0 ? tr("%s down") : tr("%s up"), length);
}

std::vector<Button> RulerEntry::placed(const SDL_FRect& area, const Scale& scale, Units units) {
  std::vector<Button> all;
  const float gap = scale.mm(2.5);
  const float height = std::min((area.h - 2.0F * gap) / 3.0F, scale.mm(20.0));
  const float wide = area.w * 0.34F, step_wide = (area.w - wide - 4.0F * gap) / 4.0F;
  for (int line = 0; line < kLines; ++line) {
    const float y = area.y + static_cast<float>(line) * (height + gap);
    float x = area.x;
    for (int step = 0; step < kSteps; ++step) {
      if (step == kSteps / 2) {
        captions_[line] = {x, y, wide, height};
        x += wide + gap;
      }
      Button one;
      one.id = kFirst + kStride * line + step;
      one.label = line == kTurn ? degree_label(kStep[step])
                                : step_label(kStep[step].steps, kStep[step].coarse, LengthKind::guide, units);
      one.area = {x, y, step_wide, height};
      all.push_back(one);
      x += step_wide + gap;
    }
  }
  return all;
}

void RulerEntry::draw_captions(Canvas& canvas, Text& text, const Scale& scale, Units units) const {
  for (int line = 0; line < kLines; ++line) {
    const SDL_FRect& area = captions_[line];
    canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const std::string said = words(line, units);
    const TextStyle style = text.fitted({Weight::bold, scale.text_mm(3.6)}, said, area.w - scale.mm(3.0));
    text.draw(style, {area.x + (area.w - text.width(style, said)) / 2.0F, area.y + area.h / 2.0F + scale.mm(1.3)}, said,
              theme::kText);
  }
}

bool RulerEntry::press(int id, Units units) {
  if (id < kFirst || id >= kEnd) return false;
  const int line = (id - kFirst) / kStride, at = (id - kFirst) % kStride;
  if (line >= kLines || at >= kSteps) return false;
  double& now = value(line);
  const double before = std::isfinite(now) ? now : 0.0;
  const Step& step = kStep[at];
  if (line == kTurn) {
    const double by = step.steps * (step.coarse ? kCoarse_deg : kFine_deg);
    now = std::clamp(std::round((before + by) / kFine_deg) * kFine_deg, -kMost_deg, kMost_deg);
  } else {
    now = std::clamp(stepped_mm(before, step.steps, step.coarse, LengthKind::guide, units), -kMost_mm, kMost_mm);
  }
  return true;
}

}  // namespace app

#include "app/views/work_fit.h"

#include "app/fit/fit_words.h"

namespace app {

std::vector<FitLine> fit_lines(const std::optional<PieceAnswer>& answer, Units units) {
  if (!answer) return {};
  std::vector<FitLine> lines{{fit_line(answer->fit, units), !answer->fit.fits}};
  if (std::string advice = advice_line(answer->advice, units); !advice.empty())
    lines.push_back({std::move(advice), false});
  return lines;
}

std::vector<std::string> way_lines(const PieceAnswer& answer, Units units) {
  std::vector<std::string> lines;
  if (answer.fit.slide_mm) lines.push_back(slide_line(*answer.fit.slide_mm, units));
  if (answer.fit.turn_deg) lines.push_back(turn_line(*answer.fit.turn_deg));
  // Said where neither alone helps; else they are shorter.
  if (lines.empty() && answer.fit.hoop_from_design_nearest)
    lines.push_back(nearest_line(*answer.fit.hoop_from_design_nearest, answer.fitted_at(), units));
  return lines;
}

void draw_ways(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area,
               const std::vector<std::string>& lines) {
  const float pad = scale.mm(1.5), pitch = scale.mm(4.2);
  float y = area.y + area.h - pad - static_cast<float>(lines.size()) * pitch;
  for (const std::string& line : lines) {
    const TextStyle style = text.fitted({Weight::regular, scale.text_mm(2.4)}, line, area.w - 4.0F * pad);
    const float width = text.width(style, line) + 2.0F * pad;
    canvas.rounded_rect({area.x + pad, y, width, pitch}, scale.mm(0.8), theme::kPanelRaised);
    text.draw(style, {area.x + 2.0F * pad, y + 0.5F * (pitch + static_cast<float>(style.height_px))}, line,
              theme::kText);
    y += pitch;
  }
}

}  // namespace app

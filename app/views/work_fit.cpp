#include "app/views/work_fit.h"

#include <cmath>

#include "app/fit/fit_words.h"
#include "app/screen/text_block.h"

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

std::string what_to_do(const PieceAnswer& answer, Units units) {
  // A small move is said with its numbers, as a slide or a turn alone where the other one is next to nothing.
  if (const auto& nearest = answer.fit.hoop_from_design_nearest; answer.advice.way == FitWay::move && nearest) {
    constexpr double kNothing_mm = 0.05, kNothing_deg = 0.05;
    const vision::Pose2& from = answer.fitted_at();
    const double turn_deg = vision::wrapped_rad(nearest->angle_rad - from.angle_rad) * vision::kDegPerRad;
    if (std::abs(turn_deg) < kNothing_deg && answer.fit.slide_mm) return slide_line(*answer.fit.slide_mm, units);
    if (cv::norm(nearest->origin_mm - from.origin_mm) < kNothing_mm && answer.fit.turn_deg)
      return turn_line(*answer.fit.turn_deg);
    return nearest_line(*nearest, from, units);
  }
  if (std::string advice = advice_line(answer.advice, units); !advice.empty()) return advice;
  return fit_line(answer.fit, units);
}

void draw_ways(Text& text, const Scale& scale, const SDL_FRect& area, const std::vector<std::string>& lines) {
  const float pad = scale.mm(1.0);
  draw_paragraphs(text, {Weight::regular, scale.text_mm(2.3)},
                  {area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - pad}, lines, scale.mm(0.6), theme::kText);
}

}  // namespace app

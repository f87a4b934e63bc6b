#include "app/views/records/facts.h"

#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/views/records/dart_board.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kProbably = 0.05;  // a mean that chance gives less often is called off

std::string length(double mm, Units units) { return length_text(mm, LengthKind::guide, units); }
int percent(double share) { return static_cast<int>(std::lround(100.0 * share)); }

Fact within_fact(const PlacementFigures& figures) {
  const double share = static_cast<double>(figures.within) / static_cast<double>(figures.count);
  return {tr("In tolerance"), format(tr("%zu of %zu"), figures.within, figures.count),
          format(tr("%d %%; of many more like these %d to %d %%"), percent(share), percent(figures.within_share.low),
                 percent(figures.within_share.high))};
}

Fact mean_fact(const PlacementFigures& figures, Units units) {
  const OffsetScatter& offset = figures.offset;
  Fact fact{tr("Mean place"), offset_words(offset.mean_mm.x, offset.mean_mm.y, units), ""};
  if (!(offset.no_bias_p <= 1.0))
    fact.detail = tr("too few pieces to say more");
  else if (offset.no_bias_p < kProbably)
    fact.detail = tr("probably off: chance seldom gives so much");
  else
    fact.detail = tr("chance alone may give as much");
  return fact;
}

Fact turn_fact(const PlacementFigures& figures) {
  Fact fact{tr("Mean turn"), turn_words(figures.rotation.mean_deg), ""};
  fact.detail = figures.rotation_half_deg ? format(tr("give or take %s°"), number(*figures.rotation_half_deg, 2))
                                          : std::string(tr("too few pieces to say more"));
  return fact;
}

Fact circle_fact(const PlacementFigures& figures, Units units) {
  if (!circle_shown(figures)) return {tr("95 of 100 within"), "-", tr("too few pieces to say")};
  Fact fact{tr("95 of 100 within"), length(figures.circle.radius_mm, units),
            tr("of the middle; a guess from few pieces")};
  if (const auto& sure = figures.circle.interval)
    fact.detail = format(tr("of the middle; %s to %s"), length(sure->low, units), length(sure->high, units));
  return fact;
}

Fact time_fact(const PlacementFigures& figures) {
  Fact fact{tr("Hooping"), "-", ""};
  const int first_try = percent(figures.first_try_share);
  if (figures.median_seconds > 0.0) {
    fact.value = format(tr("%s s"), number(figures.median_seconds, 0));
    fact.detail = format(tr("half took longer; %d %% at the first try"), first_try);
  } else {
    fact.detail = format(tr("%d %% at the first try"), first_try);
  }
  return fact;
}

}  // namespace

void draw_facts(Text& text, const Scale& scale, const SDL_FRect& area, std::span<const Fact> facts,
                const FactSizes& sizes) {
  if (facts.empty()) return;
  const float pitch = std::min(scale.mm(sizes.pitch_mm), area.h / static_cast<float>(facts.size()));
  const float left = std::min(scale.mm(sizes.caption_width_mm), 0.3F * area.w);
  const float room = area.w - left;
  // Where lines stand closer than meant, letters are smaller in the same measure.
  const double smaller = std::min(1.0, pitch / scale.mm(sizes.pitch_mm) * 1.15);
  const TextStyle caption{Weight::regular, scale.text_mm(sizes.caption_mm * smaller)};
  const TextStyle value{Weight::bold, scale.text_mm(sizes.value_mm * smaller)};
  const TextStyle detail{Weight::regular, scale.text_mm(sizes.detail_mm * smaller)};
  float y = area.y;
  for (const Fact& fact : facts) {
    const float base = y + 1.2F * static_cast<float>(value.height_px);
    text.draw(text.fitted(caption, fact.caption, left - scale.mm(1.5)), {area.x, base}, fact.caption,
              theme::kTextQuiet);
    text.draw(text.fitted(value, fact.value, room), {area.x + left, base}, fact.value, theme::kText);
    if (!fact.detail.empty())
      text.draw(text.fitted(detail, fact.detail, room),
                {area.x + left, base + 1.9F * static_cast<float>(detail.height_px)}, fact.detail, theme::kTextQuiet);
    y += pitch;
  }
}

std::string offset_words(double x_mm, double y_mm, Units units) {
  if (!std::isfinite(x_mm) || !std::isfinite(y_mm)) return "-";
  // What is shown as nothing is not spoken of.
  const double nothing_mm = 0.5 * shown_step_mm(0.0, LengthKind::guide, units);
  const bool aside = std::abs(x_mm) >= nothing_mm, high = std::abs(y_mm) >= nothing_mm;
  const std::string x = length(std::abs(x_mm), units), y = length(std::abs(y_mm), units);
  if (!aside && !high) return tr("in the middle");
  if (!high) return format(x_mm < 0.0 ? tr("%s left") : tr("%s right"), x);
  if (!aside) return format(y_mm < 0.0 ? tr("%s low") : tr("%s high"), y);
  // By left, low.
  constexpr const char* kWords[2][2] = {{noop("%s right, %s high"), noop("%s right, %s low")},
                                        {noop("%s left, %s high"), noop("%s left, %s low")}};
  return format(tr(kWords[x_mm < 0.0][y_mm < 0.0]), x, y);
}

std::string turn_words(double turn_deg) {
  constexpr double kNothing_deg = 0.05;
  if (!std::isfinite(turn_deg)) return "-";
  if (std::abs(turn_deg) < kNothing_deg) return tr("straight");
  return format(turn_deg < 0.0 ? tr("%s° clockwise") : tr("%s° counter-clockwise"), number(std::abs(turn_deg), 1));
}

std::vector<Fact> board_facts(const RecordsSeen& seen, Units units) {
  const PlacementFigures& figures = seen.figures;
  if (figures.count == 0) return {};
  Fact station{tr("The station"), format(tr("reads to %s"), length_text(seen.station_u_mm, LengthKind::fine, units)),
               tr("its own doubt is part of all this")};
  return {within_fact(figures),        mean_fact(figures, units), turn_fact(figures),
          circle_fact(figures, units), time_fact(figures),        std::move(station)};
}

}  // namespace app

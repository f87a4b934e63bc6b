#include "app/views/records/trend_drawing.h"

#include <algorithm>
#include <cmath>
#include <ctime>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kCaption_mm = 2.2;
constexpr std::int64_t kDay_s = 86400;
constexpr std::size_t kSignalsShown = 3;  // as marks and as sentences: the newest

// Where a figure stands in the drawing.
struct Axes {
  SDL_FRect area{};
  std::int64_t first_s = 0, last_s = 1;
  double low = 0.0, high = 1.0;
  float x(std::int64_t time_s) const {
    return area.x +
           area.w * static_cast<float>(static_cast<double>(time_s - first_s) / static_cast<double>(last_s - first_s));
  }
  float y(double value) const {
    return area.y + area.h * static_cast<float>(1.0 - (std::clamp(value, low, high) - low) / (high - low));
  }
};

std::string value_text(double value, TrendOf of, Units units) {
  if (of == TrendOf::turn) return number(value, 1) + "°";
  return length_text(value, LengthKind::guide, units);
}

std::string date_text(std::int64_t time_s) {
  const std::time_t time = time_s;
  std::tm here{};
  ::localtime_r(&time, &here);
  char text[20];
  return std::strftime(text, sizeof text, "%m-%d", &here) > 0 ? text : "";
}

Axes axes_of(const SDL_FRect& area, const Trend& trend, const TrendRow& row, TrendOf of) {
  Axes axes;
  axes.area = area;
  const std::int64_t half = (trend.days ? kDay_s : 7 * kDay_s) * 6 / 10;
  axes.first_s = row.bins.front().begin_s - half;
  axes.last_s = row.bins.back().begin_s + half;
  const double tolerance = of == TrendOf::turn ? trend.tolerance_deg : trend.tolerance_mm;
  double reach = std::max(1e-3, 1.15 * tolerance);
  // An interval of two pieces may be wide beyond use: it is cut at the drawing's edge.
  for (const TrendBin& one : row.bins) reach = std::max(reach, 1.25 * std::abs(one.mean));
  axes.low = of == TrendOf::distance ? 0.0 : -reach;
  axes.high = reach;
  return axes;
}

void draw_grid(Canvas& canvas, Text& text, const Scale& scale, const Axes& axes, const Trend& trend, TrendOf of,
               Units units) {
  const TextStyle small{Weight::regular, scale.text_mm(kCaption_mm)};
  const float left = axes.area.x, right = axes.area.x + axes.area.w, line = scale.mm(0.3);
  const double tolerance = of == TrendOf::turn ? trend.tolerance_deg : trend.tolerance_mm;
  const auto caption = [&](double value) {
    text.draw_right(small, {left - scale.mm(1.5), axes.y(value) + static_cast<float>(small.height_px) / 2.0F},
                    value_text(value, of, units), theme::kTextQuiet);
  };
  canvas.line({left, axes.y(0.0)}, {right, axes.y(0.0)}, line, theme::kRule);
  caption(0.0);
  for (const double sign : {1.0, -1.0}) {
    if (!(tolerance > 0.0) || sign * tolerance < axes.low) continue;
    canvas.dashed_line({left, axes.y(sign * tolerance)}, {right, axes.y(sign * tolerance)}, scale.mm(0.5),
                       scale.mm(2.0), theme::kText);
    caption(sign * tolerance);
  }
}

// Some dates below, never two over each other.
void draw_dates(Text& text, const Scale& scale, const Axes& axes, const TrendRow& row) {
  const TextStyle small{Weight::regular, scale.text_mm(kCaption_mm)};
  const float base = axes.area.y + axes.area.h + scale.mm(4.2);
  float free_from = axes.area.x - scale.mm(10.0);
  for (const TrendBin& one : row.bins) {
    const std::string date = date_text(one.begin_s);
    const float half = text.width(small, date) / 2.0F, x = axes.x(one.begin_s);
    if (x - half < free_from || x + half > axes.area.x + axes.area.w + scale.mm(3.0)) continue;
    text.draw_centred(small, {x, base}, date, theme::kTextQuiet);
    free_from = x + half + scale.mm(3.0);
  }
}

void draw_bin(Canvas& canvas, const Scale& scale, const Axes& axes, const TrendBin& one) {
  const SDL_FPoint at{axes.x(one.begin_s), axes.y(one.mean)};
  const bool full = one.count >= kFullBin;
  if (one.of_mean) {
    const float half = scale.mm(full ? 1.3 : 0.3);
    const float top = axes.y(one.of_mean->high), bottom = axes.y(one.of_mean->low);
    canvas.rect({at.x - half, top, 2.0F * half, std::max(1.0F, bottom - top)}, with_alpha(theme::kRing, 90));
  }
  canvas.disc(at, scale.mm(1.3), theme::kGround);
  canvas.disc(at, scale.mm(1.0), theme::kRing);
  if (!full) canvas.disc(at, scale.mm(0.6), theme::kPanel);  // too few to be judged
}

// The newest signals, one a place.
std::vector<ControlSignal> signals_shown(const TrendRow& row) {
  std::vector<ControlSignal> out;
  for (auto signal = row.signals.rbegin(); signal != row.signals.rend() && out.size() < kSignalsShown; ++signal)
    if (std::none_of(out.begin(), out.end(), [&](const ControlSignal& one) { return one.at == signal->at; }))
      out.push_back(*signal);
  std::reverse(out.begin(), out.end());
  return out;
}

const char* rule_words(ControlRule rule) {
  switch (rule) {
    case ControlRule::beyond_3_sigma:
      return noop("%s, %s: far off from all others (1 beyond 3 sigma)");
    case ControlRule::two_beyond_2:
      return noop("%s, %s: twice of three times off the same way (2 of 3 beyond 2 sigma)");
    case ControlRule::four_beyond_1:
      return noop("%s, %s: mostly off the same way (4 of 5 beyond 1 sigma)");
    case ControlRule::eight_on_one_side:
      return noop("%s, %s: 8 in a row on one side of the middle");
  }
  return "";
}

}  // namespace

const char* trend_name(TrendOf of) {
  switch (of) {
    case TrendOf::distance:
      return tr("Distance");
    case TrendOf::right:
      return tr("Left, right");
    case TrendOf::up:
      return tr("Low, high");
    case TrendOf::turn:
      return tr("Turn");
  }
  return "";
}

void draw_trend(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Trend& trend, TrendOf of,
                Units units) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const TrendRow& row = trend.rows[static_cast<std::size_t>(of)];
  if (row.bins.empty()) return;
  const float left = scale.mm(17.0), pad = scale.mm(3.0), below = scale.mm(6.5);
  const SDL_FRect inner{area.x + left, area.y + pad, area.w - left - pad, area.h - pad - below};
  const Axes axes = axes_of(inner, trend, row, of);
  draw_grid(canvas, text, scale, axes, trend, of, units);
  draw_dates(text, scale, axes, row);
  if (row.chart)
    canvas.line({inner.x, axes.y(row.chart->centre)}, {inner.x + inner.w, axes.y(row.chart->centre)}, scale.mm(0.3),
                theme::kTextQuiet);
  std::vector<SDL_FPoint> means;
  for (const TrendBin& one : row.bins) means.push_back({axes.x(one.begin_s), axes.y(one.mean)});
  if (means.size() > 1) canvas.polyline(means, false, scale.mm(0.4), with_alpha(theme::kRing, 150));
  for (const TrendBin& one : row.bins) draw_bin(canvas, scale, axes, one);
  const TextStyle bold{Weight::bold, scale.text_mm(2.6)};
  int place = 0;
  for (const ControlSignal& signal : signals_shown(row)) {
    const SDL_FPoint at = means[signal.at];
    canvas.circle(at, scale.mm(2.2), scale.mm(0.6), theme::kMove);
    const bool over = at.y - scale.mm(7.0) > inner.y;
    text.draw_centred(bold, {at.x, over ? at.y - scale.mm(3.2) : at.y + scale.mm(6.2)}, std::to_string(++place),
                      theme::kMove);
  }
}

std::string verdict_words(const Trend& trend, Units units) {
  const TrendVerdict& verdict = trend.verdict;
  const std::string from = length_text(verdict.from_mm, LengthKind::guide, units);
  const std::string to = length_text(verdict.to_mm, LengthKind::guide, units);
  switch (verdict.kind) {
    case TrendVerdict::Kind::better:
      return format(tr("It is getting better: from %s off to %s, on average."), from, to);
    case TrendVerdict::Kind::worse:
      return format(tr("It is getting worse: from %s off to %s, on average."), from, to);
    case TrendVerdict::Kind::no_change:
      return tr("Neither better nor worse, as far as these pieces tell.");
    case TrendVerdict::Kind::too_few:
      break;
  }
  return trend.days ? tr("Too few days with pieces to tell whether it gets better.")
                    : tr("Too few weeks with pieces to tell whether it gets better.");
}

std::vector<std::string> signal_words(const TrendRow& row, bool days) {
  if (!row.chart)
    return {format(tr("A control chart wants %zu means of %zu pieces at least."), kBinsForChart, kFullBin)};
  std::vector<std::string> out;
  for (const ControlSignal& signal : signals_shown(row)) {
    const std::string place = std::to_string(out.size() + 1);
    const std::string date =
        format(days ? tr("the day %s") : tr("the week from %s"), date_text(row.bins[signal.at].begin_s));
    out.push_back(format(tr(rule_words(signal.rule)), place, date));
  }
  if (out.empty()) out.emplace_back(tr("No sign of a change beyond chance (Western Electric rules)."));
  return out;
}

}  // namespace app

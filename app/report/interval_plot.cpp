#include <algorithm>
#include <cmath>

#include "app/report/plot_axis.h"
#include "app/report/plots.h"

namespace app {
namespace {

constexpr double kWidth = 720.0, kLeft = 190.0, kRight = 640.0, kTop = 12.0, kRow = 28.0, kFoot = 42.0;
constexpr std::size_t kLongestName = 26;  // signs

// UTF-8 is cut between signs.
std::string shortened(const std::string& name) {
  std::size_t signs = 0;
  for (std::size_t i = 0; i < name.size(); ++i)
    if ((static_cast<unsigned char>(name[i]) & 0xC0U) != 0x80U && ++signs > kLongestName)
      return name.substr(0, i) + "\u2026";
  return name;
}

}  // namespace

Svg interval_plot(const std::vector<std::string>& names, const Comparison& comparison) {
  const auto rows = static_cast<double>(names.size());
  Svg svg(kWidth, kTop + rows * kRow + kFoot, "Mean distance from the mark, as a share of the tolerance, by operator",
          "Per cent of the tolerance, with the 95 % interval of each mean");
  double most = 1.0;
  for (const GroupFigures& one : comparison.groups)
    if (one.count > 0) most = std::max({most, one.mean, std::isfinite(one.interval.high) ? one.interval.high : 0.0});
  const double foot = kTop + rows * kRow;
  const PlotAxis axis{0.0, 1.08 * most, kLeft, kRight};
  svg.rectangle("ground", {kLeft, kTop, kRight - kLeft, foot - kTop});
  const double step = tick_step(axis.high, 8);
  for (const double tick : ticks(0.0, axis.high, 8)) {
    svg.line("grid", {axis.px(tick), kTop}, {axis.px(tick), foot});
    svg.text("quiet", {axis.px(tick), foot + 16.0}, Anchor::middle, tick_text(tick, step));
  }
  svg.text("quiet", {0.5 * (kLeft + kRight), foot + 34.0}, Anchor::middle,
           "mean distance from the mark, % of the tolerance");
  for (std::size_t i = 0; i < names.size(); ++i) {
    const GroupFigures& one = comparison.groups[i];
    const double y = kTop + (static_cast<double>(i) + 0.5) * kRow;
    svg.text("", {kLeft - 10.0, y + 4.0}, Anchor::end, shortened(names[i]));
    svg.text("quiet", {kRight + 8.0, y + 4.0}, Anchor::start, counted(one.count, "piece", "pieces"));
    if (one.count == 0) continue;
    if (std::isfinite(one.interval.low))
      svg.line("bar", {axis.px(one.interval.low), y}, {axis.px(one.interval.high), y});
    svg.diamond("point", {axis.px(one.mean), y}, 6.0);
  }
  return svg;
}

}  // namespace app

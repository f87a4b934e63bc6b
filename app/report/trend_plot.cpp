#include <algorithm>
#include <cmath>

#include "app/report/plot_axis.h"
#include "app/report/plots.h"

namespace app {
namespace {

constexpr double kWidth = 720.0, kLeft = 64.0, kRight = 700.0;
constexpr double kTop = 26.0, kPanel = 150.0, kBetween = 46.0, kFoot = 30.0;
constexpr std::size_t kMostLabels = 9;

struct PanelPoint {
  double value = 0.0;
  Interval interval;  // NaN: none
};

class Trend {
 public:
  Trend(const ReportTrend& trend, const ReportWords& words)
      : trend_(trend),
        words_(words),
        svg_(kWidth, kTop + 2.0 * kPanel + kBetween + kFoot, "The trend",
             "Mean distance from the mark and share in tolerance of " +
                 counted(trend.periods.size(), "period", "periods") + ", each with its 95 % interval") {}

  Svg drawn(double tolerance_mm) {
    distance_panel(in_units(tolerance_mm, words_.units()));
    share_panel();
    return svg_;
  }

 private:
  double x(std::size_t i) const {
    const auto n = static_cast<double>(trend_.periods.size());
    return kLeft + (static_cast<double>(i) + 0.5) / n * (kRight - kLeft);
  }

  void distance_panel(double tolerance) {
    std::vector<PanelPoint> points;
    double most = tolerance;
    for (const TrendPeriod& one : trend_.periods) {
      const auto in = [&](double mm) { return in_units(mm, words_.units()); };
      points.push_back({in(one.distance_mm.mean), {in(one.mean_distance_mm.low), in(one.mean_distance_mm.high)}});
      most = std::max(most, points.back().value);
      // A wide interval of a few pieces is cut rather than pressing all others flat.
      if (one.count >= 5) most = std::max(most, points.back().interval.high);
    }
    const PlotAxis axis{0.0, most > 0.0 ? 1.08 * most : 1.0, kTop + kPanel, kTop};
    frame(axis, std::string("Mean distance from the mark, ") + words_.unit(), false);
    if (tolerance > 0.0) {
      svg_.line("tolerance", {kLeft, axis.px(tolerance)}, {kRight, axis.px(tolerance)});
      svg_.text("quiet", {kRight - 4.0, axis.px(tolerance) + 14.0}, Anchor::end, "tolerance");
    }
    row(axis, points);
  }

  void share_panel() {
    std::vector<PanelPoint> points;
    double least = 0.9;
    for (const TrendPeriod& one : trend_.periods) {
      points.push_back({static_cast<double>(one.within) / static_cast<double>(one.count), one.within_share});
      least = std::min(least, one.within_share.low);
    }
    for (PanelPoint& one : points) one = {100.0 * one.value, {100.0 * one.interval.low, 100.0 * one.interval.high}};
    const double top = kTop + kPanel + kBetween;
    const PlotAxis axis{std::max(0.0, std::floor(least * 10.0) * 10.0), 100.0, top + kPanel, top};
    frame(axis, "Share in tolerance, %", true);
    row(axis, points);
  }

  void frame(const PlotAxis& axis, const std::string& title, bool with_labels) {
    svg_.rectangle("ground", {kLeft, axis.at_high, kRight - kLeft, axis.at_low - axis.at_high});
    svg_.text("strong", {kLeft, axis.at_high - 9.0}, Anchor::start, title);
    const double step = tick_step(axis.high - axis.low, 5);
    for (const double tick : ticks(axis.low, axis.high, 5)) {
      svg_.line("grid", {kLeft, axis.px(tick)}, {kRight, axis.px(tick)});
      svg_.text("quiet", {kLeft - 7.0, axis.px(tick) + 4.0}, Anchor::end, tick_text(tick, step));
    }
    const std::size_t every = (trend_.periods.size() + kMostLabels - 1) / kMostLabels;
    for (std::size_t i = 0; with_labels && i < trend_.periods.size(); i += every)
      svg_.text("quiet", {x(i), axis.at_low + 17.0}, Anchor::middle, trend_.periods[i].label);
  }

  void row(const PlotAxis& axis, const std::vector<PanelPoint>& points) {
    const auto y = [&](double value) { return axis.px(std::clamp(value, axis.low, axis.high)); };
    std::vector<cv::Point2d> upper, lower, line;
    const auto band = [&] {
      std::reverse(lower.begin(), lower.end());
      upper.insert(upper.end(), lower.begin(), lower.end());
      if (upper.size() > 2) svg_.polygon("band", upper);
      upper.clear(), lower.clear();
    };
    for (std::size_t i = 0; i < points.size(); ++i) {
      line.emplace_back(x(i), y(points[i].value));
      if (!std::isfinite(points[i].interval.low)) {
        band();
        continue;
      }
      upper.emplace_back(x(i), y(points[i].interval.high));
      lower.emplace_back(x(i), y(points[i].interval.low));
    }
    band();
    svg_.polyline("row", line);
    // Each period's interval also as a stroke, which stands alone where there is no neighbour.
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (std::isfinite(points[i].interval.low))
        svg_.line("axis", {x(i), y(points[i].interval.low)}, {x(i), y(points[i].interval.high)});
      svg_.disc("point", line[i], 3.4);
    }
  }

  const ReportTrend& trend_;
  const ReportWords& words_;
  Svg svg_;
};

}  // namespace

Svg trend_plot(const ReportTrend& trend, double tolerance_mm, const ReportWords& words) {
  return Trend(trend, words).drawn(tolerance_mm);
}

}  // namespace app

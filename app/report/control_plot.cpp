#include <algorithm>
#include <cmath>
#include <map>

#include "app/report/plot_axis.h"
#include "app/report/plots.h"

namespace app {
namespace {

constexpr double kWidth = 720.0, kLeft = 64.0, kRight = 640.0;
constexpr double kTop = 22.0, kBetween = 26.0, kFoot = 8.0;
constexpr double kIndividuals = 120.0, kRanges = 62.0, kAverages = 84.0;

class Chart {
 public:
  Chart(const PlacementTrend::Row& row, const ControlPlot& what)
      : row_(row),
        what_(what),
        svg_(kWidth, kTop + kIndividuals + kRanges + kAverages + 2.0 * kBetween + kFoot, what.name + ", control charts",
             counted(row.values.size(), "piece", "pieces") + "; " + counted(row.signals.size(), "signal", "signals")) {}

  Svg drawn() {
    individuals();
    ranges();
    averages();
    return svg_;
  }

 private:
  double x(std::size_t i) const {
    return kLeft + (static_cast<double>(i) + 0.5) / static_cast<double>(row_.values.size()) * (kRight - kLeft);
  }

  void individuals() {
    const IndividualsChart& chart = row_.individuals;
    const PlotAxis axis = scale(row_.values, chart.limits, kTop, kIndividuals);
    frame(axis, what_.name + ", each piece, " + what_.unit);
    centre(axis, chart.centre, "mean");
    limit(axis, chart.limits.high, "+3 sigma");
    limit(axis, chart.limits.low, "\u22123 sigma");
    draw_row(axis, row_.values, 0);
    std::map<std::size_t, std::string> rules;  // of a piece, "1" or "2, 4"
    for (const ControlSignal& one : row_.signals) {
      std::string& text = rules[one.at];
      const std::string number = std::to_string(static_cast<int>(one.rule) + 1);
      if (text.find(number) == std::string::npos) text += (text.empty() ? "" : ",") + number;
    }
    for (const auto& [at, text] : rules) {
      const cv::Point2d p(x(at), axis.px(row_.values[at]));
      svg_.diamond("out", p, 5.2);
      const bool above = row_.values[at] > chart.centre;
      svg_.text("alarm", {p.x, p.y + (above ? -8.0 : 17.0)}, Anchor::middle, text);
    }
  }

  void ranges() {
    std::vector<double> ranges;
    for (std::size_t i = 1; i < row_.values.size(); ++i)
      ranges.push_back(std::abs(row_.values[i] - row_.values[i - 1]));
    const double top = kTop + kIndividuals + kBetween;
    PlotAxis axis = scale(ranges, {0.0, row_.individuals.range_limit}, top, kRanges);
    axis.low = 0.0;
    frame(axis, "Moving range of neighbours");
    centre(axis, row_.individuals.mean_range, "mean");
    limit(axis, row_.individuals.range_limit, "limit");
    draw_row(axis, ranges, 1);
    for (std::size_t i = 0; i < ranges.size(); ++i)
      if (ranges[i] > row_.individuals.range_limit) svg_.diamond("out", {x(i + 1), axis.px(ranges[i])}, 5.0);
  }

  void averages() {
    const double top = kTop + kIndividuals + kRanges + 2.0 * kBetween;
    const EwmaChart& ewma = row_.ewma;
    if (ewma.z.empty()) return;
    const PlotAxis axis = scale(ewma.z, ewma.limits.back(), top, kAverages);
    frame(axis, "Weighted average (EWMA, lambda 0.2)");
    centre(axis, row_.individuals.centre, "mean");
    std::vector<cv::Point2d> high, low;
    for (std::size_t i = 0; i < ewma.z.size(); ++i) {
      high.emplace_back(x(i), axis.px(ewma.limits[i].high));
      low.emplace_back(x(i), axis.px(ewma.limits[i].low));
    }
    svg_.polyline("limit", high);
    svg_.polyline("limit", low);
    tag(axis, ewma.limits.back().high, "limit");
    draw_row(axis, ewma.z, 0);
    for (std::size_t i = 0; i < ewma.z.size(); ++i)
      if (ewma.z[i] > ewma.limits[i].high || ewma.z[i] < ewma.limits[i].low)
        svg_.diamond("out", {x(i), axis.px(ewma.z[i])}, 5.0);
  }

  static PlotAxis scale(const std::vector<double>& values, Interval limits, double top, double height) {
    double low = limits.low, high = limits.high;
    for (const double value : values) low = std::min(low, value), high = std::max(high, value);
    const double room = std::max(0.08 * (high - low), 1e-6);
    return {low - room, high + room, top + height, top};
  }

  void frame(const PlotAxis& axis, const std::string& title) {
    svg_.rectangle("ground", {kLeft, axis.at_high, kRight - kLeft, axis.at_low - axis.at_high});
    svg_.text("strong", {kLeft, axis.at_high - 7.0}, Anchor::start, title);
    const double low = axis.low * what_.factor, high = axis.high * what_.factor;
    const int most = axis.at_low - axis.at_high > 100.0 ? 5 : 3;
    const double step = tick_step(high - low, most);
    for (const double tick : ticks(low, high, most)) {
      const double y = axis.px(tick / what_.factor);
      svg_.line("grid", {kLeft, y}, {kRight, y});
      svg_.text("quiet", {kLeft - 7.0, y + 4.0}, Anchor::end, tick_text(tick, step));
    }
  }

  void centre(const PlotAxis& axis, double value, const char* name) {
    svg_.line("centre", {kLeft, axis.px(value)}, {kRight, axis.px(value)});
    tag(axis, value, name);
  }
  void limit(const PlotAxis& axis, double value, const char* name) {
    svg_.line("limit", {kLeft, axis.px(value)}, {kRight, axis.px(value)});
    tag(axis, value, name);
  }
  void tag(const PlotAxis& axis, double value, const char* name) {
    svg_.text("quiet", {kRight + 6.0, axis.px(value) + 4.0}, Anchor::start,
              std::string(name) + ' ' + plain(value * what_.factor, what_.unit == "in" ? 3 : 2));
  }

  void draw_row(const PlotAxis& axis, const std::vector<double>& values, std::size_t first) {
    std::vector<cv::Point2d> points;
    for (std::size_t i = 0; i < values.size(); ++i) points.emplace_back(x(i + first), axis.px(values[i]));
    svg_.polyline("row", points);
    for (const cv::Point2d& p : points) svg_.disc("point", p, 2.0);
  }

  const PlacementTrend::Row& row_;
  const ControlPlot& what_;
  Svg svg_;
};

}  // namespace

Svg control_plot(const PlacementTrend::Row& row, const ControlPlot& what) { return Chart(row, what).drawn(); }

}  // namespace app

#include "app/views/records/trend.h"

#include <cmath>
#include <ctime>

#include "calib/distributions.h"

namespace app {
namespace {

constexpr std::int64_t kDaysInDays = 14;  // shorter spans are shown day by day
constexpr std::int64_t kDay_s = 86400;

// When the day or week of this time began here, and when the next begins.
std::pair<std::int64_t, std::int64_t> bin_of(std::int64_t time_s, bool days) {
  const std::time_t time = time_s;
  std::tm here{};
  ::localtime_r(&time, &here);
  if (!days) here.tm_mday -= (here.tm_wday + 6) % 7;
  here.tm_hour = here.tm_min = here.tm_sec = 0;
  here.tm_isdst = -1;
  std::tm next = here;
  next.tm_mday += days ? 1 : 7;
  return {std::mktime(&here), std::mktime(&next)};
}

double value(const PieceRow& row, TrendOf of) {
  switch (of) {
    case TrendOf::distance:
      return std::hypot(row.offset_x_mm, row.offset_y_mm);
    case TrendOf::right:
      return row.offset_x_mm;
    case TrendOf::up:
      return row.offset_y_mm;
    case TrendOf::turn:
      return std::remainder(static_cast<double>(row.rotation_deg), 360.0);
  }
  return 0.0;
}

TrendBin bin(std::int64_t begin_s, std::span<const PieceRow> pieces, TrendOf of) {
  std::vector<double> values;
  values.reserve(pieces.size());
  for (const PieceRow& row : pieces) values.push_back(value(row, of));
  const Univariate figures = univariate(values);
  TrendBin out{begin_s, pieces.size(), figures.mean, figures.sd, std::nullopt};
  if (pieces.size() >= 2) out.of_mean = interval_of_mean(figures);
  return out;
}

void judge(TrendRow& row) {
  std::vector<double> means;
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < row.bins.size(); ++i) {
    if (row.bins[i].count < kFullBin) continue;
    means.push_back(row.bins[i].mean);
    places.push_back(i);
  }
  if (means.size() < kBinsForChart) return;
  row.chart = individuals_chart(means);
  row.signals = control_signals(means, row.chart->centre, row.chart->sigma);
  for (ControlSignal& signal : row.signals) signal.at = places[signal.at];
}

// Weighted least squares of the means over time; the slope's t by what the means scatter about the line.
TrendVerdict verdict(const std::vector<TrendBin>& bins) {
  double w = 0.0, wt = 0.0, wm = 0.0;
  std::vector<const TrendBin*> full;
  for (const TrendBin& one : bins)
    if (one.count >= kFullBin) full.push_back(&one);
  if (full.size() < kBinsForVerdict) return {};
  const auto time = [&](const TrendBin& one) {
    return static_cast<double>(one.begin_s - full.front()->begin_s) / static_cast<double>(kDay_s);
  };
  for (const TrendBin* one : full) {
    const auto n = static_cast<double>(one->count);
    w += n;
    wt += n * time(*one);
    wm += n * one->mean;
  }
  double stt = 0.0, stm = 0.0, rest = 0.0;
  for (const TrendBin* one : full) {
    const auto n = static_cast<double>(one->count);
    stt += n * (time(*one) - wt / w) * (time(*one) - wt / w);
    stm += n * (time(*one) - wt / w) * (one->mean - wm / w);
  }
  const double slope = stm / stt;
  const auto line = [&](const TrendBin& one) { return wm / w + slope * (time(one) - wt / w); };
  for (const TrendBin* one : full) rest += static_cast<double>(one->count) * std::pow(one->mean - line(*one), 2);
  const double freedom = static_cast<double>(full.size()) - 2.0;
  const double error = std::sqrt(rest / freedom / stt);
  const double t = error > 0.0 ? std::abs(slope) / error : slope != 0.0 ? 1e9 : 0.0;
  TrendVerdict out{TrendVerdict::Kind::no_change, line(*full.front()), line(*full.back())};
  if (2.0 * (1.0 - calib::student_cdf(t, freedom)) < kFalseVerdict)
    out.kind = slope < 0.0 ? TrendVerdict::Kind::better : TrendVerdict::Kind::worse;
  return out;
}

}  // namespace

Trend trend(std::span<const PieceRow> pieces) {
  Trend out;
  if (pieces.empty()) return out;
  out.days = bin_of(pieces.back().time_s, true).first - pieces.front().time_s < kDaysInDays * kDay_s;
  out.tolerance_mm = pieces.back().tolerance_mm;
  out.tolerance_deg = pieces.back().tolerance_deg;
  for (std::size_t first = 0; first < pieces.size();) {
    const auto [begin_s, end_s] = bin_of(pieces[first].time_s, out.days);
    std::size_t end = first + 1;
    while (end < pieces.size() && pieces[end].time_s < end_s) ++end;
    for (int of = 0; of < kTrendsOf; ++of)
      out.rows[static_cast<std::size_t>(of)].bins.push_back(
          bin(begin_s, pieces.subspan(first, end - first), static_cast<TrendOf>(of)));
    first = end;
  }
  for (TrendRow& row : out.rows) judge(row);
  out.verdict = verdict(out.rows[static_cast<std::size_t>(TrendOf::distance)].bins);
  return out;
}

}  // namespace app

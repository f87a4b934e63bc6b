#include <ctime>

#include "app/report/chosen_pieces.h"

namespace app {
namespace {

constexpr std::int64_t kDay_s = 86400;
constexpr std::int64_t kLongestByDay_s = 21 * kDay_s, kLongestByWeek_s = 560 * kDay_s;
constexpr std::int64_t kNewest_s = 28 * kDay_s, kLeastForWeeks_s = 56 * kDay_s;
constexpr std::size_t kLeastForChange = 10;  // on either side

std::tm local(std::int64_t time_s) {
  const std::time_t time = time_s;
  std::tm parts{};
  ::localtime_r(&time, &parts);
  return parts;
}

struct Period {
  std::string label;
  std::int64_t end_s = 0;
};

// The day, ISO week or month of a time, by the clock on the wall.
Period period_of(std::int64_t time_s, TrendStep step) {
  std::tm parts = local(time_s);
  char label[32];
  const char* const pattern = step == TrendStep::day ? "%Y-%m-%d" : step == TrendStep::week ? "%G-W%V" : "%Y-%m";
  std::strftime(label, sizeof label, pattern, &parts);
  std::tm end{};
  end.tm_year = parts.tm_year;
  end.tm_mon = parts.tm_mon + (step == TrendStep::month ? 1 : 0);
  end.tm_mday = step == TrendStep::month ? 1 : parts.tm_mday + 1;
  if (step == TrendStep::week) end.tm_mday += 6 - (parts.tm_wday + 6) % 7;
  end.tm_isdst = -1;
  return {label, std::mktime(&end)};
}

TrendPeriod figures_of(const ChosenPieces& pieces, std::size_t begin, std::size_t end, std::string label) {
  TrendPeriod out;
  out.label = std::move(label);
  out.count = end - begin;
  std::vector<double> distances;
  distances.reserve(out.count);
  for (std::size_t i = begin; i < end; ++i) {
    distances.push_back(pieces.distance_mm(i));
    out.mean_offset_mm += pieces.placed[i].offset_mm / static_cast<double>(out.count);
    out.within += pieces.placed[i].within() ? 1 : 0;
  }
  out.within_share = wilson_interval(out.within, out.count);
  out.distance_mm = univariate(distances);
  out.mean_distance_mm = interval_of_mean(out.distance_mm);
  return out;
}

ReportChange change_of(const ChosenPieces& pieces) {
  ReportChange change;
  if (pieces.size() == 0) return change;
  const std::int64_t last_s = pieces.rows.back()->time_s;
  std::size_t border = pieces.size() / 2;
  if (last_s - pieces.rows.front()->time_s >= kLeastForWeeks_s) {
    change.newest_weeks = true;
    border = 0;
    while (pieces.rows[border]->time_s <= last_s - kNewest_s) ++border;
  }
  std::vector<double> before, after;
  for (std::size_t i = 0; i < pieces.size(); ++i) (i < border ? before : after).push_back(pieces.distance_mm(i));
  change.before_count = before.size();
  change.after_count = after.size();
  if (before.size() < kLeastForChange || after.size() < kLeastForChange) return change;
  change.before_mm = univariate(before).mean;
  change.after_mm = univariate(after).mean;
  change.p = difference_p(before, after);
  using Verdict = ReportChange::Verdict;
  change.verdict = !(change.p < 0.05)                   ? Verdict::as_before
                   : change.after_mm < change.before_mm ? Verdict::better
                                                        : Verdict::worse;
  return change;
}

}  // namespace

ReportTrend report_trend(const ChosenPieces& pieces) {
  ReportTrend trend;
  if (pieces.size() == 0) return trend;
  const std::int64_t span_s = pieces.rows.back()->time_s - pieces.rows.front()->time_s;
  trend.step = span_s <= kLongestByDay_s    ? TrendStep::day
               : span_s <= kLongestByWeek_s ? TrendStep::week
                                            : TrendStep::month;
  for (std::size_t begin = 0; begin < pieces.size();) {
    const Period period = period_of(pieces.rows[begin]->time_s, trend.step);
    std::size_t end = begin + 1;
    while (end < pieces.size() && pieces.rows[end]->time_s < period.end_s) ++end;
    trend.periods.push_back(figures_of(pieces, begin, end, period.label));
    begin = end;
  }
  trend.change = change_of(pieces);
  trend.charts = placement_trend(std::span(pieces.placed).last(std::min(pieces.placed.size(), kChartPieces)));
  return trend;
}

}  // namespace app

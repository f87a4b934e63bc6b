// The tables of a report.
#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/report/write_report.h"

namespace app {
namespace {

constexpr std::size_t kMostPeriods = 16;

std::vector<ReportCell> placement_row(std::string name, const PlacementFigures& f, const ReportWords& words) {
  const OffsetScatter& o = f.offset;
  const auto turn = [&]() -> std::string {
    if (!f.rotation_half_deg) return {};
    return signed_degrees(f.rotation.mean_deg - *f.rotation_half_deg) + " to " +
           signed_degrees(f.rotation.mean_deg + *f.rotation_half_deg);
  };
  return {std::move(name),
          std::to_string(f.count),
          {percent(static_cast<double>(f.within) / static_cast<double>(f.count)), percents(f.within_share)},
          {words.signed_length(o.mean_mm.x), words.signed_lengths(o.mean_x_mm)},
          {words.signed_length(o.mean_mm.y), words.signed_lengths(o.mean_y_mm)},
          {signed_degrees(f.rotation.mean_deg), turn()},
          words.length_number(o.x.sd) + " / " + words.length_number(o.y.sd),
          {words.length_number(f.circle.radius_mm), f.circle.interval ? words.lengths(*f.circle.interval) : ""}};
}

struct Worst {
  const Capability* of;
  const char* name;
};
// What keeps within its limits worst; nothing where no spread is known.
std::optional<Worst> worst(const PlacementFigures& f) {
  std::optional<Worst> out;
  for (const Worst& one : {Worst{&f.x, "sideways"}, {&f.y, "up and down"}, {&f.turn, "turn"}})
    if (std::isfinite(one.of->throughout.cpk.value) &&
        (!out || one.of->throughout.cpk.value < out->of->throughout.cpk.value))
      out = one;
  return out;
}

ReportCell index_cell(const CapabilityIndex& index) {
  if (!std::isfinite(index.value)) return kNoFigure;
  return {plain(index.value, 2), plain(index.interval.low, 2) + " to " + plain(index.interval.high, 2)};
}

std::vector<ReportCell> capability_row(std::string name, const PlacementFigures& f) {
  const auto one = worst(f);
  std::string remark;
  if (one && one->of->too_few) remark = "too few";
  if (one && one->of->no_bell_curve) remark += std::string(remark.empty() ? "" : ", ") + "no bell curve";
  const ReportCell none(kNoFigure);
  return {std::move(name),
          one ? one->name : kNoFigure,
          one ? index_cell(one->of->shortly.cp) : none,
          one ? index_cell(one->of->shortly.cpk) : none,
          one ? index_cell(one->of->throughout.cpk) : none,
          remark,
          f.median_seconds > 0.0 ? plain(f.median_seconds, 0) + " s" : kNoFigure,
          plain(f.mean_tries, 2)};
}

std::string more_note(const GroupedFigures& groups) {
  if (groups.more == 0) return {};
  return format("%zu more with %zu pieces together are not listed. ", groups.more, groups.more_pieces);
}

}  // namespace

GroupingWords grouping_words(Grouping by) {
  switch (by) {
    case Grouping::operator_name:
      return {"By operator", "Operator", "nobody chosen", "operator"};
    case Grouping::job:
      return {"By job", "Job", "without a job", "job"};
    case Grouping::garment:
      return {"By garment", "Garment", "not said", "garment"};
    case Grouping::cloth:
      return {"By cloth", "Cloth", "not said", "cloth"};
    case Grouping::hoop:
      return {"By hoop", "Hoop", "not said", "hoop"};
    case Grouping::station:
      return {"By station", "Station", "not said", "station"};
    case Grouping::machine:
      break;
  }
  return {"By machine", "Machine", "none chosen", "machine"};
}

std::string group_label(const ReportInput& input, Grouping by, NameIndex name) {
  const std::string label = by == Grouping::operator_name ? input.operator_label(name) : (*input.names)[name];
  return label.empty() ? '(' + std::string(grouping_words(by).none) + ')' : label;
}

ReportTable placement_table(const ReportInput& input, const GroupedFigures& groups, const PlacementFigures& whole,
                            const ReportWords& words) {
  const std::string unit = words.unit();
  ReportTable table;
  table.caption = std::string("Where they lie, by ") + grouping_words(groups.by).one;
  table.columns = {grouping_words(groups.by).column,
                   "Pieces",
                   "In tolerance",
                   "Right, " + unit,
                   "Up, " + unit,
                   "Turn, \u00b0",
                   "Spread, " + unit,
                   "95 of 100, " + unit};
  bool marked = false;
  for (const ReportGroup& one : groups.groups) {
    table.rows.push_back(placement_row(group_label(input, groups.by, one.name), one.figures, words));
    if (groups.by == Grouping::operator_name || (!one.worse && !one.better)) continue;
    table.rows.back().front().small = one.worse ? "\u25bc below the rest" : "\u25b2 above the rest";
    marked = true;
  }
  if (groups.groups.size() > 1) table.rows.push_back(placement_row("All", whole, words));
  table.note = more_note(groups);
  if (marked)
    table.note +=
        "\u25bc \u25b2: their share in tolerance differs from that of all other pieces by more than chance "
        "explains. ";
  return table;
}

ReportTable capability_table(const ReportInput& input, const GroupedFigures& groups, const PlacementFigures& whole) {
  ReportTable table;
  table.caption = std::string("Capability, time and tries by ") + grouping_words(groups.by).one;
  table.columns = {grouping_words(groups.by).column, "Worst in", "Cp", "Cpk", "Ppk", "Mind", "Hooping", "Tries"};
  for (const ReportGroup& one : groups.groups)
    table.rows.push_back(capability_row(group_label(input, groups.by, one.name), one.figures));
  if (groups.groups.size() > 1) table.rows.push_back(capability_row("All", whole));
  table.note = more_note(groups);
  return table;
}

ReportTable trend_table(const ReportTrend& trend, const ReportWords& words) {
  const std::string unit = words.unit();
  ReportTable table;
  table.caption = trend.step == TrendStep::day    ? "Day by day"
                  : trend.step == TrendStep::week ? "Week by week"
                                                  : "Month by month";
  table.columns = {trend.step == TrendStep::day    ? "Day"
                   : trend.step == TrendStep::week ? "Week"
                                                   : "Month",
                   "Pieces",
                   "In tolerance",
                   "Mean distance, " + unit,
                   "Right, " + unit,
                   "Up, " + unit};
  const std::size_t first = trend.periods.size() > kMostPeriods ? trend.periods.size() - kMostPeriods : 0;
  for (std::size_t i = first; i < trend.periods.size(); ++i) {
    const TrendPeriod& one = trend.periods[i];
    table.rows.push_back(
        {one.label,
         std::to_string(one.count),
         {percent(static_cast<double>(one.within) / static_cast<double>(one.count)), percents(one.within_share)},
         {words.length_number(one.distance_mm.mean), words.lengths(one.mean_distance_mm)},
         words.signed_length(one.mean_offset_mm.x),
         words.signed_length(one.mean_offset_mm.y)});
  }
  if (first > 0) table.note = format("The newest %zu; the drawing has all. ", kMostPeriods);
  if (trend.step == TrendStep::week) table.note += "Weeks after ISO 8601, from Monday. ";
  return table;
}

ReportTable inspection_table(const InspectionFigures& inspection, const ReportWords& words) {
  ReportTable table;
  table.caption = "At inspection";
  table.columns = {"Outcome", "Pieces", "Of 100 inspected"};
  constexpr const char* kNames[kOutcomeCount] = {"good", "to be mended", "reject"};
  for (std::size_t i = 0; i < kOutcomeCount; ++i)
    table.rows.push_back(
        {kNames[i],
         std::to_string(inspection.count[i]),
         {plain(100.0 * static_cast<double>(inspection.count[i]) / static_cast<double>(inspection.inspected), 1),
          percents(inspection.share[i])}});
  if (inspection.measured > 0)
    table.note =
        format("Where the design was measured on %s: mean %s %s to the right, %s %s upward",
               counted(inspection.measured, "piece", "pieces"), words.signed_length(inspection.final_offset.mean_mm.x),
               words.unit(), words.signed_length(inspection.final_offset.mean_mm.y), words.unit());
  if (std::isfinite(inspection.final_circle.radius_mm))
    table.note += "; 95 of 100 within " + words.length(inspection.final_circle.radius_mm);
  if (inspection.measured > 0) table.note += '.';
  return table;
}

ReportTable cost_table(const ReportFigures& figures) {
  const CostFigures& cost = figures.cost;
  ReportTable table;
  table.caption = "What it costs";
  table.columns = {"What", "Per 100 pieces", "In all"};
  const auto count = static_cast<double>(cost.timed);
  if (cost.timed > 0) {
    table.rows.push_back(
        {"Minutes of hooping", plain(cost.minutes_per_100, 1), plain(cost.minutes_per_100 * count / 100.0, 0)});
    table.rows.push_back({ReportCell("Minutes lost by repeated tries",
                                     counted(cost.repeated, "piece", "pieces") + " with more than one try"),
                          cost.minutes_lost ? plain(*cost.minutes_lost_per_100, 1) : kNoFigure,
                          cost.minutes_lost ? plain(*cost.minutes_lost, 0) : kNoFigure});
  }
  const InspectionFigures& inspection = figures.inspection;
  const auto inspected = static_cast<double>(inspection.inspected);
  for (const auto& [outcome, name] : {std::pair{Outcome::mend, "Mends"}, {Outcome::reject, "Rejects"}}) {
    const std::size_t n = inspection.count[static_cast<std::size_t>(outcome)];
    if (inspection.inspected > 0)
      table.rows.push_back({ReportCell(name, "of those inspected"),
                            plain(100.0 * static_cast<double>(n) / inspected, 1), std::to_string(n)});
  }
  const auto price = [&](const char* name, const std::optional<double>& sum, double pieces) {
    if (sum) table.rows.push_back({name, plain(*sum / pieces * 100.0, 2), plain(*sum, 2)});
  };
  price("Price of the minutes lost", cost.lost_time_cost, count);
  price("Price of the rejects", cost.rejects_cost, inspected);
  table.note =
      "Lost by repeated tries: what a piece took beyond the usual time of pieces that needed one. Mending takes time "
      "that is not recorded, and is in no price. Prices are in the money in which they were given.";
  return table;
}

ReportTable control_rules_table(const PlacementTrend& charts) {
  ReportTable table;
  table.caption = "Signals of the Western Electric rules";
  table.columns = {"Rule", "Sideways", "Up and down", "Turn"};
  constexpr const char* kRules[] = {"1: one beyond 3 sigma", "2: two of three beyond 2 sigma on one side",
                                    "3: four of five beyond 1 sigma on one side", "4: eight in a row on one side"};
  for (int rule = 0; rule < 4; ++rule) {
    std::vector<ReportCell> row{kRules[rule]};
    for (const PlacementTrend::Row* one : {&charts.x_mm, &charts.y_mm, &charts.turn_deg})
      row.emplace_back(std::to_string(std::count_if(one->signals.begin(), one->signals.end(), [&](const auto& signal) {
        return static_cast<int>(signal.rule) == rule;
      })));
    table.rows.push_back(std::move(row));
  }
  table.note =
      "A steady hand gives a signal now and then: of 100 pieces one or two in each column. Look for what "
      "changed at that piece (cloth, hoop, person, light), not for somebody to blame.";
  return table;
}

}  // namespace app

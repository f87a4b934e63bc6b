#include "app/report/report_content.h"

#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/hints/hint_words.h"
#include "app/report/plots.h"
#include "app/report/write_report.h"

namespace app {
namespace {

constexpr const char* kFairness =
    "These figures judge pieces under the conditions of their day: the cloth, the hoop, the garment, the hurry, the "
    "light. They are no measure of a person. Small counts tell little, which is why every figure stands with its "
    "interval; the station has a doubt of its own; and where chance explains a difference it is said so and nobody is "
    "ranked. Use them to find what makes hooping hard. Whoever is named here should see this first, and may ask that "
    "names be left out (--no-names) or erased from the records.";

ReportSection where_they_lie(const ReportFigures& figures, const ReportWords& words) {
  DartBoard board{figures.newest, figures.usual_tolerance_mm, figures.whole.offset.mean_mm,
                  figures.whole.circle.radius_mm};
  std::string caption = figures.newest.size() < figures.whole.count
                            ? format("The newest %zu of %zu pieces; mean and dashed circle are of all.",
                                     figures.newest.size(), figures.whole.count)
                            : std::string("All pieces.");
  caption += " To scale, as the machine's field has it: right is right, up is up.";
  if (!figures.one_tolerance) caption += " The pieces have different tolerances; the circle is that of most.";
  return {"Where the pieces lie", {ReportPlot{dart_board(board, words), caption}}};
}

ReportSection over_time(const ReportFigures& figures, const ReportWords& words) {
  ReportSection out{"Over time", {}};
  if (figures.trend.periods.size() > 1)
    out.parts.emplace_back(
        ReportPlot{trend_plot(figures.trend, figures.usual_tolerance_mm, words),
                   "Band and strokes: 95 % interval, of the mean after Student, of the share after Wilson."});
  out.parts.emplace_back(trend_table(figures.trend, words));
  return out;
}

ReportSection hint_section(const ReportText& text, const ReportWords& words) {
  std::vector<ReportStatement> said;
  for (const Hint& hint : text.hints) {
    const HintWords one = hint_words(hint, words.units(), text.one_person);
    said.push_back({one.fact, one.advice});
  }
  return {"What a word can mend", {said}};
}

ReportSection group_section(const ReportInput& input, const ReportFigures& figures, Grouping by,
                            const ReportWords& words) {
  ReportSection out{grouping_words(by).title, {}};
  if (by == Grouping::operator_name) {
    out.parts.emplace_back(comparison_sentence(input, figures.operators));
    std::vector<std::string> names;
    for (const NameIndex name : figures.operators.names) names.push_back(input.operator_label(name));
    if (names.size() > 1)
      out.parts.emplace_back(ReportPlot{interval_plot(names, figures.operators.comparison),
                                        "Mean and 95 % interval; in the order of names, which is no ranking."});
    if (figures.hidden_operators > 0)
      out.parts.emplace_back("Pieces of " + counted(figures.hidden_operators, "hidden operator", "hidden operators") +
                             " count in the whole and are not listed.");
  }
  out.parts.emplace_back(placement_table(input, figures.by(by), figures.whole, words));
  return out;
}

ReportSection control_section(const ReportFigures& figures, const ReportWords& words) {
  const PlacementTrend& charts = figures.trend.charts;
  const double factor = in_units(1.0, words.units());
  const std::string unit = words.unit();
  ReportSection out{"Does it hold still?", {}};
  out.parts.emplace_back(
      format("Charts of the newest %zu pieces in the order of time, whoever hooped them. Limits are theirs: three "
             "sigma by the "
             "moving ranges of neighbours. A diamond with a number is a signal of that rule.",
             charts.x_mm.values.size()));
  out.parts.emplace_back(ReportPlot{control_plot(charts.y_mm, {"Up and down", unit, factor}), ""});
  out.parts.emplace_back(ReportPlot{control_plot(charts.x_mm, {"Sideways", unit, factor}), ""});
  out.parts.emplace_back(ReportPlot{control_plot(charts.turn_deg, {"Turn", "degrees", 1.0}), ""});
  out.parts.emplace_back(control_rules_table(charts));
  return out;
}

bool tells(const GroupedFigures& groups) { return groups.groups.size() > 1 || groups.more > 0; }

ReportSection capability_section(const ReportInput& input, const ReportFigures& figures, const ReportText& text) {
  ReportSection out{"Capability, time and tries", {}};
  out.parts.emplace_back(
      "Capability holds the spread against each piece's own tolerance, in the direction in which that fits worst: 1.33 "
      "and more is called capable, below 1 pieces fall out. Cp and Cpk go by neighbours in time, Ppk by all. It needs "
      "a "
      "bell curve and 30 pieces; where these are missing the table says so and the figure is a hint at best.");
  bool any = false;
  for (const Grouping by : kGroupings) {
    if (!tells(figures.by(by)) || (text.one_person && by == Grouping::operator_name)) continue;
    out.parts.emplace_back(capability_table(input, figures.by(by), figures.whole));
    any = true;
  }
  if (!any) {
    GroupedFigures all;
    all.groups.push_back({0, figures.whole, false, false});
    ReportTable table = capability_table(input, all, figures.whole);
    table.caption = "Capability, time and tries";
    table.columns.front() = "Pieces";
    table.rows.front().front().text = "All";
    out.parts.emplace_back(table);
  }
  return out;
}

}  // namespace

std::vector<ReportStatement> method_statements() {
  return {
      {"Signs.", "Right and up as the machine's field shows them; turns are counter-clockwise positive."},
      {"Shares.", "E. B. Wilson's interval (1927)."},
      {"Means.", "Student's t; of turns by circular statistics (J. H. Zar, Biostatistical Analysis, chapter 26)."},
      {"95 of 100.",
       "The circle about the mark, by the pieces' own order, with its interval by order statistics; with "
       "fewer than 72 pieces by a bell curve of the same mean and spread."},
      {"Charts.",
       "Individuals and moving ranges, and the exponentially weighted average, after the NIST/SEMATECH "
       "e-Handbook of Statistical Methods, 6.3.2; rules of the Western Electric Statistical Quality Control "
       "Handbook (1956)."},
      {"Capability.",
       "e-Handbook, 6.1.6; interval of Cpk after A. F. Bissell (1990); bell curve by Anderson and "
       "Darling's test at 0.01."},
      {"Comparison.",
       "Permutation tests and the bootstrap, S. Holm's correction for several pairs; for many pieces "
       "Welch's and Fisher's tests. A ranking needs every neighbour in it to differ at 0.05. A group stands out "
       "from the rest by Fisher's exact test, at 0.05 for all groups together."},
      {"The station's doubt.",
       "The standard uncertainty of a reading, by the last proof; taken out of the spread in "
       "squares."},
  };
}

ReportContent report_content(const ReportInput& input, const ReportFigures& figures, const ReportText& text,
                             const ReportWords& words) {
  ReportContent out{text.title, text.scope, kFairness, text.made, {}};
  out.sections.push_back(answer_section(input, figures, text, words));
  if (figures.unreadable > 0)
    out.sections.back().parts.emplace_back(counted(figures.unreadable, "piece has", "pieces have") +
                                           " no offset or no tolerance in the records, and so no part in the figures.");
  out.sections.push_back(where_they_lie(figures, words));
  if (!text.hints.empty()) out.sections.push_back(hint_section(text, words));
  out.sections.push_back(over_time(figures, words));
  for (const Grouping by : kGroupings)
    if (tells(figures.by(by)) && !(text.one_person && by == Grouping::operator_name))
      out.sections.push_back(group_section(input, figures, by, words));
  if (figures.inspection.inspected > 0)
    out.sections.push_back({"What came of it", {inspection_table(figures.inspection, words)}});
  if (figures.cost.timed > 0 || figures.inspection.inspected > 0)
    out.sections.push_back({"What it costs", {cost_table(figures)}});
  if (figures.trend.charts.x_mm.values.size() >= 8) out.sections.push_back(control_section(figures, words));
  out.sections.push_back(capability_section(input, figures, text));
  out.sections.push_back({"How the figures were made", {method_statements()}});
  return out;
}

}  // namespace app

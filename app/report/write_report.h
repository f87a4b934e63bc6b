// From figures to a report, and from that to the bytes of a file.
#pragma once

#include <string>
#include <vector>

#include "app/hints/hints.h"
#include "app/report/report_content.h"
#include "app/report/report_figures.h"
#include "app/report/report_words.h"
#include "app/sheets/paper.h"

namespace app {

struct ReportText {
  std::string title;
  std::vector<std::string> scope;
  std::string made;
  bool one_person = false;  // nothing is compared between people, and hints speak to the person
  std::vector<Hint> hints;
};

ReportContent report_content(const ReportInput& input, const ReportFigures& figures, const ReportText& text,
                             const ReportWords& words);

// One file that needs no other, light and dark.
std::string report_html(const ReportContent& content);
// Throws SheetError.
std::string report_pdf(const ReportContent& content, Paper paper);

// Parts of the content.
ReportSection answer_section(const ReportInput& input, const ReportFigures& figures, const ReportText& text,
                             const ReportWords& words);
// What the comparison of operators bears out: a ranking only where it does.
std::string comparison_sentence(const ReportInput& input, const OperatorComparison& operators);
// The groups that stand out below the rest, of garments, cloths, hoops, jobs, stations and machines.
std::string trouble_sentence(const ReportInput& input, const ReportFigures& figures);
std::string people_sentence(const ReportInput& input, const ReportFigures& figures, const ReportWords& words);
std::string cost_sentence(const ReportFigures& figures);
// "0.62 mm low, 0.10 mm to the left": only what the interval of the mean bears out; empty for none.
std::string lean_words(const PlacementFigures& figures, const ReportWords& words);

struct GroupingWords {
  const char *title, *column, *none, *one;  // "By hoop", "Hoop", "no hoop", "hoop"
};
GroupingWords grouping_words(Grouping by);
std::string group_label(const ReportInput& input, Grouping by, NameIndex name);
ReportTable placement_table(const ReportInput& input, const GroupedFigures& groups, const PlacementFigures& whole,
                            const ReportWords& words);
ReportTable capability_table(const ReportInput& input, const GroupedFigures& groups, const PlacementFigures& whole);
ReportTable trend_table(const ReportTrend& trend, const ReportWords& words);
ReportTable inspection_table(const InspectionFigures& inspection, const ReportWords& words);
ReportTable cost_table(const ReportFigures& figures);
ReportTable control_rules_table(const PlacementTrend& charts);
std::vector<ReportStatement> method_statements();

}  // namespace app

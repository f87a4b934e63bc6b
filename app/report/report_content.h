// A report as its readers meet it, before it becomes a page of the browser or of paper.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "app/report/svg.h"

namespace app {

struct ReportFact {
  std::string name, value, small;
};
struct ReportStatement {
  std::string lead, text;  // "Better or worse:" and the answer
};
struct ReportCell {
  ReportCell(std::string t) : text(std::move(t)) {}  // NOLINT(google-explicit-constructor): rows are lists of texts
  ReportCell(const char* t) : text(t) {}             // NOLINT(google-explicit-constructor)
  ReportCell(std::string t, std::string s) : text(std::move(t)), small(std::move(s)) {}
  std::string text, small;  // `small` below it, such as the interval
};
struct ReportTable {
  std::string caption;
  std::vector<std::string> columns;           // the first names the row
  std::vector<std::vector<ReportCell>> rows;  // as many cells
  std::string note;
  bool words = false;  // cells hold words, set to the left; otherwise numbers
};
struct ReportPlot {
  Svg drawing;
  std::string caption;
};
using ReportPart =
    std::variant<std::string, std::vector<ReportFact>, std::vector<ReportStatement>, ReportTable, ReportPlot>;

struct ReportSection {
  std::string title;
  std::vector<ReportPart> parts;
};
struct ReportContent {
  std::string title;
  std::vector<std::string> scope;  // whose, of what, from when to when
  std::string fairness;            // what the figures can and cannot tell
  std::string made;                // when and by what
  std::vector<ReportSection> sections;
};

}  // namespace app

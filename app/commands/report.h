// The command `hoopgauge report`: how accurately somebody, or the shop, hoops; as a PDF, a page for the browser, or
// both.
#pragma once

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <optional>

#include "app/records/piece_filter.h"
#include "app/report/report_input.h"
#include "app/settings.h"
#include "app/sheets/paper.h"

namespace app {

struct ReportOptions {
  std::filesystem::path station_file;
  PieceFilter filter;
  bool shop = false;      // everybody; otherwise filter.operator_name says whose it is
  bool no_names = false;  // of people
  std::optional<std::filesystem::path> pdf_file, html_file;
  bool pdf = false, html = false;  // wanted under a name of its own, in this folder
  Paper paper = Paper::a4;
  std::optional<Units> units;  // left out: the station's
  ReportCosts costs;
  std::int64_t now_s = 0;
};

// Returns 0; 1 where there is no piece to report of; 2 where options or files cannot be used. Nothing is written then.
// A file that is there is replaced, whole.
int run_report(const ReportOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app

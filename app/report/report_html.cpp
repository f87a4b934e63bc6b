// The report as one HTML page that asks nothing of the network and runs no program.
#include <type_traits>

#include "app/report/clean_text.h"
#include "app/report/report_style.h"
#include "app/report/write_report.h"

namespace app {
namespace {

constexpr const char* kPageStyle = R"(
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 B612,"Segoe UI","Helvetica Neue",Arial,sans-serif}
main,header,footer{max-width:1000px;margin:0 auto;padding:0 20px}
header{padding-top:28px}
h1{font-size:1.9rem;line-height:1.2;margin:0 0 6px}
h2{font-size:1.3rem;margin:44px 0 12px;padding-top:14px;border-top:2px solid var(--rule)}
.scope{margin:0;color:var(--quiet)}
.fairness{margin:18px 0 0;padding:12px 16px;background:var(--panel);border-left:5px solid var(--accent);font-size:.93rem}
.fairness strong{display:block}
.facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(205px,1fr));gap:12px;margin:0 0 18px;padding:0}
.facts div{background:var(--panel);border-radius:8px;padding:12px 14px}
.facts dt{color:var(--quiet);font-size:.9rem}
.facts dd{margin:0;font-size:1.5rem;font-weight:bold;line-height:1.25;overflow-wrap:anywhere}
.facts dd small{display:block;font-size:.85rem;font-weight:normal;color:var(--quiet);line-height:1.4}
.statements{margin:0}
.statements dt{font-weight:bold;margin-top:12px}
.statements dd{margin:0;max-width:75ch}
p{max-width:75ch}
figure{margin:16px 0}
figure svg{display:block;width:100%;height:auto}
figcaption,.note{color:var(--quiet);font-size:.88rem;max-width:80ch;margin:6px 0 0}
.scroll{overflow-x:auto;margin-top:16px}
table{border-collapse:collapse;width:100%;font-size:.93rem;font-variant-numeric:tabular-nums}
caption{text-align:left;font-weight:bold;padding-bottom:6px}
th,td{padding:6px 8px;text-align:right;vertical-align:top;border-bottom:1px solid var(--rule)}
th:first-child{text-align:left}
tbody th{font-weight:normal;min-width:8em;overflow-wrap:anywhere}
thead th{color:var(--quiet);font-weight:normal;border-bottom:2px solid var(--rule);vertical-align:bottom}
td small,th small{display:block;color:var(--quiet);font-size:.82rem;white-space:nowrap}
tr.all th,tr.all td{font-weight:bold}
tr.all small{font-weight:normal}
footer{color:var(--quiet);font-size:.88rem;padding-top:30px;padding-bottom:30px}
@media(max-width:520px){main,header,footer{padding-left:12px;padding-right:12px}h1{font-size:1.5rem}}
@media print{
@page{margin:14mm 12mm}
body{font-size:10.5pt}
main,header,footer{max-width:none;padding:0}
h2{break-after:avoid;margin-top:24px}
figure,tr,.facts,.statements dd,.fairness{break-inside:avoid}
.statements dt{break-after:avoid}
.scroll{overflow:visible}
table{font-size:8.5pt}
.facts{grid-template-columns:repeat(4,1fr)}
.facts dd{font-size:13pt}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}
)";

class HtmlPage {
 public:
  std::string written(const ReportContent& content) {
    head(content);
    for (const ReportSection& section : content.sections) {
      const std::string id = std::string("section").append(std::to_string(++sections_));
      out_ += "<section aria-labelledby=\"" + id + "\">\n<h2 id=\"" + id + "\">" + escaped(section.title) + "</h2>\n";
      for (const ReportPart& part : section.parts) std::visit([&](const auto& one) { write(one); }, part);
      out_ += "</section>\n";
    }
    return out_ + "</main>\n<footer>" + escaped(content.made) + "</footer>\n</body>\n</html>\n";
  }

 private:
  void head(const ReportContent& content) {
    out_ =
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta name=\"color-scheme\" content=\"light dark\">\n<title>" +
        escaped(content.title) + "</title>\n<style>\n" + colour_properties() + kPageStyle + plot_style(false) +
        "</style>\n</head>\n<body>\n<header>\n<h1>" + escaped(content.title) + "</h1>\n";
    for (const std::string& line : content.scope) out_ += "<p class=\"scope\">" + escaped(line) + "</p>\n";
    out_ += "<p class=\"fairness\"><strong>Read this first</strong>" + escaped(content.fairness) +
            "</p>\n</header>\n<main>\n";
  }

  void write(const std::string& paragraph) { out_ += "<p>" + escaped(paragraph) + "</p>\n"; }

  void write(const std::vector<ReportFact>& facts) {
    out_ += "<dl class=\"facts\">\n";
    for (const ReportFact& one : facts)
      out_ += "<div><dt>" + escaped(one.name) + "</dt><dd>" + escaped(one.value) + small(one.small) + "</dd></div>\n";
    out_ += "</dl>\n";
  }

  void write(const std::vector<ReportStatement>& statements) {
    out_ += "<dl class=\"statements\">\n";
    for (const ReportStatement& one : statements)
      out_ += "<dt>" + escaped(one.lead) + "</dt><dd>" + escaped(one.text) + "</dd>\n";
    out_ += "</dl>\n";
  }

  void write(const ReportTable& table) {
    const std::string caption = escaped(table.caption);
    out_ += "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"" + caption + "\">\n<table>\n<caption>" +
            caption + "</caption>\n<thead><tr>";
    for (const std::string& column : table.columns) out_ += "<th scope=\"col\">" + escaped(column) + "</th>";
    out_ += "</tr></thead>\n<tbody>\n";
    for (const auto& row : table.rows) {
      out_ += row.front().text == "All" ? "<tr class=\"all\">" : "<tr>";
      out_ += "<th scope=\"row\">" + cell(row.front()) + "</th>";
      for (std::size_t i = 1; i < row.size(); ++i) out_ += "<td>" + cell(row[i]) + "</td>";
      out_ += "</tr>\n";
    }
    out_ += "</tbody>\n</table>\n</div>\n";
    if (!table.note.empty()) out_ += "<p class=\"note\">" + escaped(table.note) + "</p>\n";
  }

  void write(const ReportPlot& plot) {
    out_ += "<figure style=\"max-width:" + std::to_string(static_cast<int>(plot.drawing.width() * 1.2)) + "px\">\n" +
            plot.drawing.element(++plots_);
    if (!plot.caption.empty()) out_ += "<figcaption>" + escaped(plot.caption) + "</figcaption>\n";
    out_ += "</figure>\n";
  }

  static std::string small(const std::string& text) {
    return text.empty() ? std::string() : "<small>" + escaped(text) + "</small>";
  }
  static std::string cell(const ReportCell& one) { return escaped(one.text) + small(one.small); }

  std::string out_;
  int sections_ = 0, plots_ = 0;
};

}  // namespace

std::string report_html(const ReportContent& content) { return HtmlPage().written(content); }

}  // namespace app

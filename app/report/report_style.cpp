#include "app/report/report_style.h"

#include "app/format.h"

namespace app {
namespace {

constexpr const char* kLooks = R"(
text{font-family:B612,"Segoe UI","Helvetica Neue",Arial,sans-serif;font-size:12px;fill:var(--ink)}
.quiet{fill:var(--quiet);font-size:11px}
.strong{font-weight:bold}
.alarm{fill:var(--trouble);font-weight:bold;font-size:11px}
.ground{fill:var(--panel);stroke:none}
.grid{stroke:var(--rule);stroke-width:1;fill:none}
.axis{stroke:var(--quiet);stroke-width:1;fill:none}
.tolerance{stroke:var(--good);stroke-width:2;fill:none}
.holds{stroke:var(--accent);stroke-width:2;stroke-dasharray:7 4;fill:none}
.limit{stroke:var(--trouble);stroke-width:1.3;stroke-dasharray:6 3;fill:none}
.centre{stroke:var(--quiet);stroke-width:1.3;fill:none}
.row{stroke:var(--main);stroke-width:1.6;fill:none;stroke-linejoin:round}
.bar{stroke:var(--main);stroke-width:5;fill:none}
.band{fill:var(--band);stroke:none}
.in{fill:var(--main);stroke:var(--panel);stroke-width:.6}
.out{fill:var(--trouble);stroke:var(--panel);stroke-width:.6}
.far{fill:none;stroke:var(--trouble);stroke-width:1.6}
.mean{stroke:var(--ink);stroke-width:2.6;fill:none}
.halo{stroke:var(--panel);stroke-width:6;fill:none}
.point{fill:var(--main);stroke:none}
)";

std::string hex(const Colour& colour) { return format("#%02x%02x%02x", colour.r, colour.g, colour.b); }

std::string properties(bool dark) {
  std::string out = ":root{";
  for (const ReportColour& one : kReportColours)
    out += "--" + std::string(one.name) + ':' + hex(dark ? one.dark : one.light) + ';';
  return out + (dark ? "color-scheme:dark}" : "color-scheme:light}");
}

}  // namespace

std::string colour_properties() {
  return properties(false) + "\n@media screen and (prefers-color-scheme:dark){" + properties(true) + "}\n";
}

std::string plot_style(bool light_colours_themselves) {
  std::string style = kLooks;
  if (!light_colours_themselves) return style;
  for (const ReportColour& one : kReportColours) {
    const std::string property = "var(--" + std::string(one.name) + ')';
    for (std::size_t at = 0; (at = style.find(property, at)) != std::string::npos;)
      style.replace(at, property.size(), hex(one.light));
  }
  return style;
}

}  // namespace app

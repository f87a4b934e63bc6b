// A report as a page of the browser and of paper.
//
// Guarantees: the page is one well-formed file that names nothing outside itself, whatever people are called; text can
// be read in light and dark; and a browser opens it without a network and without a word of complaint. Example failure:
// an operator called "<b>" makes the rest of the page bold.
// GCC sees uninitialised values of the library's own where the address sanitizer instruments std::regex.
#ifdef __SANITIZE_ADDRESS__
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif

#include <algorithm>
#include <cmath>
#include <fstream>
#include <opencv2/imgcodecs.hpp>
#include <regex>

#include "app/report/clean_text.h"
#include "app/report/report_style.h"
#include "app/report/write_report.h"
#include "app/screen/theme.h"
#include "tests/app/invented_rows.h"
#include "tests/app/run_program.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

app::ReportContent content_of(const invented::Rows& all, app::Units units = app::Units::mm) {
  app::ReportInput input;
  input.rows = all.rows;
  input.names = &all.names;
  input.proof.line = "Proved on 2026-01-02: it measures right.";
  input.proof.doubt = app::StationDoubt{0.05, 0.02};
  input.costs = {28.0, 9.5};
  app::ReportText text{"How accurately the pieces are hooped: The shop",
                       {"Invented pieces"},
                       "Made by a test",
                       false,
                       app::hints(all.rows, all.names)};
  return app::report_content(input, app::report_figures(input), text, app::ReportWords(units));
}

// Every element that is opened is closed, in its order; nothing but known void elements stays open.
std::string ill_formed(const std::string& html) {
  std::vector<std::string> open;
  const std::regex tag("<(/?)([a-zA-Z0-9]+)((?:[^<>\"]|\"[^\"<>]*\")*?)(/?)>");
  const std::string body = std::regex_replace(html, std::regex("<style>[^<]*</style>"), "");
  for (auto at = std::sregex_iterator(body.begin(), body.end(), tag); at != std::sregex_iterator(); ++at) {
    const std::string name = (*at)[2];
    if (name == "meta" || (*at)[4] == "/") continue;
    if ((*at)[1] != "/") {
      open.push_back(name);
    } else {
      if (open.empty() || open.back() != name)
        return "</" + name + "> closes " + (open.empty() ? "nothing" : open.back());
      open.pop_back();
    }
  }
  const std::string rest = std::regex_replace(body, tag, "");
  if (rest.find_first_of("<>") != std::string::npos && rest.find("<!DOCTYPE html>") != rest.find('<'))
    return "a stray bracket: " + rest.substr(rest.find('<'), 60);
  return open.empty() ? "" : "<" + open.back() + "> stays open";
}

double luminance(const app::Colour& colour) {
  const auto linear = [](double v) { return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4); };
  return 0.2126 * linear(colour.r / 255.0) + 0.7152 * linear(colour.g / 255.0) + 0.0722 * linear(colour.b / 255.0);
}
double contrast(const app::Colour& a, const app::Colour& b) {
  const double one = luminance(a), other = luminance(b);
  return (std::max(one, other) + 0.05) / (std::min(one, other) + 0.05);
}

// What a browser says and does with the page.
struct Browser {
  TemporaryFolder folder;
  std::filesystem::path page = folder.path / "report.html";
  std::string log;

  bool run(const std::string& options) {
    const auto errors = folder.path / "log.txt";
    const std::string line =
        "timeout 60 chromium --headless --no-sandbox --disable-gpu --disable-dev-shm-usage "
        "--no-first-run --disable-background-networking --user-data-dir=" +
        (folder.path / "profile").string() + " --enable-logging=stderr --v=0 " + options + " file://" + page.string() +
        " 2>>" + errors.string();
    const int code = run_line(line).first;
    log = TemporaryFolder::content(errors);
    return code == 0;
  }
};

}  // namespace

TEST_CASE("a report's page is well-formed and asks nothing of the outside", "[report][html]") {
  for (const std::size_t count : {1U, 2U, 12U, 300U}) {
    INFO(count);
    const std::string html = app::report_html(content_of(invented::shop(count, 12)));
    CHECK(ill_formed(html).empty());
    CHECK(ill_formed(html) == "");
    for (const char* outside :
         {"http:", "https:", "url(", "@import", "src=", "href=", "<script", "<link", "<img", "javascript"}) {
      INFO(outside);
      const std::string without = std::regex_replace(html, std::regex("xmlns=\"http://www.w3.org/2000/svg\""), "");
      CHECK_FALSE(holds(without, outside));
    }
    CHECK(holds(html, "default-src 'none'; style-src 'unsafe-inline'"));
    CHECK(holds(html, "They are no measure of a person"));
    CHECK_FALSE(holds(html, "nan"));
    CHECK_FALSE(holds(html, "inf "));
    // The answer stands before the evidence.
    CHECK(html.find("The answer") < html.find("Where the pieces lie"));
  }
}

TEST_CASE("names are text, whatever is in them", "[report][html]") {
  CHECK(app::escaped("<b>\"O'Neil\" & Co</b>") == "&lt;b&gt;&quot;O&#39;Neil&quot; &amp; Co&lt;/b&gt;");
  CHECK(app::escaped("a\x01\xff"
                     "b\xc3\xa9") == "a\uFFFD\uFFFDb\u00e9");
  CHECK(app::clean_text("\xed\xa0\x80\xf5") == "\uFFFD\uFFFD\uFFFD\uFFFD");
  invented::Rows all = invented::shop(40, 2);
  for (std::string& name : all.names)
    if (!name.empty()) name = "</h1><script>alert('" + name + "')</script>\x02\xfe";
  const app::ReportContent content = content_of(all);
  const std::string html = app::report_html(content);
  CHECK_FALSE(holds(html, "<script"));
  CHECK(ill_formed(html) == "");
  CHECK(app::report_pdf(content, app::Paper::a4).substr(0, 5) == "%PDF-");
}

TEST_CASE("text can be read on its ground, light and dark", "[report][html]") {
  const auto& all = app::kReportColours;
  const auto colour = [&](const std::string& name) {
    return *std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == name; });
  };
  for (const char* text : {"ink", "quiet", "trouble"})
    for (const char* ground : {"paper", "panel"}) {
      INFO(text << " on " << ground);
      CHECK(contrast(colour(text).light, colour(ground).light) >= 4.5);
      CHECK(contrast(colour(text).dark, colour(ground).dark) >= 4.5);
    }
  for (const char* line : {"main", "good", "accent", "trouble"}) {  // graphics: 3 : 1
    CHECK(contrast(colour(line).light, colour("panel").light) >= 3.0);
    CHECK(contrast(colour(line).dark, colour("panel").dark) >= 3.0);
  }
  CHECK_FALSE(holds(app::plot_style(true), "var("));
}

TEST_CASE("the report on paper holds what the page holds, and ends on a page of its own", "[report][pdf]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "report.pdf";
  for (const app::Paper paper : {app::Paper::a4, app::Paper::letter}) {
    std::ofstream(file, std::ios::binary) << app::report_pdf(content_of(invented::shop(300, 12)), paper);
    const std::string text = run_line("pdftotext -layout " + file.string() + " -").second;
    for (const char* part : {"Read this first", "The answer", "In tolerance", "By operator", "Ada Beispiel", "By hoop",
                             "round 120", "Western Electric", "How the figures were made", "Up and down, each piece"})
      CHECK(holds(text, part));
    const std::string info = run_line("pdfinfo " + file.string()).second;
    std::smatch pages;
    REQUIRE(std::regex_search(info, pages, std::regex("Pages: +([0-9]+)")));
    CHECK(holds(text, "1 of " + pages[1].str()));
    CHECK(holds(text, pages[1].str() + " of " + pages[1].str()));
    CHECK(holds(info, paper == app::Paper::a4 ? "A4" : "letter"));
  }
  // Nothing reaches into the margins.
  REQUIRE(run_line("pdftoppm -r 40 -gray -png " + file.string() + " " + (folder.path / "page").string()).first == 0);
  int pages = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path)) {
    if (entry.path().extension() != ".png") continue;
    const cv::Mat page = cv::imread(entry.path().string(), cv::IMREAD_GRAYSCALE);
    const int margin = 12;  // px: 7.6 mm
    cv::Mat inner = page.clone();
    inner(cv::Rect(margin, margin, page.cols - 2 * margin, page.rows - 2 * margin)).setTo(255);
    double darkest = 0.0;
    cv::minMaxLoc(inner, &darkest);
    CHECK(darkest > 250.0);
    ++pages;
  }
  CHECK(pages >= 4);
}

TEST_CASE("lengths are in inches where they are asked for", "[report]") {
  const std::string html = app::report_html(content_of(invented::shop(60, 4), app::Units::inch));
  CHECK(holds(html, "Right, in"));
  CHECK_FALSE(holds(html, " mm"));
}

// Guarantees: the page opens from a stick without a network. Example failure: the page's own policy forbids its style,
// which only a browser tells.
TEST_CASE("a browser opens the page without complaint, light and dark, and prints it", "[report][chromium]") {
  REQUIRE(run_line("command -v chromium").first == 0);  // package chromium
  Browser browser;
  std::ofstream(browser.page) << app::report_html(content_of(invented::shop(300, 12)));
  const std::string size = "--window-size=1280,1600 --hide-scrollbars --screenshot=";
  const auto light = browser.folder.path / "light.png", dark = browser.folder.path / "dark.png",
             pdf = browser.folder.path / "printed.pdf", net = browser.folder.path / "net.json";
  REQUIRE(browser.run("--log-net-log=" + net.string() + " " + size + light.string()));
  REQUIRE(browser.run("--blink-settings=preferredColorScheme=0 " + size + dark.string()));
  REQUIRE(browser.run("--no-pdf-header-footer --print-to-pdf=" + pdf.string()));
  INFO(browser.log);
  CHECK_FALSE(holds(browser.log, ":CONSOLE"));
  // The browser asks its maker on its own; what a page without an origin asks for is told apart by its initiator.
  const std::string by_page = "\"initiator\":\"null\"";
  CHECK_FALSE(holds(TemporaryFolder::content(net), by_page));
  browser.page = browser.folder.put("asks.html", "<img src=\"https://example.invalid/x.png\">");
  REQUIRE(browser.run("--log-net-log=" + net.string() + " " + size + (browser.folder.path / "asks.png").string()));
  CHECK(holds(TemporaryFolder::content(net), by_page));  // so that the check above can fail
  const cv::Mat day = cv::imread(light.string()), night = cv::imread(dark.string());
  REQUIRE_FALSE(day.empty());
  REQUIRE(day.size() == night.size());
  const cv::Scalar by_day = cv::mean(day), by_night = cv::mean(night);
  CHECK(by_day[1] > 200.0);
  CHECK(by_night[1] < 80.0);
  const std::string info = run_line("pdfinfo " + pdf.string()).second;
  std::smatch pages;
  REQUIRE(std::regex_search(info, pages, std::regex("Pages: +([0-9]+)")));
  CHECK(std::stoi(pages[1]) >= 3);
  CHECK(holds(run_line("pdftotext " + pdf.string() + " -").second, "How the figures were made"));
}

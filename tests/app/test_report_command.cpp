// `hoopgauge report`, run as a program is.
//
// Guarantees: a report says whose it is, holds the names of those only whom it may name, is written whole or not at
// all, and what cannot be is refused with what to write instead. Example failure: --no-names leaves a name in the
// title.
#include <sstream>

#include "app/commands/report.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "tests/app/invented_rows.h"
#include "tests/app/run_program.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

struct Shop {
  TemporaryFolder folder;
  std::filesystem::path station = folder.path / "station.toml";
  std::ostringstream out, err;

  explicit Shop(std::size_t pieces) {
    const invented::Rows all = invented::shop(pieces, 12);
    std::vector<app::LogEntry> entries;
    for (const app::PieceRow& row : all.rows) entries.emplace_back(invented::record(all, row));
    SQLite::Database database = app::open_to_write(app::log_file(station), 1000);
    app::insert(database, entries);
  }
  app::ReportOptions options() const {
    app::ReportOptions one;
    one.station_file = station;
    one.shop = true;
    one.html_file = folder.path / "report.html";
    one.now_s = invented::kStart_s + 100 * 86400;
    return one;
  }
  int report(const app::ReportOptions& one) {
    out.str("");
    err.str("");
    return app::run_report(one, out, err);
  }
  std::string page() const { return TemporaryFolder::content(folder.path / "report.html"); }
};

}  // namespace

TEST_CASE("a report of the shop and of one operator", "[report][report-command]") {
  Shop shop(240);
  app::ReportOptions options = shop.options();
  options.pdf_file = shop.folder.path / "report.pdf";
  CHECK(shop.report(options) == 0);
  CHECK(holds(shop.out.str(), "report.html: written"));
  CHECK(holds(shop.out.str(), "report.pdf: written"));
  CHECK(holds(shop.page(), "240 pieces, 2026-01-05 to 2026-03-"));
  CHECK(holds(shop.page(), "Ada Beispiel"));
  CHECK(holds(shop.page(), "There is no station file here"));
  CHECK(TemporaryFolder::content(*options.pdf_file).substr(0, 5) == "%PDF-");

  options.pdf_file.reset();
  options.shop = false;
  options.filter.operator_name = "Ada Beispiel";
  CHECK(shop.report(options) == 0);
  CHECK(holds(shop.page(), "How accurately the pieces are hooped: Ada Beispiel"));
  CHECK_FALSE(holds(shop.page(), "Bruno"));
  CHECK_FALSE(holds(shop.page(), "By operator"));
}

TEST_CASE("names are left out of the whole report where that is asked", "[report][report-command]") {
  Shop shop(240);
  app::ReportOptions options = shop.options();
  options.no_names = true;
  CHECK(shop.report(options) == 0);
  for (const char* name : {"Ada", "Bruno", "Cleo"}) CHECK_FALSE(holds(shop.page(), name));
  for (const char* name : {"Operator 1", "Operator 2", "Operator 3"}) CHECK(holds(shop.page(), name));
  options.shop = false;
  options.filter.operator_name = "Ada Beispiel";
  CHECK(shop.report(options) == 0);
  CHECK_FALSE(holds(shop.page(), "Ada"));
  CHECK(holds(shop.page(), "One operator"));
}

TEST_CASE("nothing to report is said and writes nothing", "[report][report-command]") {
  Shop shop(12);
  app::ReportOptions options = shop.options();
  options.filter.hoop = "no such hoop";
  CHECK(shop.report(options) == 1);
  CHECK(holds(shop.err.str(), "there is no piece to report of"));
  CHECK_FALSE(std::filesystem::exists(*options.html_file));
  options.station_file = shop.folder.path / "elsewhere" / "station.toml";
  options.filter = {};
  CHECK(shop.report(options) == 1);
  CHECK_FALSE(std::filesystem::exists(options.station_file.parent_path()));
}

TEST_CASE("a report that cannot be is refused with what to write", "[report][report-command]") {
  Shop shop(12);
  const auto refused = [&](const app::ReportOptions& options, const char* says) {
    CHECK(shop.report(options) == 2);
    INFO(shop.err.str());
    CHECK(holds(shop.err.str(), says));
    CHECK_FALSE(std::filesystem::exists(shop.folder.path / "report.html"));
  };
  app::ReportOptions options = shop.options();
  options.shop = false;
  refused(options, "--operator NAME, or --shop for everybody");
  options = shop.options();
  options.html_file.reset();
  refused(options, "--pdf, --html, or both");
  options.html_file = shop.folder.path / "report.txt";
  refused(options, "end the file's name with .html");
  options.html_file = shop.folder.path / "no-such-folder" / "report.html";
  refused(options, "no-such-folder");
  options = shop.options();
  shop.folder.put("pieces.sqlite", "this is no database, only some text that is long enough to be looked at");
  std::filesystem::resize_file(app::log_file(shop.station), 0);
  std::ofstream(app::log_file(shop.station)) << std::string(5000, 'x');
  refused(options, "the records cannot be read");
}

TEST_CASE("the command line of a report", "[report][report-command]") {
  Shop shop(30);
  const std::string in =
      "-C " + shop.folder.path.string() + " " + HOOPGAUGE_PROGRAM + " report --station station.toml ";
  const auto run_in = [&](const std::string& words) { return run_line("env " + in + words); };
  auto [code, said] = run_in("--shop --html --pdf --units in --paper letter --hour-cost 28");
  CHECK(code == 0);
  CHECK(holds(said, "report-shop-2026-01-05-to-2026-03-26.html: written"));
  CHECK(holds(said, ".pdf: written"));
  const auto first = shop.folder.path / "report-shop-2026-01-05-to-2026-03-26.html";
  REQUIRE(std::filesystem::exists(first));
  // A name of its own takes nobody's place.
  const std::string before = TemporaryFolder::content(first);
  CHECK(holds(run_in("--shop --html --no-names").second, "report-shop-2026-01-05-to-2026-03-26-2.html: written"));
  CHECK(TemporaryFolder::content(first) == before);
  std::tie(code, said) = run_in("--operator 'Ada Beispiel' --html ada.html --since 2026-02-01 --until 2026-02-28");
  CHECK(code == 0);
  CHECK(std::filesystem::exists(shop.folder.path / "ada.html"));
  CHECK(run_in("--shop").first == 2);
  CHECK(run_in("--html x.html").first == 2);
  CHECK(run_in("--shop --html x.html --paper a5").first == 2);
  CHECK(run_in("--shop --html x.html --since yesterdayish").first == 2);
  CHECK(run_in("--shop --html x.html --hour-cost -3").first == 2);
  CHECK(run_in("--shop --html x.html --hoop none-such").first == 1);
  CHECK_FALSE(std::filesystem::exists(shop.folder.path / "x.html"));
}

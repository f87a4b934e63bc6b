// The command `hoopgauge records`, on a log of three invented pieces.
//
// Guarantees: what it says it did is in the log afterwards; what cannot be done says what to write, and changes
// nothing. Example failure: a piece that was set aside is still listed.
#include <SQLiteCpp/SQLiteCpp.h>

#include <sstream>

#include "app/commands/records.h"
#include "app/records/piece_log.h"
#include "app/records/piece_rows.h"
#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

struct Desk {
  TemporaryFolder folder;
  std::filesystem::path station = folder.path / "station.toml";
  std::ostringstream out, err;

  explicit Desk(bool with_log = true) {
    if (!with_log) return;
    SQLite::Database database = app::open_to_write(app::log_file(station), 1000);
    std::vector<app::LogEntry> entries;
    for (int i = 0; i < 3; ++i) {
      app::PieceRecord one = sample::piece(i, i == 2 ? "Zoe" : "Mia");
      one.id = "abcd" + std::to_string(i) + "-one";
      entries.emplace_back(one);
    }
    app::insert(database, entries);
  }
  std::size_t count(const app::PieceFilter& filter = {}) const {
    app::PieceRows rows(app::log_file(station));
    rows.refresh();
    return rows.select(filter).size();
  }
  std::size_t count_of(const std::string& name) const {
    app::PieceFilter filter;
    filter.operator_name = name;
    return count(filter);
  }
  bool says(const std::string& words) const { return err.str().find(words) != std::string::npos; }
};

}  // namespace

TEST_CASE("pieces are listed, the newest last, and as JSON", "[records-command]") {
  Desk desk;
  app::RecordsListOptions options;
  options.count = 2;
  CHECK(app::run_records_list(desk.station, options, desk.out, desk.err) == 0);
  const std::string text = desk.out.str();
  CHECK(text.find("abcd0") == std::string::npos);
  CHECK(text.find("abcd1") < text.find("abcd2"));
  desk.out.str("");
  options.json = true;
  options.no_names = true;
  CHECK(app::run_records_list(desk.station, options, desk.out, desk.err) == 0);
  CHECK(desk.out.str().find("Zoe") == std::string::npos);
  CHECK(desk.out.str().find("\"operator\":\"Operator 1\"") != std::string::npos);
  options.filter.operator_name = "nobody";
  CHECK(app::run_records_list(desk.station, options, desk.out, desk.err) == 1);
}

TEST_CASE("a correction is kept, shown, and can be undone", "[records-command]") {
  Desk desk;
  CHECK(app::run_records_correct(desk.station, {{"abcd1"}, {"operator=Zoe", "hoop=90 round"}, "Boss", "mixed up"},
                                 desk.out, desk.err) == 0);
  CHECK(desk.count_of("Zoe") == 2);
  CHECK(app::run_records_show(desk.station, "abcd1", desk.out, desk.err) == 0);
  CHECK(desk.out.str().find("mixed up") != std::string::npos);
  CHECK(app::run_records_correct(desk.station, {{"abcd1"}, {"operator=Mia"}, "", ""}, desk.out, desk.err) == 0);
  CHECK(desk.count_of("Zoe") == 1);
  CHECK(app::run_records_correct(desk.station, {{"abcd0", "abcd1"}, {"set_aside=1"}, "", ""}, desk.out, desk.err) == 0);
  CHECK(desk.count() == 1);
}

TEST_CASE("what cannot be corrected says what to write, and nothing is kept", "[records-command]") {
  Desk desk;
  const auto fault = [&](const std::string& id, const std::string& change) {
    desk.err.str("");
    CHECK(app::run_records_correct(desk.station, {{id}, {"set_aside=1", change}, "", ""}, desk.out, desk.err) == 2);
    return desk.err.str();
  };
  CHECK(fault("abcd1", "operator").find("FIELD=VALUE") != std::string::npos);
  CHECK(fault("abcd1", "offset_x_mm=1").find("cannot be corrected") != std::string::npos);
  CHECK(fault("abcd1", "tolerance_mm=0").find("above 0") != std::string::npos);
  CHECK(fault("abcd", "job=x").find("several pieces begin with") != std::string::npos);
  CHECK(fault("abc", "job=x").find("at least 4") != std::string::npos);
  CHECK(fault("wxyz", "job=x").find("there is no piece") != std::string::npos);
  CHECK(desk.count() == 3);
}

TEST_CASE("names are changed, hidden and taken out by command", "[records-command][privacy]") {
  Desk desk;
  app::Naming naming;
  naming.name = "Zoe";
  naming.new_name = "Zara";
  CHECK(app::run_records_naming(desk.station, naming, desk.out, desk.err) == 0);
  CHECK(desk.count_of("Zara") == 1);
  // Listed without a name once hidden, but to whoever asks for that name.
  app::Naming hide;
  hide.kind = app::Naming::Kind::hide;
  hide.name = "Zara";
  CHECK(app::run_records_naming(desk.station, hide, desk.out, desk.err) == 0);
  app::RecordsListOptions list;
  desk.out.str("");
  CHECK(app::run_records_list(desk.station, list, desk.out, desk.err) == 0);
  CHECK(desk.out.str().find("Zara") == std::string::npos);
  CHECK(desk.out.str().find("(hidden)") != std::string::npos);
  // With names left out everybody has a number of their own, not one for all who are hidden.
  hide.name = "Mia";
  CHECK(app::run_records_naming(desk.station, hide, desk.out, desk.err) == 0);
  list.no_names = true;
  desk.out.str("");
  CHECK(app::run_records_list(desk.station, list, desk.out, desk.err) == 0);
  CHECK(desk.out.str().find("(hidden)") == std::string::npos);
  for (const char* label : {"Operator 1", "Operator 2"}) CHECK(desk.out.str().find(label) != std::string::npos);
  list.no_names = false;
  list.filter.operator_name = "Zara";
  CHECK(app::run_records_list(desk.station, list, desk.out, desk.err) == 0);
  CHECK(desk.out.str().find("Zara") != std::string::npos);
  // With other capitals than the crew's list and the records have.
  desk.folder.put("operators.toml", "[[operator]]\nname = \"Mia\"\n");
  app::Naming again;
  again.name = "mia";
  again.new_name = " Mia  Berg ";
  CHECK(app::run_records_naming(desk.station, again, desk.out, desk.err) == 0);
  CHECK(desk.count_of("Mia Berg") == 2);
  CHECK(TemporaryFolder::content(desk.folder.path / "operators.toml").find("Mia Berg") != std::string::npos);
  CHECK(app::run_records_naming(desk.station, naming, desk.out, desk.err) == 2);
  CHECK(desk.says("nobody is called"));
  CHECK(app::run_records_anonymise(desk.station, "Zara", false, desk.out, desk.err) == 2);
  CHECK(desk.count_of("Zara") == 1);
  CHECK(app::run_records_anonymise(desk.station, "Zara", true, desk.out, desk.err) == 0);
  CHECK(desk.count_of("Zara") == 0);
  CHECK(desk.count() == 3);
}

TEST_CASE("a table goes out and comes back, and a backup too", "[records-command]") {
  Desk desk, other(false);
  app::RecordsExportOptions options;
  options.file = desk.folder.path / "t.csv";
  CHECK(app::run_records_export(desk.station, options, desk.out, desk.err) == 0);
  CHECK(app::run_records_export(desk.station, options, desk.out, desk.err) == 2);
  CHECK(desk.says("is there already"));
  CHECK(app::run_records_import(other.station, options.file, other.out, other.err) == 0);
  CHECK(other.count() == 3);
  Desk third(false);
  const auto stick = desk.folder.path / "stick";
  std::filesystem::create_directory(stick);
  CHECK(app::run_records_backup(desk.station, stick, desk.out, desk.err) == 0);
  CHECK(app::run_records_restore(third.station, stick, third.out, third.err) == 0);
  CHECK(third.count() == 3);
}

TEST_CASE("without a log the commands say so", "[records-command]") {
  Desk desk(false);
  CHECK(app::run_records_list(desk.station, {}, desk.out, desk.err) == 2);
  CHECK(desk.says("there is no record of pieces yet"));
  CHECK(app::run_records_columns(desk.out) == 0);
  CHECK(desk.out.str().find("offset_x_mm") != std::string::npos);
}

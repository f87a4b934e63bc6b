// A station that shares, for the tests: its file alone.
#pragma once

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "app/records/anonymise.h"
#include "app/records/piece_table.h"
#include "app/share/share.h"
#include "app/share/shared_tables.h"
#include "calib/files.h"
#include "tests/app/sample_piece.h"
#include "tests/temporary_folder.h"

namespace sharing {

class Station {
 public:
  explicit Station(const std::string& name) : name_(name) { database(); }

  std::filesystem::path file() const { return folder_.path / "pieces.sqlite"; }
  SQLite::Database database() const { return app::open_to_write(file(), 10000); }
  const std::string& name() const { return name_; }

  // Pieces, and to every fifth what came of it, a correction to every ninth, and now and then another name.
  void work(int pieces) {
    std::vector<app::LogEntry> entries;
    for (int i = 0; i < pieces; ++i) {
      app::PieceRecord one = sample::piece(made_, "Operator " + std::to_string(made_ % 4));
      const std::string number = name_ + "-" + std::to_string(made_++);
      one.id = "p-" + number;
      one.station = name_;
      if (made_ % 7 == 0) one.entered = {};  // numbers that were not there
      if (made_ % 5 == 0)
        entries.emplace_back(app::Inspection{"i-" + number, one.id, one.time_utc, "Ada", app::FoundBy::ruler,
                                             app::Outcome::mend, 0.1, -0.2, app::kNotKnown, 0.05, app::kNotKnown,
                                             "\"seen\"\n\\by\tday"});
      if (made_ % 9 == 0)
        entries.emplace_back(app::Correction{"c-" + number, one.id, one.time_utc, "Ada", "operator",
                                             "Operator " + std::to_string(made_ % 4), "was at the press"});
      if (made_ % 97 == 0)
        entries.emplace_back(
            app::Naming{"n-" + number, one.time_utc, app::Naming::Kind::rename, "Operator 3", "Operator Ö"});
      entries.emplace_back(std::move(one));
    }
    auto open = database();
    app::insert(open, entries);
  }

  // Whether anybody was called so.
  bool anonymise(const std::string& operator_name) const {
    auto open = database();
    try {
      return app::anonymise(open, operator_name).records > 0;
    } catch (const calib::FileError&) {
      return false;
    }
  }

  app::ShareOptions options(const std::string& connection) const {
    app::ShareOptions out;
    out.settings.connection = connection;
    out.settings.station = name_;
    out.log_file = file();
    return out;
  }
  app::ShareOutcome share(const std::string& connection) const { return app::share(options(connection)); }

  // Every row of every table, without what only this file knows of it.
  std::vector<std::string> content() const {
    std::vector<std::string> out;
    auto open = database();
    for (const char* table : app::kSharedTables) {
      const app::Outgoing all = app::next_outgoing(open, table, 0, app::last_seq(open, table), 100000000);
      for (const std::string& line : all.bodies) out.push_back(std::string(table) + " " + line);
    }
    std::sort(out.begin(), out.end());
    return out;
  }
  long long count(const std::string& what) const {
    auto open = database();
    return open.execAndGet("SELECT count(*) FROM " + what).getInt64();
  }

 private:
  TemporaryFolder folder_;
  std::string name_;
  int made_ = 0;
};

}  // namespace sharing

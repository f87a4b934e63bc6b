#include "app/records/anonymise.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <systemd/sd-id128.h>

#include <algorithm>
#include <compare>
#include <filesystem>
#include <set>
#include <stdexcept>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include "app/records/name_history.h"
#include "app/records/piece_table.h"
#include "app/records/record_id.h"
#include "app/records/utc_now.h"
#include "calib/files.h"

namespace app {
namespace {

// Where names of operators stand.
struct NamedColumn {
  const char *table, *column, *where;
};
constexpr NamedColumn kNamed[]{{"piece", "operator", "1"},      {"inspection", "operator", "1"},
                               {"correction", "operator", "1"}, {"correction", "value", "field = 'operator'"},
                               {"naming", "name", "1"},         {"naming", "new_name", "1"}};

std::string from_where(const NamedColumn& at) { return std::string(" FROM ") + at.table + " WHERE " + at.where; }

// One column's rows, given a pseudonym.
class Eraser {
 public:
  Eraser(SQLite::Database& database, const NamedColumn& at)
      : column_(at.column),
        say_(database,
             "INSERT INTO erasure (id, time_utc, record, field, pseudonym) VALUES (?, ?, ?, ?, ?) "
             "ON CONFLICT (record, field) DO NOTHING"),
        set_(database, std::string("UPDATE ") + at.table + " SET " + at.column +
                           " = (SELECT pseudonym FROM erasure WHERE record = ?1 AND field = ?2) WHERE id = ?1") {}
  // What an earlier erasure says of the row goes before.
  void erase(const std::string& record, const std::string& time_utc, const std::string& pseudonym) {
    run(say_, new_record_id(), time_utc, record, column_, pseudonym);
    run(set_, record, column_);
  }

 private:
  template <typename... Texts>
  static void run(SQLite::Statement& statement, const Texts&... texts) {
    int place = 0;
    (statement.bind(++place, texts), ...);
    statement.exec();
    statement.reset();
  }

  std::string column_;
  SQLite::Statement say_, set_;
};

// Letters and digits that are not taken for one another. Nothing of the name goes into it.
std::string random_pseudonym() {
  constexpr char kSigns[] = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
  sd_id128_t random;
  if (sd_id128_randomize(&random) != 0) throw std::runtime_error("the system gives no random numbers");
  std::string out = "Operator ";
  for (int i = 0; i < 4; ++i) out += kSigns[random.bytes[i] % 32];
  return out;
}

bool is_taken(SQLite::Database& database, const std::string& name) {
  for (const NamedColumn& at : kNamed) {
    SQLite::Statement row(database, "SELECT 1" + from_where(at) + " AND " + at.column + " = ? LIMIT 1");
    row.bind(1, name);
    if (row.executeStep()) return true;
  }
  return false;
}

std::string new_pseudonym(SQLite::Database& database) {
  std::string out = random_pseudonym();
  while (is_taken(database, out)) out = random_pseudonym();
  return out;
}

void refuse_while_any_waits(SQLite::Database& database) {
  const std::filesystem::path journal = database.getFilename() + ".journal";
  std::error_code none;
  if (std::filesystem::exists(journal, none) && std::filesystem::file_size(journal, none) > 0)
    throw calib::FileError(journal.string() +
                           ": records wait here and may have the name; start the station and let it write them into "
                           "the database first, then do this again");
}

// Ids of the rows of a column that mean whoever is called `name` now.
std::vector<std::string> rows_of(SQLite::Database& database, const NamedColumn& at, const std::string& name,
                                 const NameHistory& history) {
  SQLite::Statement rows(database, std::string("SELECT id, ") + at.column + ", time_utc" + from_where(at));
  std::vector<std::string> out;
  while (rows.executeStep())
    if (history.now(rows.getColumn(1).getText(), rows.getColumn(2).getText()) == name)
      out.push_back(rows.getColumn(0).getString());
  return out;
}

std::size_t delete_pictures(SQLite::Database& database, const std::vector<std::string>& pieces) {
  SQLite::Statement gone(database, "DELETE FROM picture WHERE piece = ?");
  std::size_t count = 0;
  for (const std::string& piece : pieces) {
    gone.bind(1, piece);
    count += static_cast<std::size_t>(gone.exec());
    gone.reset();
  }
  return count;
}

// Of pieces whose operator was corrected to this name.
std::vector<std::string> pieces_corrected_to(SQLite::Database& database, const std::string& name,
                                             const NameHistory& history) {
  SQLite::Statement rows(database, "SELECT piece, value, time_utc FROM correction WHERE field = 'operator'");
  std::vector<std::string> out;
  while (rows.executeStep())
    if (history.now(rows.getColumn(1).getText(), rows.getColumn(2).getText()) == name)
      out.push_back(rows.getColumn(0).getString());
  return out;
}

std::size_t mentions_of(SQLite::Database& database, const std::string& name) {
  std::size_t count = 0;
  for (const char* table : {"inspection", "correction"}) {
    SQLite::Statement row(database, std::string("SELECT count(*) FROM ") + table + " WHERE instr(note, ?) > 0");
    row.bind(1, name);
    row.executeStep();
    count += static_cast<std::size_t>(row.getColumn(0).getInt64());
  }
  return count;
}

void empty_the_wal(SQLite::Database& database) {
  SQLite::Statement row(database, "PRAGMA wal_checkpoint(TRUNCATE)");
  row.executeStep();
  if (row.getColumn(0).getInt() != 0)
    throw calib::FileError(database.getFilename() +
                           ": another program reads the records, so its files still hold the name; close that "
                           "program and do this again");
}

// Kept in the database until it is done: whoever opens it next makes up for what another program's reading prevented.
void owe_scrub(SQLite::Database& database) {
  database.exec("INSERT OR REPLACE INTO share_state (server, name, value) VALUES ('', 'names left in free pages', 1)");
}
bool scrub_owed(SQLite::Database& database) {
  SQLite::Statement row(database, "SELECT 1 FROM share_state WHERE server = '' AND name = 'names left in free pages'");
  return row.executeStep();
}

// What was there before stands in free pages and in the WAL still.
void scrub(SQLite::Database& database) {
  empty_the_wal(database);
  database.exec("VACUUM");
  empty_the_wal(database);
  database.exec("DELETE FROM share_state WHERE server = '' AND name = 'names left in free pages'");
  database.tryExec("PRAGMA wal_checkpoint(TRUNCATE)");
}

// Somebody whose name an erasure took out of one record, and stands in it here still.
struct Left {
  std::string name, now;            // as it stands there, and as it is called now
  std::string from, until;          // that person was called so after `from` up to `until`; empty: no limit is known
  std::string time_utc, pseudonym;  // of the erasure
  auto operator<=>(const Left&) const = default;
};

// Where the renaming itself came with its names taken out, only its time tells whose a name was before and after.
void limit_by_renamings(SQLite::Database& database, const std::string& time_utc, Left& left) {
  const auto edge = [&](const char* which, const char* side) {
    SQLite::Statement row(database, std::string("SELECT ") + which +
                                        "(time_utc) FROM naming WHERE kind = 'rename' AND name = ? AND time_utc " +
                                        side + " ?");
    row.bind(1, left.pseudonym);
    row.bind(2, time_utc);
    return row.executeStep() && !row.getColumn(0).isNull() ? row.getColumn(0).getString() : std::string();
  };
  left.from = edge("max", "<");
  left.until = edge("min", ">=");
}

std::vector<Left> left_over(SQLite::Database& database, const NameHistory& history) {
  std::set<Left> found;
  for (const NamedColumn& at : kNamed) {
    SQLite::Statement rows(database, std::string("SELECT t.") + at.column +
                                         ", t.time_utc, e.time_utc, e.pseudonym FROM erasure e JOIN " + at.table +
                                         " t ON t.id = e.record WHERE e.field = '" + at.column + "' AND t." +
                                         at.column + " <> e.pseudonym");
    while (rows.executeStep()) {
      const std::string time_utc = rows.getColumn(1).getString();
      Left one{rows.getColumn(0).getString(), {}, {}, {}, rows.getColumn(2).getString(), rows.getColumn(3).getString()};
      one.now = history.now(one.name, time_utc);
      limit_by_renamings(database, time_utc, one);
      found.insert(std::move(one));
    }
  }
  return {found.begin(), found.end()};
}

// A row that means one of them: an erasure names it, or it bears the name, as it was that person's then.
struct Meant {
  std::string id;
  const Left* of;
};
std::vector<Meant> rows_meant(SQLite::Database& database, const NamedColumn& at, const std::vector<Left>& left,
                              const NameHistory& history) {
  SQLite::Statement rows(database, std::string("SELECT t.id, t.") + at.column +
                                       ", t.time_utc, e.pseudonym FROM (SELECT *" + from_where(at) + " AND " +
                                       at.column + " <> '') t LEFT JOIN erasure e ON e.record = t.id AND e.field = '" +
                                       at.column + "'");
  std::vector<Meant> out;
  while (rows.executeStep()) {
    const std::string name = rows.getColumn(1).getString(), time_utc = rows.getColumn(2).getString();
    const std::string given = rows.getColumn(3).isNull() ? "" : rows.getColumn(3).getString();
    if (given == name) continue;
    const std::string now = history.now(name, time_utc);
    const auto found = std::find_if(left.begin(), left.end(), [&](const Left& one) {
      if (!given.empty()) return given == one.pseudonym;
      if (one.now != now || time_utc > one.time_utc) return false;
      return one.name != name || (time_utc > one.from && (one.until.empty() || time_utc <= one.until));
    });
    if (found != left.end()) out.push_back({rows.getColumn(0).getString(), &*found});
  }
  return out;
}

std::vector<std::string> pieces_of_corrections(SQLite::Database& database, const std::vector<std::string>& ids) {
  SQLite::Statement row(database, "SELECT piece FROM correction WHERE id = ?");
  std::vector<std::string> out;
  for (const std::string& id : ids) {
    row.bind(1, id);
    if (row.executeStep()) out.push_back(row.getColumn(0).getString());
    row.reset();
  }
  return out;
}

// The name as it is called now: somebody's of today, or else what an earlier one became.
std::string called_now(SQLite::Database& database, const std::string& name, const NameHistory& history) {
  for (const NamedColumn& at : kNamed)
    if (!rows_of(database, at, name, history).empty()) return name;
  return history.now(name, "");
}

}  // namespace

Anonymised anonymise(SQLite::Database& database, const std::string& name) {
  refuse_while_any_waits(database);
  database.exec("PRAGMA secure_delete = ON");
  Anonymised out;
  {
    SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
    const NameHistory history(namings_of(database));
    const std::string now = called_now(database, name, history), time_utc = utc_now();
    out.pseudonym = new_pseudonym(database);
    out.pictures = delete_pictures(database, rows_of(database, kNamed[0], now, history)) +
                   delete_pictures(database, pieces_corrected_to(database, now, history));
    for (const NamedColumn& at : kNamed) {
      Eraser eraser(database, at);
      for (const std::string& row : rows_of(database, at, now, history)) {
        eraser.erase(row, time_utc, out.pseudonym);
        ++out.records;
      }
    }
    out.mentions = mentions_of(database, now);
    if (out.records > 0) owe_scrub(database);
    all.commit();
  }
  scrub(database);  // also where an earlier try could not
  if (out.records == 0)
    throw calib::FileError("the records have no operator '" + name + "'; write the name as it is listed");
  return out;
}

std::size_t apply_erasures(SQLite::Database& database) {
  database.exec("PRAGMA secure_delete = ON");
  std::size_t changed = 0;
  {
    SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
    const NameHistory history(namings_of(database));
    const std::vector<Left> left = left_over(database, history);
    // All are found before any is changed: the names tell who is meant.
    std::vector<std::pair<const NamedColumn*, std::vector<Meant>>> meant;
    if (!left.empty())
      for (const NamedColumn& at : kNamed) meant.emplace_back(&at, rows_meant(database, at, left, history));
    for (const auto& [at, rows] : meant) {
      Eraser eraser(database, *at);
      std::vector<std::string> ids;
      for (const Meant& one : rows) {
        eraser.erase(one.id, one.of->time_utc, one.of->pseudonym);
        ids.push_back(one.id);
      }
      changed += ids.size();
      if (at->table == std::string_view("piece")) delete_pictures(database, ids);
      if (at->column == std::string_view("value")) delete_pictures(database, pieces_of_corrections(database, ids));
    }
    if (changed > 0) owe_scrub(database);
    all.commit();
  }
  if (scrub_owed(database)) scrub(database);
  return changed;
}

}  // namespace app

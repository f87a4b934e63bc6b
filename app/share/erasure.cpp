#include "app/share/erasure.h"

#include <array>
#include <string_view>

namespace app {
namespace {

struct NamedField {
  std::string_view table, field;
};
constexpr std::array<NamedField, 6> kNamed{{{"piece", "operator"},
                                            {"inspection", "operator"},
                                            {"correction", "operator"},
                                            {"correction", "value"},
                                            {"naming", "name"},
                                            {"naming", "new_name"}}};

// The pseudonym that is there already.
std::string pseudonym_of(SQLite::Database& database, const Erasure& erasure) {
  SQLite::Statement row(database, "SELECT pseudonym FROM erasure WHERE record = ? AND field = ?");
  row.bind(1, erasure.record);
  row.bind(2, erasure.field);
  return row.executeStep() ? row.getColumn(0).getString() : std::string();
}

}  // namespace

void keep_pulled(SQLite::Database& database, const Erasure& erasure) {
  const std::string before = pseudonym_of(database, erasure);
  // Under one number, so that numbers stay in the order of their making.
  SQLite::Statement keep(
      database,
      "INSERT INTO erasure (id, time_utc, record, field, pseudonym, pulled) VALUES (?, ?, ?, ?, ?, 1) "
      "ON CONFLICT (record, field) DO UPDATE SET id = excluded.id, time_utc = excluded.time_utc, "
      "pseudonym = excluded.pseudonym, pulled = 1 WHERE id <> excluded.id "
      "ON CONFLICT (id) DO NOTHING");
  int place = 0;
  for (const std::string* value : {&erasure.id, &erasure.time_utc, &erasure.record, &erasure.field, &erasure.pseudonym})
    keep.bind(++place, *value);
  keep.exec();
  if (before.empty() || before == erasure.pseudonym) return;
  for (const auto& [table, field] : kNamed) {
    if (field != erasure.field) continue;
    const std::string name(field);
    SQLite::Statement change(
        database, "UPDATE " + std::string(table) + " SET " + name + " = ? WHERE id = ? AND " + name + " = ?");
    change.bind(1, erasure.pseudonym);
    change.bind(2, erasure.record);
    change.bind(3, before);
    change.exec();
  }
}

}  // namespace app

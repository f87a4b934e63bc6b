// A name taken out of a record for good, as it is shared.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <string>
#include <type_traits>

#include "app/records/table_rows.h"

namespace app {

// The field `field` of the record `record` reads `pseudonym` from then on, at every station.
struct Erasure {
  std::string id;  // unique, made when it is kept
  std::string time_utc;
  std::string record, field, pseudonym;
};

template <typename Record, typename Visit>
requires std::is_same_v<std::remove_const_t<Record>, Erasure>
void each_field(Record& record, Visit&& visit) {
  visit("id", record.id);
  visit("time_utc", record.time_utc);
  visit("record", record.record);
  visit("field", record.field);
  visit("pseudonym", record.pseudonym);
}

template <>
inline constexpr const char* kTable<Erasure> = "erasure";

// Keeps one that came from the server. Where this station had taken the name out with another pseudonym the server's
// counts, so that all stations show the same. Throws SQLite::Exception.
void keep_pulled(SQLite::Database& database, const Erasure& erasure);

}  // namespace app

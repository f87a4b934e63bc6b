// Records as rows of their tables, from each record's one list of fields. All throw SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "app/records/correction_fields.h"
#include "app/records/inspection_fields.h"
#include "app/records/naming_fields.h"
#include "app/records/piece_fields.h"

namespace app {

template <typename Record>
inline constexpr const char* kTable = "piece";
template <>
inline constexpr const char* kTable<Inspection> = "inspection";
template <>
inline constexpr const char* kTable<Correction> = "correction";
template <>
inline constexpr const char* kTable<Naming> = "naming";

// "id, time_utc, ..."
template <typename Record>
std::string columns() {
  std::string out;
  const Record any;
  each_field(any, [&](std::string_view name, const auto&) { out.append(out.empty() ? "" : ", ").append(name); });
  return out;
}

// "?, ?, ..."
template <typename Record>
std::string places() {
  std::string out;
  const Record any;
  each_field(any, [&](std::string_view, const auto&) { out += out.empty() ? "?" : ", ?"; });
  return out;
}

template <typename Record>
void bind(SQLite::Statement& statement, const Record& record) {
  int place = 0;
  each_field(record, [&](std::string_view, const auto& value) {
    using Value = std::remove_cvref_t<decltype(value)>;
    ++place;
    if constexpr (std::is_same_v<Value, bool>)
      statement.bind(place, value ? 1 : 0);
    else if constexpr (std::is_same_v<Value, double>)
      std::isfinite(value) ? statement.bind(place, value) : statement.bind(place);
    else
      statement.bind(place, value);
  });
}

template <typename Record>
Record record_in(SQLite::Statement& row) {
  Record out;
  int column = 0;
  each_field(out, [&](std::string_view, auto& value) {
    using Value = std::remove_cvref_t<decltype(value)>;
    const SQLite::Column found = row.getColumn(column++);
    if constexpr (std::is_same_v<Value, std::string>)
      value = found.getString();
    else if constexpr (std::is_same_v<Value, double>)
      value = found.isNull() ? std::numeric_limits<double>::quiet_NaN() : found.getDouble();
    else
      value = static_cast<Value>(found.getInt());
  });
  return out;
}

// "SELECT id, ... FROM piece", and what follows.
template <typename Record>
SQLite::Statement selection(SQLite::Database& database, const std::string& rest) {
  return {database, "SELECT " + columns<Record>() + " FROM " + kTable<Record> + " " + rest};
}

// The rows of a selection() that are left.
template <typename Record>
std::vector<Record> records_in(SQLite::Statement& rows) {
  std::vector<Record> out;
  while (rows.executeStep()) out.push_back(record_in<Record>(rows));
  return out;
}

template <typename Record>
std::optional<Record> first_in(SQLite::Statement& rows) {
  if (!rows.executeStep()) return std::nullopt;
  return record_in<Record>(rows);
}

// Adds records whose id is not there yet.
template <typename Record>
class Insertion {
 public:
  Insertion(SQLite::Database& database, bool pulled)
      : statement_(database, std::string("INSERT INTO ") + kTable<Record> + " (" + columns<Record>() +
                                 ", pulled) VALUES (" + places<Record>() + (pulled ? ", 1" : ", 0") +
                                 ") ON CONFLICT (id) DO NOTHING") {}
  void add(const Record& record) {
    bind(statement_, record);
    statement_.exec();
    statement_.reset();
  }

 private:
  SQLite::Statement statement_;
};

}  // namespace app

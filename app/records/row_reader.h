// One query's rows at the speed of SQLite's own interface: texts are looked at, not copied.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>
#include <sqlite3.h>

#include <cstdint>
#include <limits>
#include <memory>
#include <string>
#include <string_view>

namespace app {

class RowReader {
 public:
  // Throws SQLite::Exception, as next() does.
  RowReader(SQLite::Database& database, const std::string& query) : database_(database) {
    sqlite3_stmt* made = nullptr;
    if (sqlite3_prepare_v2(database.getHandle(), query.c_str(), static_cast<int>(query.size()), &made, nullptr) !=
        SQLITE_OK)
      throw SQLite::Exception(database.getHandle());
    statement_.reset(made);
  }
  void bind(int place, std::int64_t value) { sqlite3_bind_int64(statement_.get(), place, value); }
  void bind(int place, const std::string& value) {
    sqlite3_bind_text(statement_.get(), place, value.data(), static_cast<int>(value.size()), SQLITE_TRANSIENT);
  }

  bool next() {
    const int code = sqlite3_step(statement_.get());
    if (code == SQLITE_ROW) return true;
    if (code != SQLITE_DONE) throw SQLite::Exception(database_.getHandle(), code);
    return false;
  }
  // Until the next row.
  std::string_view text(int column) const {
    const unsigned char* bytes = sqlite3_column_text(statement_.get(), column);
    if (bytes == nullptr) return {};
    return {reinterpret_cast<const char*>(bytes),
            static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
  }
  std::int64_t integer(int column) const { return sqlite3_column_int64(statement_.get(), column); }
  // NaN for null.
  double number(int column) const {
    const double value = sqlite3_column_double(statement_.get(), column);
    if (value == 0.0 && sqlite3_column_type(statement_.get(), column) == SQLITE_NULL)
      return std::numeric_limits<double>::quiet_NaN();
    return value;
  }
  float single(int column) const { return static_cast<float>(number(column)); }

 private:
  struct End {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  SQLite::Database& database_;
  std::unique_ptr<sqlite3_stmt, End> statement_;
};

}  // namespace app

#include "app/backup/row_digest.h"

#include "app/backup/sha256.h"

namespace app {
namespace {

// Kind, length and bytes, so that no two rows come to the same.
void add(Sha256& sum, const SQLite::Column& column) {
  const int kind = column.getType();
  const auto add_bytes = [&](const void* bytes, std::int64_t count) {
    sum.add(&kind, sizeof kind);
    sum.add(&count, sizeof count);
    sum.add(bytes, static_cast<std::size_t>(count));
  };
  if (kind == SQLite::INTEGER) {
    const std::int64_t value = column.getInt64();
    add_bytes(&value, sizeof value);
  } else if (kind == SQLite::FLOAT) {
    const double value = column.getDouble();
    add_bytes(&value, sizeof value);
  } else {
    const void* bytes = column.getBlob();
    add_bytes(bytes, column.getBytes());
  }
}

}  // namespace

RowDigest row_digest(SQLite::Database& database) {
  RowDigest out;
  Sha256 sum;
  for (const char* table : kBackedUp) {
    SQLite::Statement rows(database, std::string("SELECT * FROM ") + table + " ORDER BY rowid");
    std::int64_t& count = out.counts[table];
    while (rows.executeStep()) {
      ++count;
      for (int i = 0; i < rows.getColumnCount(); ++i) add(sum, rows.getColumn(i));
    }
    sum.add(&count, sizeof count);
  }
  out.sha256 = sum.hex();
  return out;
}

}  // namespace app

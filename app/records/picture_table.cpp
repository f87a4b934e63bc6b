#include "app/records/picture_table.h"

#include <cstdint>

namespace app {

void insert_pictures(SQLite::Database& database, const std::vector<PiecePicture>& pictures, std::size_t most) {
  SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
  SQLite::Statement add(database,
                        "INSERT INTO picture (piece, time_utc, jpeg) VALUES (?, ?, ?) ON CONFLICT (piece) DO NOTHING");
  for (const PiecePicture& one : pictures) {
    add.bind(1, one.piece);
    add.bind(2, one.time_utc);
    add.bind(3, one.jpeg.data(), static_cast<int>(one.jpeg.size()));
    add.exec();
    add.reset();
  }
  SQLite::Statement old(database,
                        "DELETE FROM picture WHERE piece IN "
                        "(SELECT piece FROM picture ORDER BY time_utc DESC, piece DESC LIMIT -1 OFFSET ?)");
  old.bind(1, static_cast<std::int64_t>(most));
  old.exec();
  all.commit();
}

std::optional<PiecePicture> picture_of(SQLite::Database& database, const std::string& piece_id) {
  SQLite::Statement row(database, "SELECT time_utc, jpeg FROM picture WHERE piece = ?");
  row.bind(1, piece_id);
  if (!row.executeStep()) return std::nullopt;
  const SQLite::Column jpeg = row.getColumn(1);
  const auto* bytes = static_cast<const unsigned char*>(jpeg.getBlob());
  return PiecePicture{piece_id, row.getColumn(0).getString(), {bytes, bytes + jpeg.getBytes()}};
}

}  // namespace app

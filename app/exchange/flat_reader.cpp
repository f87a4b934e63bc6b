#include "app/exchange/flat_reader.h"

#include <map>
#include <string>

#include "app/records/corrected.h"
#include "app/records/piece_table.h"
#include "app/records/table_rows.h"

namespace app {

void each_flat_piece(SQLite::Database& database, const std::vector<std::int64_t>& seqs,
                     const std::function<void(const FlatPiece&)>& take) {
  const NameHistory names(namings_of(database));
  std::map<std::string, std::vector<Correction>> corrections;  // of pieces; there are few
  SQLite::Statement all = selection<Correction>(database, "ORDER BY time_utc, id");
  for (Correction& one : records_in<Correction>(all)) corrections[one.piece].push_back(std::move(one));
  SQLite::Statement pieces = selection<PieceRecord>(database, "WHERE seq = ?");
  for (const std::int64_t seq : seqs) {
    pieces.bind(1, seq);
    if (auto piece = first_in<PieceRecord>(pieces)) {
      FlatPiece flat;
      flat.piece = std::move(*piece);
      const auto found = corrections.find(flat.piece.id);
      flat.set_aside =
          correct(flat.piece, found == corrections.end() ? std::vector<Correction>() : found->second, names);
      flat.inspection = inspection_of(database, flat.piece.id);
      if (flat.inspection)
        flat.inspection->operator_name = names.now(flat.inspection->operator_name, flat.inspection->time_utc);
      take(flat);
    }
    pieces.reset();
  }
}

}  // namespace app

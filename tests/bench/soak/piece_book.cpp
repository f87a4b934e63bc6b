#include "tests/bench/soak/piece_book.h"

#include <algorithm>
#include <cmath>

namespace soak {

bool PieceBook::is_of(const app::PieceRecord& record, long piece) const {
  return piece >= 0 && truth_.truth(static_cast<int>(piece % truth_.pieces())).sticker == record.piece.sticker;
}

long PieceBook::recorded(const app::PieceRecord& record, long in_hand) {
  const long piece = is_of(record, in_hand - 1) ? in_hand - 1 : is_of(record, in_hand) ? in_hand : -1;
  if (piece < 0) {
    ++strangers_;
    return piece;
  }
  if (!recorded_.insert(piece).second) ++doubled_;
  const app::TrueReading& truth = truth_.truth(static_cast<int>(piece % truth_.pieces())).reading;
  const double off_mm = std::hypot(record.piece.reading.offset_x_mm - truth.offset_x_mm,
                                   record.piece.reading.offset_y_mm - truth.offset_y_mm);
  const double off_deg = std::abs(record.piece.reading.rotation_deg - truth.rotation_deg);
  if (!(off_mm <= kWrong_mm) || !(off_deg <= kWrong_deg)) ++wrong_;
  worst_mm_ = std::max(worst_mm_, off_mm);
  worst_deg_ = std::max(worst_deg_, off_deg);
  return piece;
}

std::vector<long> PieceBook::without_record(long played) const {
  std::vector<long> missing;
  for (long piece = 0; piece < played; ++piece)
    if (recorded_.count(piece) == 0) missing.push_back(piece);
  return missing;
}

}  // namespace soak

// Pieces played and pieces recorded: none missing, none twice, none wrong.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "app/records/piece_log.h"
#include "tests/bench/soak/fault_book.h"
#include "tests/bench/soak/replay.h"

namespace soak {

// Off by more than this, a reading is wrong.
inline constexpr double kWrong_mm = 0.5, kWrong_deg = 0.3;

class PieceBook {
 public:
  explicit PieceBook(const RenderedPieces& truth) : truth_(truth) {}

  // A record came while the piece `in_hand` was played; it is that piece's or the one before. Gives the piece's number,
  // or -1 when it is neither's.
  long recorded(const app::PieceRecord& record, long in_hand);
  // Of the pieces 0 .. played - 1.
  std::vector<long> without_record(long played) const;
  long records() const { return static_cast<long>(recorded_.size()); }
  long doubled() const { return doubled_; }
  long wrong() const { return wrong_; }
  long strangers() const { return strangers_; }
  double worst_mm() const { return worst_mm_; }
  double worst_deg() const { return worst_deg_; }

 private:
  bool is_of(const app::PieceRecord& record, long piece) const;

  const RenderedPieces& truth_;
  std::set<long> recorded_;
  long doubled_ = 0, wrong_ = 0, strangers_ = 0;
  double worst_mm_ = 0.0, worst_deg_ = 0.0;
};

}  // namespace soak

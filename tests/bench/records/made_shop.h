// A shop's pieces, made up from a seed: four people, five hoops, working days over the years. Invented.
#pragma once

#include <cstdint>
#include <random>
#include <string>

#include "app/records/piece_record.h"

namespace bench {

class MadeShop {
 public:
  // The first piece's time; pieces follow one another by so many seconds on average.
  explicit MadeShop(std::int64_t first_s, double between_s = 180.0, std::uint64_t seed = 1)
      : time_s_(static_cast<double>(first_s)), between_s_(between_s), random_(seed) {}

  app::PieceRecord next();
  std::int64_t time_s() const { return static_cast<std::int64_t>(time_s_); }

 private:
  double normal() { return normal_(random_); }

  double time_s_, between_s_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
  int number_ = 0;
};

}  // namespace bench

// Counts what one contestant reached on a set of scenes, and prints it.
#pragma once

#include <cstdio>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "tests/bench/contestants.h"

namespace bench {

// A reading off by more than this, or with a wrong side up, is a wrong reading.
inline constexpr double kWrongOffsetMm = 0.5, kWrongAngleDeg = 0.3;

struct Row {
  Scene truth;
  Outcome outcome;
  double reference_cpu_ms = 0.0;  // OpenCV's on the same frame; 0 when it was not run there
};

class Tally {
 public:
  explicit Tally(std::string name, bool is_peer) : name_(std::move(name)), is_peer_(is_peer) {}
  void add(Row row) { rows_.push_back(std::move(row)); }

  // Every figure of the table, and with `each_frame` a row a frame.
  nlohmann::json summary(bool each_frame) const;

 private:
  std::string name_;
  bool is_peer_;
  std::vector<Row> rows_;
};

// One table a set, from the summaries.
void print_table(std::FILE* out, const std::string& title, const std::vector<nlohmann::json>& summaries);

}  // namespace bench

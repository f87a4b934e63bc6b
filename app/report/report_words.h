// Numbers of a report in words: English, in the units that were asked for.
#pragma once

#include <cstdint>
#include <string>

#include "app/figures/univariate.h"
#include "app/units.h"

namespace app {

inline constexpr const char* kNoFigure = "\u2013";

class ReportWords {
 public:
  explicit ReportWords(Units units) : units_(units) {}
  Units units() const { return units_; }

  // "0.62 mm"; the number alone; with its sign.
  std::string length(double mm) const;
  std::string length_number(double mm) const;
  std::string signed_length(double mm) const;
  std::string lengths(const Interval& mm) const;         // "0.51 to 0.73"
  std::string signed_lengths(const Interval& mm) const;  // "-0.51 to +0.73"
  const char* unit() const;                              // "mm", "in"

 private:
  Units units_;
};

std::string degrees(double deg);  // "0.42"
std::string signed_degrees(double deg);
std::string percent(double share);                                          // "93.1 %"
std::string percents(const Interval& share);                                // "91.5 to 94.4 %"
std::string plain(double value, int decimals);                              // kNoFigure for what is no number
std::string counted(std::size_t count, const char* one, const char* many);  // "1 piece", "12 pieces"
std::string probability(double p);                                          // "p = 0.03", "p < 0.001"
// "2026-01-31", by the clock on the wall.
std::string day_text(std::int64_t time_s);

}  // namespace app

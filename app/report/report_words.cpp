#include "app/report/report_words.h"

#include <cmath>
#include <ctime>

#include "app/format.h"

namespace app {
namespace {

std::string with_sign(double value, int decimals) {
  if (!std::isfinite(value)) return kNoFigure;
  std::string text = format("%+.*f", decimals, value);
  if (text.find_first_of("123456789") == std::string::npos) return text.substr(1);
  return text[0] == '-' ? "\u2212" + text.substr(1) : text;
}

// As fine as a reading is.
int decimals_of(Units units) { return units == Units::mm ? 2 : 3; }

std::string spanned(const Interval& one, const std::string& low, const std::string& high) {
  return std::isfinite(one.low) && std::isfinite(one.high) ? low + " to " + high : std::string();
}

}  // namespace

std::string plain(double value, int decimals) {
  if (!std::isfinite(value)) return kNoFigure;
  const std::string text = with_sign(value, decimals);
  return text[0] == '+' ? text.substr(1) : text;
}

std::string ReportWords::length_number(double mm) const { return plain(in_units(mm, units_), decimals_of(units_)); }
std::string ReportWords::length(double mm) const { return length_number(mm) + ' ' + unit(); }
std::string ReportWords::signed_length(double mm) const { return with_sign(in_units(mm, units_), decimals_of(units_)); }
std::string ReportWords::lengths(const Interval& mm) const {
  return spanned(mm, length_number(mm.low), length_number(mm.high));
}
std::string ReportWords::signed_lengths(const Interval& mm) const {
  return spanned(mm, signed_length(mm.low), signed_length(mm.high));
}
const char* ReportWords::unit() const { return units_ == Units::mm ? "mm" : "in"; }

std::string degrees(double deg) { return plain(deg, 2); }
std::string signed_degrees(double deg) { return with_sign(deg, 2); }
std::string percent(double share) { return plain(100.0 * share, 1) + " %"; }
std::string percents(const Interval& share) {
  return spanned(share, plain(100.0 * share.low, 1), plain(100.0 * share.high, 1) + " %");
}

std::string counted(std::size_t count, const char* one, const char* many) {
  return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

std::string probability(double p) { return p < 0.001 ? "p < 0.001" : "p = " + plain(p, p < 0.1 ? 3 : 2); }

std::string day_text(std::int64_t time_s) {
  const std::time_t time = time_s;
  std::tm parts{};
  ::localtime_r(&time, &parts);
  char text[16];
  std::strftime(text, sizeof text, "%Y-%m-%d", &parts);
  return text;
}

}  // namespace app

#include "app/units.h"

#include <cmath>
#include <cstdlib>

#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kGuideWholeFrom_mm = 10.0;
constexpr int kCoarse = 10;  // fine steps

int decimals_of(double mm, LengthKind kind, Units units) {
  const bool inch = units == Units::inch;
  switch (kind) {
    case LengthKind::guide:
      // As rounded to one decimal: 9.96 is shown as 10.
      return inch ? 2 : std::round(std::abs(mm) * 10.0) < kGuideWholeFrom_mm * 10.0 ? 1 : 0;
    case LengthKind::field:
      return inch ? 2 : std::abs(mm - std::round(mm)) < 0.05 ? 0 : 1;
    case LengthKind::height:
      return inch ? 3 : 1;
    case LengthKind::fine:
      break;
  }
  return inch ? 3 : 2;
}

// A value that rounds to nothing has no sign.
std::string rounded(double value, int decimals) {
  if (!std::isfinite(value)) return "-";
  const double scale = std::pow(10.0, decimals);
  return number(std::round(value * scale) == 0.0 ? 0.0 : value, decimals);
}

// In the unit.
double fine_step(LengthKind kind, Units units) {
  const bool inch = units == Units::inch;
  switch (kind) {
    case LengthKind::guide:
      return inch ? 0.01 : 0.1;
    case LengthKind::field:
      return inch ? 0.05 : 1.0;
    case LengthKind::height:
      return inch ? 0.005 : 0.1;
    case LengthKind::fine:
      break;
  }
  return inch ? 0.001 : 0.01;
}

}  // namespace

double in_units(double mm, Units units) { return units == Units::inch ? mm / kMmPerInch : mm; }

double mm_from(double value, Units units) { return units == Units::inch ? value * kMmPerInch : value; }

const char* unit_word(Units units) { return units == Units::inch ? tr("in") : tr("mm"); }

std::string length_number(double mm, LengthKind kind, Units units) {
  return rounded(in_units(mm, units), decimals_of(mm, kind, units));
}

std::string length_text(double mm, LengthKind kind, Units units) {
  return format(units == Units::inch ? tr("%s in") : tr("%s mm"), length_number(mm, kind, units).c_str());
}

std::string size_text(double width_mm, double height_mm, Units units) {
  return format(units == Units::inch ? tr("%s x %s in") : tr("%s x %s mm"),
                length_number(width_mm, LengthKind::field, units).c_str(),
                length_number(height_mm, LengthKind::field, units).c_str());
}

double shown_step_mm(double mm, LengthKind kind, Units units) {
  return mm_from(std::pow(10.0, -decimals_of(mm, kind, units)), units);
}

double stepped_mm(double mm, int steps, bool coarse, LengthKind kind, Units units) {
  const double fine = fine_step(kind, units);
  const double value = in_units(mm, units) / fine;
  // On the grid but for rounding?
  const double nearest = std::round(value);
  const double from = std::abs(value - nearest) < 1e-6 ? nearest : steps > 0 ? std::floor(value) : std::ceil(value);
  return mm_from((from + steps * (coarse ? kCoarse : 1)) * fine, units);
}

std::string step_label(int steps, bool coarse, LengthKind kind, Units units) {
  const double step = std::abs(steps) * fine_step(kind, units) * (coarse ? kCoarse : 1);
  int decimals = 0;
  for (double shown = step; decimals < 3 && std::abs(shown - std::round(shown)) > 1e-6; shown *= 10.0) ++decimals;
  return (steps > 0 ? "+" : "\u2212") + number(step, decimals);
}

}  // namespace app

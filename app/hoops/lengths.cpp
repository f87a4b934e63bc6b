#include "app/hoops/lengths.h"

#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace app {
namespace {

// In the unit.
double fine_step(LengthKind kind, Unit unit) {
  if (unit == Unit::mm) return kind == LengthKind::height ? 0.1 : 1.0;
  return kind == LengthKind::height ? 0.005 : 0.05;
}

constexpr int kCoarse = 10;  // fine steps

std::string format(const char* pattern, double value) {
  char text[48];
  std::snprintf(text, sizeof text, pattern, value);
  return text;
}

}  // namespace

std::string length_text(double mm, LengthKind kind, Unit unit) {
  if (unit == Unit::inch) return format(kind == LengthKind::height ? "%.3f in" : "%.2f in", mm / kMmPerInch);
  const bool whole = std::abs(mm - std::round(mm)) < 0.05;
  return format(kind == LengthKind::height || !whole ? "%.1f mm" : "%.0f mm", mm);
}

double stepped_mm(double mm, int steps, bool coarse, LengthKind kind, Unit unit) {
  const double fine = fine_step(kind, unit);
  const double value = (unit == Unit::mm ? mm : mm / kMmPerInch) / fine;
  // On the grid but for rounding?
  const double nearest = std::round(value);
  const double from = std::abs(value - nearest) < 1e-6 ? nearest : steps > 0 ? std::floor(value) : std::ceil(value);
  const double to = (from + steps * (coarse ? kCoarse : 1)) * fine;
  return unit == Unit::mm ? to : to * kMmPerInch;
}

std::string step_label(int steps, bool coarse, LengthKind kind, Unit unit) {
  const double step = std::abs(steps) * fine_step(kind, unit) * (coarse ? kCoarse : 1);
  char text[48];
  std::snprintf(text, sizeof text, "%s%g", steps > 0 ? "+" : "\u2212", step);
  return text;
}

}  // namespace app

#include "app/report/plot_axis.h"

#include <algorithm>
#include <cmath>

#include "app/report/report_words.h"

namespace app {

double tick_step(double range, int most) {
  if (!(range > 0.0) || !std::isfinite(range)) return 1.0;
  const double power = std::pow(10.0, std::floor(std::log10(range / most)));
  for (const double times : {1.0, 2.0, 5.0})
    if (range / (times * power) <= most * (1.0 + 1e-9)) return times * power;
  return 10.0 * power;
}

std::vector<double> ticks(double low, double high, int most) {
  const double step = tick_step(high - low, most);
  std::vector<double> out;
  const auto first = static_cast<long>(std::ceil(low / step - 1e-9)),
             last = static_cast<long>(std::floor(high / step + 1e-9));
  for (long i = first; i <= last; ++i) out.push_back(static_cast<double>(i) * step);
  return out;
}

std::string tick_text(double value, double step) {
  return plain(value, std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9))));
}

}  // namespace app

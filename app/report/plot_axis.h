// A scale of a drawing: values to pixels, and where its ticks stand.
#pragma once

#include <string>
#include <vector>

namespace app {

struct PlotAxis {
  double low = 0.0, high = 1.0;      // values ...
  double at_low = 0.0, at_high = 1;  // ... and their px
  double px(double value) const { return at_low + (value - low) / (high - low) * (at_high - at_low); }
};

// 1, 2 or 5 times a power of ten: the least step that makes no more than `most` of the range.
double tick_step(double range, int most);
// Multiples of the step from low to high.
std::vector<double> ticks(double low, double high, int most);
// As many decimals as the step has.
std::string tick_text(double value, double step);

}  // namespace app

// Mean and spread of one column of numbers, with the intervals that a reader may trust.
#pragma once

#include <cstddef>
#include <span>

namespace app {

struct Interval {
  double low = 0.0, high = 0.0;
};

struct Univariate {
  std::size_t count = 0;
  double mean = 0.0;
  double sd = 0.0;    // with n - 1; NaN for fewer than two
  double lag1 = 0.0;  // autocorrelation of neighbours; NaN for fewer than two or without scatter
};

// Two passes of differences from the first value, in long double. NaN for no values.
Univariate univariate(std::span<const double> values);

// Of the mean by Student's t, of the standard deviation by chi-square; both suppose independent values of a bell
// curve. NaN for fewer than two.
Interval interval_of_mean(const Univariate& figures, double confidence = 0.95);
Interval interval_of_sd(const Univariate& figures, double confidence = 0.95);

// The share `hits` of `count` by E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
// J. Am. Stat. Assoc. 22 (1927) 209-212, without continuity correction. 0 to 1 for no values.
Interval wilson_interval(std::size_t hits, std::size_t count, double confidence = 0.95);

}  // namespace app

// Student's t, Fisher's F and chi-square: distribution and quantile, to about 1e-12. Degrees of freedom need not be
// whole numbers.
#pragma once

namespace calib {

// Regularised incomplete beta function I_x(a, b); a, b > 0 and x in [0, 1], else NaN.
double incomplete_beta(double a, double b, double x);

// P(T <= t), and P(F <= f) with `upper` degrees of freedom of the numerator. dof > 0, else NaN; infinite dof is
// allowed for t.
double student_cdf(double t, double dof);
double fisher_cdf(double f, double upper_dof, double lower_dof);
// P(F > f), without the loss of digits of 1 - P.
double fisher_tail(double f, double upper_dof, double lower_dof);

// The t, or f, below which the probability is p; p in (0, 1), else NaN.
double student_quantile(double p, double dof);
double fisher_quantile(double p, double upper_dof, double lower_dof);

// Regularised lower incomplete gamma function P(a, x); a > 0 and x >= 0, else NaN.
double incomplete_gamma(double a, double x);
double chi_square_cdf(double x, double dof);
double chi_square_quantile(double p, double dof);

// The standard normal distribution.
double normal_cdf(double z);
double normal_quantile(double p);

}  // namespace calib

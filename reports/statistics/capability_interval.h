// How uncertain a capability index is: its confidence interval from the number of values.
//
// df are the degrees of freedom of the sigma used, n the number of values behind the mean. Confidence lies in (0, 1),
// df and n are positive; else std::domain_error. A negative nearer index (the mean lies outside) is allowed.
#pragma once

namespace crimpgate::statistics {

struct Interval {
    double lower = 0, upper = 0;
};

// Cp, Pp: sigma's chi-squared; exact for a normal process. Cp sqrt(chi2(a/2, df) / df) .. Cp sqrt(chi2(1 - a/2, df) /
// df).
Interval spread_index_interval(double index, double df, double confidence);
double spread_index_lower_bound(double index, double df, double confidence);

// Cpk, Ppk, and one side alone: Bissell, Applied Statistics 39 (1990) 331-340:
//   index +- z sqrt(1 / (9 n) + index^2 / (2 df)).
// An approximation. For one side it is close from n of about 20; where the mean is near the middle the true coverage of
// the nearer index is a little higher.
Interval nearer_index_interval(double index, double n, double df, double confidence);
double nearer_index_lower_bound(double index, double n, double df, double confidence);

// Cpm: Boyles, Journal of Quality Technology 23 (1991) 17-26, the chi-squared approximation with
//   df = n (1 + x^2)^2 / (1 + 2 x^2), x = (m - T) / s  [formula from memory; its coverage is measured by the tests].
Interval target_index_interval(double index, double n, double offset_in_sigmas, double confidence);
double target_index_lower_bound(double index, double n, double offset_in_sigmas, double confidence);

}  // namespace crimpgate::statistics

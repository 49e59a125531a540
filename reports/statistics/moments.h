// Mean and spread of a sample, computed so that a large offset costs no digits.
//
// Sources: two passes with the corrected sum (Chan, Golub, LeVeque, The American Statistician 37 (1983) 242-247) over
// compensated sums (Neumaier). Checked against the certified values of NIST StRD, univariate summary statistics.
// Unit: that of the values; crimpgate hands in whole nanometres, which a double holds exactly.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace crimpgate::statistics {

// Sum of the values with an error that does not grow with their number.
double exact_sum(std::span<const double> values);

struct Moments {
    std::size_t n = 0;
    double mean = 0;                // 0 without values
    double squared_deviations = 0;  // sum of (x - mean)^2
    // With n - 1; nothing for fewer than two values.
    std::optional<double> variance() const;
    std::optional<double> sd() const;
};
Moments moments_of(std::span<const double> values);

// sum (x_i - m)(x_i+1 - m) / sum (x_i - m)^2; nothing when all are equal or there are fewer than two.
std::optional<double> lag1_autocorrelation(std::span<const double> values);

// The value below which a share p of the sorted sample lies, linear between neighbours at (n - 1) p (Hyndman and Fan,
// The American Statistician 50 (1996) 361-365, definition 7). Nothing without values.
std::optional<double> quantile(std::span<const double> values, double p);

}  // namespace crimpgate::statistics

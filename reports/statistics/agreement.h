// Do two measurements of the same pieces agree? Limits of agreement for lengths, kappa for verdicts.
//
// Limits of agreement: Bland and Altman, The Lancet 327 (1986) 307-310, and Statistical Methods in Medical Research 8
// (1999) 135-160: mean difference d +- multiplier * s of the differences. Standard errors: of the mean s / sqrt(n), of
// a limit sqrt(3 s^2 / n), their approximation of 1986; intervals with Student's t, n - 1. Unit: that of the values.
// Nothing here judges a piece.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "reports/statistics/capability_interval.h"

namespace crimpgate::statistics {

struct MeasuredTwice {
    double first = 0, again = 0;
};
struct Agreement {
    std::size_t pairs = 0;
    double mean_difference = 0;  // again - first
    double sd_of_differences = 0;
    double lower_limit = 0, upper_limit = 0;
    Interval mean_interval, lower_limit_interval, upper_limit_interval;
    std::size_t outside_limits = 0;
    // Does the difference grow with the size measured? Correlation of difference and mean of the two, and its p value
    // (Student's t, n - 2; 1999, section 3). Nothing for fewer than three pairs or when either does not vary.
    std::optional<double> trend_correlation, trend_p;
};
// 1.96 takes in 95 % of normal differences; the paper of 1986 rounded it to 2.
inline constexpr double limits_multiplier = 1.96;
// Nothing for fewer than two pairs.
std::optional<Agreement> agreement_of(std::span<const MeasuredTwice> pairs, double multiplier = limits_multiplier,
                                      double confidence = 0.95);

// Cohen's kappa (Educational and Psychological Measurement 20 (1960) 37-46): agreement of two raters beyond chance.
// counts[i][j]: pieces that the first called i and the second j. Square and not negative, else std::domain_error.
struct Kappa {
    std::int64_t pieces = 0;
    double observed = 0;        // share on which they agree
    double by_chance = 0;       // share expected from the margins alone
    double kappa = 0;           // (observed - by_chance) / (1 - by_chance)
    double standard_error = 0;  // sqrt(observed (1 - observed) / (n (1 - by_chance)^2)), the paper's formula 7
};
// Nothing without pieces, or when both called every piece the same: then nothing is known beyond chance.
std::optional<Kappa> cohen_kappa(const std::vector<std::vector<std::int64_t>>& counts);

}  // namespace crimpgate::statistics

// The standard deviation of a process, estimated in the ways that capability indices and control charts know, each with
// how sure it is.
//
// Unit: that of the values. `degrees_of_freedom` says how sure: df sigma^2 / true^2 is about chi-squared with df. It is
// exact for `pooled` and `overall`; for ranges, mean s and moving ranges it is the df whose chi has the estimate's own
// coefficient of variation (Patnaik, Biometrika 37 (1950) 78-87): df = 1 / (2 sqrt(1 + 2 v) - 2), v = var / mean^2.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

enum class SpreadFrom {
    mean_range,         // within subgroups: mean of R / d2(n)
    mean_s,             // within subgroups: mean of s / c4(n)
    pooled,             // within subgroups: root of the pooled variance
    mean_moving_range,  // between neighbours in time: mean of |x_i - x_i-1| / d2(2)
    overall,            // s of all values, n - 1
};
struct Spread {
    double sigma = 0;
    double degrees_of_freedom = 0;
    SpreadFrom from = SpreadFrom::overall;
};
// What stands beside an index: which sigma it used.
Message words_for(SpreadFrom from);

using Subgroups =
    std::span<const std::vector<double>>;  // in time order; sizes may differ, for a reading may be missing

// Within subgroups; nothing when no subgroup has two values. `from` is mean_range, mean_s or pooled, else
// std::domain_error. Subgroups of one value say nothing about it and are passed over.
std::optional<Spread> spread_within(Subgroups subgroups, SpreadFrom from);

// Nothing for fewer than two values.
std::optional<Spread> spread_of_neighbours(std::span<const double> values);
std::optional<Spread> spread_overall(std::span<const double> values);

}  // namespace crimpgate::statistics

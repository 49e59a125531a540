// The decision rule: how the gauge's uncertainty counts.
//
// Guarded acceptance after ISO 14253-1:2017 (guard = 1.65 standard uncertainties: at the guard at least 95 % of the
// probability of a normal posterior lies inside the limit, Phi(1.65) = 95.05 %); other factors after JCGM 106:2012
// clause 8.3; simple acceptance has no guard. The guard is rounded outward (up) to a whole nanometre once and stored
// with the reading, so that nobody recomputes it later with other rounding.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "specs/spec_row.h"

namespace crimpgate {

enum class Verdict { conforms, fails, uncertain };

// factor x u, rounded up to a whole nm; zero for simple acceptance. u >= 0.
Length guard_of(const DecisionRule& rule, Length standard_uncertainty);

// sqrt(2) u, rounded up to a whole nm: of the difference of two readings by one gauge, such as a spread. u >= 0.
Length uncertainty_of_difference(Length standard_uncertainty);

// conforms: lower + guard <= value <= upper - guard (limits inclusive); fails: outside the limits themselves;
// uncertain: between a guard and its limit.
Verdict decide(const Band& band, Length guard, Length value);

// For the one-sided characteristics, which have a natural zero: 0 <= value <= upper.
Verdict decide_upper(Length upper, Length guard, Length value);

// P(value lies in the band) for a normal posterior N(value, u^2), JCGM 106:2012 clause 7; 0 to 1. Describes, decides
// nothing. With u = 0 it is 1 inside and 0 outside.
double conformity_probability(const Band& band, Length value, Length standard_uncertainty);

// A gauge as this check sees it.
struct GaugeChoice {
    std::string name;
    Length uncertainty;  // standard
};

// A band narrower than two guard bands leaves nothing to accept in: refused when the gauge is chosen
// ("rule.gauge_too_coarse" with the largest standard uncertainty that would do, and the names of those of `others`
// that would, "-" when none). Checks every length that the row asks for, spread included; a one-sided characteristic is
// refused when its limit is below one guard.
Result<void> gauge_suits(const SpecRow& row, const GaugeChoice& gauge, const std::vector<GaugeChoice>& others);

}  // namespace crimpgate

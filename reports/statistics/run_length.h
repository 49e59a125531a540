// How many points a chart draws on average until it signals: with an undisturbed process between two false alarms, with
// a shifted one until the shift is seen. For independent normal points, known centre and sigma; a chart whose limits
// come from few points differs.
//
// Run rules: the chart is a Markov chain over what it must remember of the last points (C. W. Champ and W. H. Woodall,
// Technometrics 29 (1987) 393-399), made from the rules, reduced to its smallest form and solved by elimination without
// subtraction (W. K. Grassmann, M. I. Taksar and D. P. Heyman, Operations Research 33 (1985) 1107-1116), so that the
// result keeps its digits however rare a signal is. CUSUM (Page 1954) and EWMA (S. V. Crowder, Technometrics 29 (1987)
// 401-407): integral equations, by Gauss-Legendre nodes (run_length_integral.cpp).
// Shifts are in sigma of the plotted figure, of either sign.
#pragma once

#include <cstddef>
#include <optional>

#include "reports/statistics/cusum.h"
#include "reports/statistics/run_rules.h"

namespace crimpgate::statistics {

// The rules of the set that see zones only, not the points' order of size: what average_run_length can reckon with.
RunRules zone_only(RunRules rules);

// On a location chart, for a fresh start. Nothing where no rule is on, and where a steady move or an alternation is
// among the rules: those depend on the points themselves. The value for zone_only(rules) is then an upper bound, and
// rules that are added only shorten it.
std::optional<double> average_run_length(const RunRules& rules, double shift_sigma);

// The number of states that the chain for these rules needs, without the signal itself; 0 where there is none.
std::size_t run_length_states(const RunRules& rules);

// Both sides together, from a fresh start (with the fast start if that is on).
double cusum_average_run_length(const CusumOptions& options, double shift_sigma);

// With steady limits, from a level on the centre. Precondition: 0 < lambda <= 1, width > 0, else std::domain_error.
double ewma_average_run_length(double lambda, double width, double shift_sigma);

}  // namespace crimpgate::statistics

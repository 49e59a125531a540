// Do the values look as if they came from one normal distribution, and what does the picture say?
//
// Sources: Anderson-Darling for a mean and sd estimated from the values, with the correction for small samples and the
// formulas for p of R. B. D'Agostino and M. A. Stephens (ed.), Goodness-of-Fit Techniques (1986), chapter 4, table 4.9.
// Plotting positions: J. J. Filliben, Technometrics 17 (1975) 111-117, as in NIST/SEMATECH e-Handbook 1.3.3.21.
// Units: values in their own, everything else without one.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

struct AndersonDarling {
    std::size_t n = 0;
    double a_squared = 0;
    double corrected = 0;  // A*^2 = A^2 (1 + 0.75 / n + 2.25 / n^2)
    double p = 0;          // small: the values do not look normal
};
// Refused: fewer than eight values (statistics.too_few_for_normality, the formulas were not made for fewer), values
// that are all equal (statistics.all_equal). A value from a gauge is a whole number of its steps: with few distinct
// values a small p may say no more than that.
Result<AndersonDarling> anderson_darling(std::span<const double> values);

// The formulas for p alone, from A*^2 (not negative). Above 10, where they were never meant to be used, that of 10.
double anderson_darling_p(double corrected);

struct NormalPoint {
    double value = 0;     // in rising order
    double position = 0;  // the share of the distribution that is expected below it: Filliben's median of its rank
    double score = 0;     // the standard normal value with that share below it
};
// Normal values lie near a straight line, mean at score 0, sd as its slope. No values, no points.
std::vector<NormalPoint> normal_plot(std::span<const double> values);

}  // namespace crimpgate::statistics

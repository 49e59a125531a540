// The distributions that the statistics need, behind plain functions: Boost.Math costs seconds in every file that
// includes it, so one file does.
//
// All take and give dimensionless numbers. Precondition: probabilities lie in (0, 1), degrees of freedom are positive;
// anything else is a bug of the caller and throws std::domain_error.
#pragma once

#include <cstdint>

namespace crimpgate::statistics {

// Standard normal. `upper` is the tail above z, exact where 1 - cdf would have lost every digit.
double normal_cdf(double z);
double normal_upper(double z);
double normal_quantile(double p);

double chi_squared_cdf(double x, double df);
double chi_squared_quantile(double p, double df);

// Student's t; df need not be whole.
double student_cdf(double t, double df);
double student_upper(double t, double df);
double student_quantile(double p, double df);

// Fisher's F: the tail above f.
double fisher_upper(double f, double df_numerator, double df_denominator);
double fisher_quantile(double p, double df_numerator, double df_denominator);

// At most k defective in a sample of n: from a process (binomial), from a lot of that many (hypergeometric).
double binomial_cdf(std::int64_t k, std::int64_t n, double p);
double hypergeometric_cdf(std::int64_t k, std::int64_t n, std::int64_t defective, std::int64_t lot);

}  // namespace crimpgate::statistics

// Between which limits does a stated share of a normal population lie, seen from a sample: mean +- k s.
//
// NIST/SEMATECH e-Handbook 7.2.6.3. n >= 2, share and confidence in (0, 1), else std::domain_error. Dimensionless.
#pragma once

namespace crimpgate::statistics {

// Two-sided, Howe's approximation (Journal of the American Statistical Association 64 (1969) 610-620):
//   k = z((1 + share) / 2) sqrt(df (1 + 1/n) / chi2(1 - confidence, df)), df = n - 1.
double tolerance_factor_howe(int n, double share, double confidence);

// Two-sided, exact: the k for which the integral over the mean's error of
//   P(chi2 > df r(z)^2 / k^2), with r(z) from Phi(z + r) - Phi(z - r) = share, equals the confidence.
double tolerance_factor_exact(int n, double share, double confidence);

// One-sided, exact: k = t(confidence, df, z(share) sqrt n) / sqrt n, non-central t.
double tolerance_factor_one_sided(int n, double share, double confidence);

}  // namespace crimpgate::statistics

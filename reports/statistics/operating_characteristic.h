// What a sampling plan really tells: the chance that a lot is accepted, and the plan that accepts on no bad piece (c =
// 0).
//
// A share of bad pieces and a confidence are whole parts per million where a sample size is reckoned from them, so that
// 7 % of 100 pieces are 7 and not 8. Arguments out of range throw std::domain_error.
#pragma once

#include <cstdint>

namespace crimpgate::statistics {

// Accepted with at most `accept` bad in a sample of n.
double acceptance_from_process(std::int64_t n, std::int64_t accept, double share_bad);                // binomial
double acceptance_from_lot(std::int64_t n, std::int64_t accept, std::int64_t bad, std::int64_t lot);  // hypergeometric

// The share of bad pieces that a plan accepts with this probability (0 < p < 1); accept < n.
double share_accepted_with(double probability, std::int64_t n, std::int64_t accept);

// Smallest n such that, with no bad piece among n, fewer than `share` are bad with that confidence:
// (1 - share)^n <= 1 - confidence, that is ceil(ln(1 - confidence) / ln(1 - share)).
std::int64_t zero_acceptance_size(std::int64_t share_ppm, std::int64_t confidence_ppm);
// The same for a lot of N: with D = ceil(share N) bad pieces in it, C(N - D, n) / C(N, n) <= 1 - confidence.
std::int64_t zero_acceptance_size_in_lot(std::int64_t lot, std::int64_t share_ppm, std::int64_t confidence_ppm);

}  // namespace crimpgate::statistics

#include "reports/statistics/operating_characteristic.h"

#include <cmath>
#include <stdexcept>

#include "reports/statistics/distributions.h"

namespace crimpgate::statistics {
namespace {

constexpr std::int64_t million = 1'000'000;
// Where a sample size comes out whole, rounding must not make it one more: (1/2)^2 is 1/4.
constexpr double rounding = 1e-12;

void require(bool sound) {
    if (!sound) throw std::domain_error("operating characteristic: a number is out of range");
}
bool is_share(std::int64_t ppm) {
    return ppm > 0 && ppm < million;
}

}  // namespace

double acceptance_from_process(std::int64_t n, std::int64_t accept, double share_bad) {
    require(n > 0 && accept >= 0);
    if (accept >= n) return 1;
    return binomial_cdf(accept, n, share_bad);
}

double acceptance_from_lot(std::int64_t n, std::int64_t accept, std::int64_t bad, std::int64_t lot) {
    require(n > 0 && accept >= 0 && bad >= 0 && bad <= lot && n <= lot);
    if (accept >= n || accept >= bad) return 1;
    return hypergeometric_cdf(accept, n, bad, lot);
}

double share_accepted_with(double probability, std::int64_t n, std::int64_t accept) {
    require(probability > 0 && probability < 1 && n > 0 && accept >= 0 && accept < n);
    // The chance of acceptance falls as the share of bad pieces grows: halve until nothing lies between.
    double low = 0, high = 1;
    for (;;) {
        const double middle = low + (high - low) / 2;
        if (!(low < middle && middle < high) || high - low < 1e-15) return middle;
        (binomial_cdf(accept, n, middle) > probability ? low : high) = middle;
    }
}

std::int64_t zero_acceptance_size(std::int64_t share_ppm, std::int64_t confidence_ppm) {
    require(is_share(share_ppm) && is_share(confidence_ppm));
    const double one_good = std::log1p(-static_cast<double>(share_ppm) / million);
    const double all_good = std::log(static_cast<double>(million - confidence_ppm) / million);
    return static_cast<std::int64_t>(std::ceil(all_good / one_good * (1 - rounding)));
}

std::int64_t zero_acceptance_size_in_lot(std::int64_t lot, std::int64_t share_ppm, std::int64_t confidence_ppm) {
    require(lot > 0 && lot <= million * million && is_share(share_ppm) && is_share(confidence_ppm));
    const std::int64_t bad = (lot * share_ppm + million - 1) / million;
    const double risk = static_cast<double>(million - confidence_ppm) / million * (1 + rounding);
    double none_found = 1;
    std::int64_t n = 0;
    while (none_found > risk) {
        none_found *= static_cast<double>(lot - bad - n) / static_cast<double>(lot - n);
        ++n;
    }
    return n;
}

}  // namespace crimpgate::statistics

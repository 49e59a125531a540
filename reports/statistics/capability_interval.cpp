#include "reports/statistics/capability_interval.h"

#include <cmath>
#include <stdexcept>

#include "reports/statistics/distributions.h"

namespace crimpgate::statistics {
namespace {

void require(double n, double df, double confidence) {
    if (!(n > 0) || !(df > 0) || !(confidence > 0 && confidence < 1))
        throw std::domain_error(
            "capability interval: numbers of values, degrees of freedom or confidence out of range");
}

double chi_factor(double probability, double df) {
    return std::sqrt(chi_squared_quantile(probability, df) / df);
}

double bissell_standard_error(double index, double n, double df) {
    return std::sqrt(1 / (9 * n) + index * index / (2 * df));
}

double boyles_degrees_of_freedom(double n, double offset_in_sigmas) {
    const double squared = offset_in_sigmas * offset_in_sigmas;
    return n * (1 + squared) * (1 + squared) / (1 + 2 * squared);
}

}  // namespace

Interval spread_index_interval(double index, double df, double confidence) {
    require(1, df, confidence);
    const double tail = (1 - confidence) / 2;
    return {index * chi_factor(tail, df), index * chi_factor(1 - tail, df)};
}

double spread_index_lower_bound(double index, double df, double confidence) {
    require(1, df, confidence);
    return index * chi_factor(1 - confidence, df);
}

Interval nearer_index_interval(double index, double n, double df, double confidence) {
    require(n, df, confidence);
    const double half = normal_quantile((1 + confidence) / 2) * bissell_standard_error(index, n, df);
    return {index - half, index + half};
}

double nearer_index_lower_bound(double index, double n, double df, double confidence) {
    require(n, df, confidence);
    return index - normal_quantile(confidence) * bissell_standard_error(index, n, df);
}

Interval target_index_interval(double index, double n, double offset_in_sigmas, double confidence) {
    return spread_index_interval(index, boyles_degrees_of_freedom(n, offset_in_sigmas), confidence);
}

double target_index_lower_bound(double index, double n, double offset_in_sigmas, double confidence) {
    return spread_index_lower_bound(index, boyles_degrees_of_freedom(n, offset_in_sigmas), confidence);
}

}  // namespace crimpgate::statistics

#include "reports/statistics/moments.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

#include "reports/statistics/compensated.h"

namespace crimpgate::statistics {
namespace {

bool all_equal(std::span<const double> values) {
    return std::all_of(values.begin(), values.end(), [&](double x) { return x == values.front(); });
}

}  // namespace

double exact_sum(std::span<const double> values) {
    CompensatedSum sum;
    for (const double x : values)
        sum.add(x);
    return static_cast<double>(sum.value());
}

std::optional<double> Moments::variance() const {
    if (n < 2) return std::nullopt;
    return squared_deviations / static_cast<double>(n - 1);
}

std::optional<double> Moments::sd() const {
    const auto v = variance();
    if (!v) return std::nullopt;
    return std::sqrt(*v);
}

Moments moments_of(std::span<const double> values) {
    // Said outright, so that a gauge that stands still has a spread of 0 and not of a rounding.
    if (values.empty()) return {};
    if (all_equal(values)) return {values.size(), values.front(), 0};
    const long double mean = mean_of(values);
    return {values.size(), static_cast<double>(mean), static_cast<double>(squared_deviations_of(values, mean))};
}

std::optional<double> lag1_autocorrelation(std::span<const double> values) {
    if (values.size() < 2 || all_equal(values)) return std::nullopt;
    const long double mean = mean_of(values);
    CompensatedSum products;
    for (std::size_t i = 0; i + 1 < values.size(); ++i)
        products.add((values[i] - mean) * (values[i + 1] - mean));
    return static_cast<double>(products.value() / squared_deviations_of(values, mean));
}

std::optional<double> quantile(std::span<const double> values, double p) {
    if (!(p >= 0 && p <= 1)) throw std::domain_error("a share lies between 0 and 1");
    if (values.empty()) return std::nullopt;
    std::vector<double> sorted(values.begin(), values.end());
    std::sort(sorted.begin(), sorted.end());
    const double place = static_cast<double>(sorted.size() - 1) * p;
    const auto below = static_cast<std::size_t>(place);
    const auto above = std::min(below + 1, sorted.size() - 1);
    return sorted[below] + (place - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

}  // namespace crimpgate::statistics

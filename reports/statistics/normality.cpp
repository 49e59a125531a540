#include "reports/statistics/normality.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

#include "reports/statistics/compensated.h"
#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

std::vector<double> sorted(std::span<const double> values) {
    std::vector<double> out(values.begin(), values.end());
    std::sort(out.begin(), out.end());
    return out;
}

// Far out a tail is 0 as a double; its logarithm is then that of the smallest one, and A^2 large enough.
double log_of_tail(double tail) {
    return std::log(std::max(tail, std::numeric_limits<double>::min()));
}

}  // namespace

double anderson_darling_p(double a) {
    if (!(a >= 0)) throw std::domain_error("A squared is never negative");
    if (a < 0.2) return 1 - std::exp(-13.436 + 101.14 * a - 223.73 * a * a);
    if (a < 0.34) return 1 - std::exp(-8.318 + 42.796 * a - 59.938 * a * a);
    if (a < 0.6) return std::exp(0.9177 - 4.279 * a - 1.38 * a * a);
    a = std::min(a, 10.0);
    return std::exp(1.2937 - 5.709 * a + 0.0186 * a * a);
}

Result<AndersonDarling> anderson_darling(std::span<const double> values) {
    constexpr std::size_t fewest = 8;
    if (values.size() < fewest)
        return refuse(message("statistics.too_few_for_normality")
                          .with("found", std::to_string(values.size()))
                          .with("needed", std::to_string(fewest)));
    const double sd = *moments_of(values).sd();
    if (!(sd > 0)) return refuse(message("statistics.all_equal").with("found", std::to_string(values.size())));

    const auto x = sorted(values);
    const std::size_t n = x.size();
    const long double mean = mean_of(x);
    CompensatedSum sum;
    for (std::size_t i = 0; i < n; ++i) {
        // Each tail by itself: 1 - cdf would lose the digits of the outermost values, which weigh most.
        const double lower = normal_cdf(static_cast<double>(x[i] - mean) / sd);
        const double upper = normal_upper(static_cast<double>(x[n - 1 - i] - mean) / sd);
        sum.add(static_cast<double>(2 * i + 1) * (log_of_tail(lower) + log_of_tail(upper)));
    }
    const auto count = static_cast<double>(n);
    AndersonDarling out;
    out.n = n;
    out.a_squared = static_cast<double>(-count - sum.value() / count);
    out.corrected = out.a_squared * (1 + 0.75 / count + 2.25 / (count * count));
    out.p = anderson_darling_p(std::max(0.0, out.corrected));
    return out;
}

std::vector<NormalPoint> normal_plot(std::span<const double> values) {
    const auto x = sorted(values);
    const auto n = static_cast<double>(x.size());
    const double last = std::pow(0.5, 1 / n);
    std::vector<NormalPoint> out;
    for (std::size_t i = 0; i < x.size(); ++i) {
        double position = (static_cast<double>(i + 1) - 0.3175) / (n + 0.365);
        // The last first: of a single value, both are 1/2.
        if (i + 1 == x.size()) position = last;
        if (i == 0) position = 1 - last;
        out.push_back({x[i], position, normal_quantile(position)});
    }
    return out;
}

}  // namespace crimpgate::statistics

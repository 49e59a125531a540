#include "reports/statistics/process_spread.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

// An unbiased estimate with this squared coefficient of variation, as if it were a chi.
double patnaik_degrees_of_freedom(double squared_variation) {
    return 1 / (2 * std::sqrt(1 + 2 * squared_variation) - 2);
}

}  // namespace

Message words_for(SpreadFrom from) {
    switch (from) {
        case SpreadFrom::mean_range:
            return message("capability.sigma_mean_range");
        case SpreadFrom::mean_s:
            return message("capability.sigma_mean_s");
        case SpreadFrom::pooled:
            return message("capability.sigma_pooled");
        case SpreadFrom::mean_moving_range:
            return message("capability.sigma_moving_range");
        case SpreadFrom::overall:
            return message("capability.sigma_overall");
    }
    throw std::domain_error("words_for: no such source of a spread");
}

std::optional<Spread> spread_within(Subgroups subgroups, SpreadFrom from) {
    if (from == SpreadFrom::mean_moving_range || from == SpreadFrom::overall)
        throw std::domain_error("spread_within: not a spread within subgroups");
    std::vector<double> terms;  // sigma from each subgroup alone, or its squared deviations
    double degrees_of_freedom = 0, variation = 0;
    for (const auto& subgroup : subgroups) {
        if (subgroup.size() < 2) continue;
        const auto moments = moments_of(subgroup);
        degrees_of_freedom += static_cast<double>(subgroup.size() - 1);
        if (from == SpreadFrom::pooled) {
            terms.push_back(moments.squared_deviations);
            continue;
        }
        const auto& constants = chart_constants(static_cast<int>(subgroup.size()));
        if (from == SpreadFrom::mean_range) {
            const auto [least, largest] = std::minmax_element(subgroup.begin(), subgroup.end());
            terms.push_back((*largest - *least) / constants.d2);
            variation += std::pow(constants.d3 / constants.d2, 2);
        } else {
            terms.push_back(*moments.sd() / constants.c4);
            variation += 1 / (constants.c4 * constants.c4) - 1;
        }
    }
    if (terms.empty()) return std::nullopt;
    if (from == SpreadFrom::pooled)
        return Spread{std::sqrt(exact_sum(terms) / degrees_of_freedom), degrees_of_freedom, from};
    const auto subgroups_used = static_cast<double>(terms.size());
    return Spread{exact_sum(terms) / subgroups_used,
                  patnaik_degrees_of_freedom(variation / (subgroups_used * subgroups_used)), from};
}

std::optional<Spread> spread_of_neighbours(std::span<const double> values) {
    if (values.size() < 2) return std::nullopt;
    std::vector<double> ranges;
    for (std::size_t i = 1; i < values.size(); ++i)
        ranges.push_back(std::abs(values[i] - values[i - 1]));
    const auto m = static_cast<double>(ranges.size());
    // Neighbouring ranges share a value. Of |X|, |Y| for normal X, Y with correlation r the mean product is
    // 2/pi (sqrt(1 - r^2) + r asin r); here r = -1/2. In units of the squared mean range, 2/pi of the variance:
    constexpr double variance = std::numbers::pi / 2 - 1;
    constexpr double covariance = std::numbers::sqrt3 / 2 + std::numbers::pi / 12 - 1;
    const double variation = (m * variance + 2 * (m - 1) * covariance) / (m * m);
    return Spread{exact_sum(ranges) / m / chart_constants(2).d2, patnaik_degrees_of_freedom(variation),
                  SpreadFrom::mean_moving_range};
}

std::optional<Spread> spread_overall(std::span<const double> values) {
    const auto sd = moments_of(values).sd();
    if (!sd) return std::nullopt;
    return Spread{*sd, static_cast<double>(values.size() - 1), SpreadFrom::overall};
}

}  // namespace crimpgate::statistics

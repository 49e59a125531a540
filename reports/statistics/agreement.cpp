#include "reports/statistics/agreement.h"

#include <cmath>
#include <stdexcept>

#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

struct Trend {
    double correlation = 0, p = 0;
};

std::optional<Trend> trend_of(std::span<const double> differences, std::span<const double> means) {
    const auto n = differences.size();
    const auto by_difference = moments_of(differences), by_mean = moments_of(means);
    if (n < 3 || !(by_difference.squared_deviations > 0) || !(by_mean.squared_deviations > 0)) return std::nullopt;
    std::vector<double> products(n);
    for (std::size_t i = 0; i < n; ++i)
        products[i] = (differences[i] - by_difference.mean) * (means[i] - by_mean.mean);
    const double r = exact_sum(products) / std::sqrt(by_difference.squared_deviations * by_mean.squared_deviations);
    const auto df = static_cast<double>(n - 2);
    const double unexplained = 1 - r * r;
    if (!(unexplained > 0)) return Trend{r, 0};
    return Trend{r, 2 * student_upper(std::abs(r) * std::sqrt(df / unexplained), df)};
}

}  // namespace

std::optional<Agreement> agreement_of(std::span<const MeasuredTwice> pairs, double multiplier, double confidence) {
    if (!(multiplier > 0) || !(confidence > 0 && confidence < 1))
        throw std::domain_error("agreement_of: multiplier or confidence out of range");
    if (pairs.size() < 2) return std::nullopt;
    std::vector<double> differences, means;
    for (const auto& pair : pairs) {
        differences.push_back(pair.again - pair.first);
        means.push_back(pair.first + (pair.again - pair.first) / 2);
    }
    const auto moments = moments_of(differences);
    const auto n = static_cast<double>(pairs.size());
    const double s = *moments.sd();

    Agreement agreement;
    agreement.pairs = pairs.size();
    agreement.mean_difference = moments.mean;
    agreement.sd_of_differences = s;
    agreement.lower_limit = moments.mean - multiplier * s;
    agreement.upper_limit = moments.mean + multiplier * s;

    const double t = student_quantile((1 + confidence) / 2, n - 1);
    const auto around = [](double middle, double half) { return Interval{middle - half, middle + half}; };
    const double of_a_limit = t * std::sqrt(3 * s * s / n);
    agreement.mean_interval = around(moments.mean, t * s / std::sqrt(n));
    agreement.lower_limit_interval = around(agreement.lower_limit, of_a_limit);
    agreement.upper_limit_interval = around(agreement.upper_limit, of_a_limit);
    for (const double difference : differences)
        if (difference < agreement.lower_limit || difference > agreement.upper_limit) ++agreement.outside_limits;
    if (const auto trend = trend_of(differences, means)) {
        agreement.trend_correlation = trend->correlation;
        agreement.trend_p = trend->p;
    }
    return agreement;
}

std::optional<Kappa> cohen_kappa(const std::vector<std::vector<std::int64_t>>& counts) {
    const auto kinds = counts.size();
    std::vector<std::int64_t> by_first(kinds, 0), by_second(kinds, 0);
    std::int64_t pieces = 0, agreed = 0;
    for (std::size_t i = 0; i < kinds; ++i) {
        if (counts[i].size() != kinds) throw std::domain_error("cohen_kappa: the table must be square");
        for (std::size_t j = 0; j < kinds; ++j) {
            if (counts[i][j] < 0) throw std::domain_error("cohen_kappa: a count below zero");
            by_first[i] += counts[i][j];
            by_second[j] += counts[i][j];
            pieces += counts[i][j];
            if (i == j) agreed += counts[i][j];
        }
    }
    if (pieces == 0) return std::nullopt;
    const auto n = static_cast<double>(pieces);
    Kappa kappa;
    kappa.pieces = pieces;
    kappa.observed = static_cast<double>(agreed) / n;
    bool all_one_kind = false;
    for (std::size_t i = 0; i < kinds; ++i) {
        kappa.by_chance += static_cast<double>(by_first[i]) / n * (static_cast<double>(by_second[i]) / n);
        all_one_kind = all_one_kind || (by_first[i] == pieces && by_second[i] == pieces);
    }
    if (all_one_kind) return std::nullopt;
    const double beyond_chance = 1 - kappa.by_chance;
    kappa.kappa = (kappa.observed - kappa.by_chance) / beyond_chance;
    kappa.standard_error = std::sqrt(kappa.observed * (1 - kappa.observed) / n) / beyond_chance;
    return kappa;
}

}  // namespace crimpgate::statistics

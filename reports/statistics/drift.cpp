#include "reports/statistics/drift.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <stdexcept>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/distributions.h"
#include "reports/statistics/ewma.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

double floor_of_sigma(const Running& r) {
    return r.resolution / std::sqrt(12.0);
}

Limits around(double centre, double sigma) {
    return {centre, centre - 3 * sigma, centre + 3 * sigma, sigma};
}

std::optional<Limits> limits_of(const Running& r, const DriftChoice& choice) {
    if (r.frozen) return around(r.frozen->centre, std::max(r.frozen->sigma, floor_of_sigma(r)));
    if (r.means.size() <= choice.base) return std::nullopt;
    const auto points = individual_points(std::span(r.means).first(choice.base));
    const auto limits = limits_from(ChartKind::individuals, points);
    const double sigma = std::max(limits ? limits->location.sigma : 0.0, floor_of_sigma(r));
    if (sigma <= 0) return std::nullopt;
    return around(moments_of(std::span(r.means).first(choice.base)).mean, sigma);
}

// Of all the means there are, for the share: the moving range does not take a drift for scatter.
double sigma_of(const Running& r, const std::optional<Limits>& limits) {
    if (limits) return limits->sigma;
    double ranges = 0;
    for (std::size_t i = 1; i < r.means.size(); ++i)
        ranges += std::abs(r.means[i] - r.means[i - 1]);
    const double mean_range = r.means.size() > 1 ? ranges / static_cast<double>(r.means.size() - 1) : 0;
    return std::max(mean_range / chart_constants(2).d2, floor_of_sigma(r));
}

double share_outside(const Running& r, double level, double sigma) {
    const double within = r.places > 1 ? moments_of(r.spreads).mean / chart_constants(r.places).d2 : 0;
    const double single = std::hypot(sigma, within);
    if (single <= 0) return level < r.accept_lower || level > r.accept_upper ? 1 : 0;
    return normal_upper((r.accept_upper - level) / single) + normal_cdf((r.accept_lower - level) / single);
}

}  // namespace

std::optional<DriftState> drift_state(const Running& r, const DriftChoice& choice) {
    if (r.spreads.size() != r.means.size() || r.places < 1 || !(r.accept_lower < r.accept_upper))
        throw std::domain_error("drift_state: means, spreads, places or zone");
    if (!(choice.weight > 0 && choice.weight <= 1)) throw std::domain_error("drift_state: weight");
    if (r.means.empty()) return std::nullopt;

    DriftState out;
    out.limits = limits_of(r, choice);
    out.sigma = sigma_of(r, out.limits);
    // From the first mean on: what the set-up piece was set to is not among the values.
    out.level = ewma_level(r.means, out.limits ? out.limits->centre : r.means.front(), choice.weight);
    out.correction = r.middle - out.level;
    out.signals =
        out.limits ? signals_at_last(r.means, *out.limits, choice.rules) : signals_at_last(r.means, choice.rules);
    if (r.means.size() >= choice.least) out.share = share_outside(r, out.level, out.sigma);
    out.warns = !out.signals.empty() || out.share > choice.share_limit;
    return out;
}

}  // namespace crimpgate::statistics

#include "reports/statistics/conformity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

#include "reports/statistics/distributions.h"

namespace crimpgate::statistics {
namespace {

void check(const ToleranceLimits& limits) {
    if (limits.lower && limits.upper && !(*limits.lower <= *limits.upper))
        throw std::domain_error("an upper limit lies above its lower one");
}
void check_u(double u) {
    if (!(u >= 0) || !std::isfinite(u)) throw std::domain_error("a standard uncertainty is 0 or more");
}

// P(a value from N(centre, u^2) lies inside), from whichever tail keeps its digits.
double inside(double centre, double u, const ToleranceLimits& limits) {
    if (u == 0) return limits.contains(centre) ? 1 : 0;
    const double above = limits.upper ? normal_upper((*limits.upper - centre) / u) : 0;
    const double below = limits.lower ? normal_cdf((*limits.lower - centre) / u) : 0;
    // Far outside, both tails on the other side are as good as 1 and their difference would be noise.
    if (above > 0.5) return std::max(0.0, normal_cdf((*limits.upper - centre) / u) - below);
    if (below > 0.5) return std::max(0.0, normal_upper((*limits.lower - centre) / u) - above);
    return std::max(0.0, 1 - above - below);
}
double outside(double centre, double u, const ToleranceLimits& limits) {
    if (u == 0) return limits.contains(centre) ? 0 : 1;
    const double above = limits.upper ? normal_upper((*limits.upper - centre) / u) : 0;
    const double below = limits.lower ? normal_cdf((*limits.lower - centre) / u) : 0;
    return std::min(1.0, above + below);
}

// Gauss-Legendre with five points: exact for polynomials up to degree nine (Abramowitz and Stegun 25.4.30). Panels
// are at most `step` wide.
template <class F>
double integral(const F& f, double from, double to, double step) {
    const double near = std::sqrt(5 - 2 * std::sqrt(10.0 / 7)) / 3, far = std::sqrt(5 + 2 * std::sqrt(10.0 / 7)) / 3;
    const double heavy = (322 + 13 * std::sqrt(70.0)) / 900, light = (322 - 13 * std::sqrt(70.0)) / 900;
    const auto panels = std::max(1.0, std::ceil((to - from) / step));
    const double half = (to - from) / panels / 2;
    double sum = 0;
    for (double i = 0; i < panels; ++i) {
        const double middle = from + (2 * i + 1) * half;
        sum += 128.0 / 225 * f(middle);
        sum += heavy * (f(middle - near * half) + f(middle + near * half));
        sum += light * (f(middle - far * half) + f(middle + far * half));
    }
    return sum * half;
}

// Where the integrand bends: the limits, and the stretch around each acceptance limit in which a reading may fall on
// either side. Between two neighbours it is smooth.
std::vector<double> bends(const ProcessPrior& prior, double u, const ToleranceLimits& tolerance,
                          const ToleranceLimits& acceptance) {
    std::vector<double> at{prior.lowest, prior.highest};
    for (const auto& limit : {tolerance.lower, tolerance.upper})
        if (limit) at.push_back(*limit);
    for (const auto& limit : {acceptance.lower, acceptance.upper})
        if (limit)
            for (const double reach : {-8.5, 0.0, 8.5})
                at.push_back(*limit + reach * u);
    for (auto& x : at)
        x = std::clamp(x, prior.lowest, prior.highest);
    std::ranges::sort(at);
    return at;
}

bool in_reach(double x, double u, const ToleranceLimits& acceptance) {
    const auto near = [&](const std::optional<double>& limit) { return limit && std::abs(x - *limit) < 8.5 * u; };
    return near(acceptance.lower) || near(acceptance.upper);
}

}  // namespace

double conformance_probability(double value, double u, const ToleranceLimits& tolerance) {
    check_u(u);
    check(tolerance);
    return inside(value, u, tolerance);
}

double guard_band(double r, double expanded_uncertainty) {
    return r * expanded_uncertainty;
}

std::optional<ToleranceLimits> acceptance_limits(const ToleranceLimits& tolerance, double guard) {
    check(tolerance);
    ToleranceLimits out;
    if (tolerance.lower) out.lower = *tolerance.lower + guard;
    if (tolerance.upper) out.upper = *tolerance.upper - guard;
    if (out.lower && out.upper && *out.lower > *out.upper) return {};
    return out;
}

double false_accept_at_guard(double r) {
    return normal_upper(2 * r);
}

double measurement_capability(double lower, double upper, double u) {
    if (!(u > 0) || !(upper > lower)) throw std::domain_error("a ratio needs an uncertainty and two limits");
    return (upper - lower) / (4 * u);
}

double test_uncertainty_ratio(double lower, double upper, double expanded_uncertainty) {
    if (!(expanded_uncertainty > 0) || !(upper > lower))
        throw std::domain_error("a ratio needs an uncertainty and two limits");
    return (upper - lower) / 2 / expanded_uncertainty;
}

SpecificRisk specific_risk(double value, double u, const ToleranceLimits& tolerance,
                           const ToleranceLimits& acceptance) {
    check_u(u);
    check(tolerance);
    check(acceptance);
    SpecificRisk out;
    out.accepted = acceptance.contains(value);
    out.risk = out.accepted ? outside(value, u, tolerance) : inside(value, u, tolerance);
    return out;
}

ProcessPrior normal_prior(double mean, double sd) {
    if (!(sd > 0)) throw std::domain_error("a process has a spread");
    ProcessPrior prior;
    prior.density = [mean, sd](double x) {
        const double z = (x - mean) / sd;
        return std::exp(-z * z / 2) / (sd * std::sqrt(2 * std::numbers::pi));
    };
    prior.lowest = mean - 9 * sd;  // beyond lies less than a double can show beside 1
    prior.highest = mean + 9 * sd;
    prior.scale = sd;
    return prior;
}

GlobalRisks global_risks(const ProcessPrior& prior, double u, const ToleranceLimits& tolerance,
                         const ToleranceLimits& acceptance) {
    check_u(u);
    check(tolerance);
    check(acceptance);
    if (!(prior.scale > 0) || !(prior.highest > prior.lowest))
        throw std::domain_error("a prior has a width and a scale");
    GlobalRisks out;
    const auto at = bends(prior, u, tolerance, acceptance);
    for (std::size_t i = 0; i + 1 < at.size(); ++i) {
        const double from = at[i], to = at[i + 1];
        if (!(to > from)) continue;
        const double middle = from + (to - from) / 2;
        const double coarse = prior.scale / 4;
        const double step = in_reach(middle, u, acceptance) ? std::min(coarse, u / 3) : coarse;
        if (tolerance.contains(middle)) {
            out.conforming += integral(prior.density, from, to, coarse);
            out.producer +=
                integral([&](double x) { return prior.density(x) * outside(x, u, acceptance); }, from, to, step);
        } else {
            out.consumer +=
                integral([&](double x) { return prior.density(x) * inside(x, u, acceptance); }, from, to, step);
        }
    }
    return out;
}

std::optional<double> guard_for_consumer_risk(const ProcessPrior& prior, double u, const ToleranceLimits& tolerance,
                                              double consumer_risk) {
    const auto risk = [&](double guard) -> std::optional<double> {
        const auto acceptance = acceptance_limits(tolerance, guard);
        if (!acceptance) return {};
        return global_risks(prior, u, tolerance, *acceptance).consumer;
    };
    if (!(consumer_risk > 0) || *risk(0) <= consumer_risk) return {};
    // The risk falls as the guard grows. Up to half the band there is something left to accept in.
    double high = tolerance.lower && tolerance.upper ? (*tolerance.upper - *tolerance.lower) / 2
                                                     : prior.highest - prior.lowest + 9 * u;
    if (const auto least = risk(high); !least || *least > consumer_risk) return {};
    double low = 0;
    for (int i = 0; i < 60; ++i) {
        const double middle = low + (high - low) / 2;
        (*risk(middle) > consumer_risk ? low : high) = middle;
    }
    return high;
}

}  // namespace crimpgate::statistics

#include "reports/statistics/gauge_linearity.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "reports/statistics/distributions.h"
#include "reports/statistics/gauge_readings.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

double two_sided(double t, double df) {
    return 2 * student_upper(std::abs(t), df);
}

std::vector<ReferenceBias> biases_by_reference(const std::vector<LinearityReading>& readings) {
    std::map<double, std::vector<double>> by;
    for (const auto& r : readings)
        by[r.reference].push_back(r.reading - r.reference);
    std::vector<ReferenceBias> out;
    for (const auto& [reference, biases] : by) {
        const Moments m = moments_of(biases);
        ReferenceBias one;
        one.reference = reference;
        one.n = m.n;
        one.bias = m.mean;
        if (const auto sd = m.sd()) {
            one.standard_error = *sd / std::sqrt(static_cast<double>(m.n));
            if (*sd > 0) {
                one.t = one.bias / *one.standard_error;
                one.p = two_sided(*one.t, static_cast<double>(m.n) - 1);
            }
        }
        out.push_back(one);
    }
    return out;
}

}  // namespace

Result<Linearity> linearity_study(const std::vector<LinearityReading>& readings) {
    std::vector<double> x, y, values;
    for (const auto& r : readings) {
        x.push_back(r.reference);
        y.push_back(r.reading - r.reference);
        values.push_back(r.reading + r.reference);  // a number only when both are
    }
    if (auto sound = sound_readings(values, 3); !sound) return refuse(sound.error());
    const Moments mx = moments_of(x), my = moments_of(y);
    const auto [lowest, highest] = std::ranges::minmax(x);
    if (lowest == highest) return refuse(message("gauge_study.one_reference"));

    Linearity out;
    out.n = readings.size();
    out.mean_reference = mx.mean;
    out.reference_squares = mx.squared_deviations;
    out.lowest = lowest;
    out.highest = highest;
    out.at = biases_by_reference(readings);

    std::vector<double> products, residuals;
    for (std::size_t i = 0; i < x.size(); ++i)
        products.push_back((x[i] - mx.mean) * (y[i] - my.mean));
    out.slope = exact_sum(products) / mx.squared_deviations;
    out.intercept = my.mean - out.slope * mx.mean;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double r = y[i] - my.mean - out.slope * (x[i] - mx.mean);
        residuals.push_back(r * r);
    }
    double sse = exact_sum(residuals);
    // Points on one line leave only what the rounding of the readings left; that is no scatter to test against.
    const double largest = std::max(std::abs(std::ranges::max(values)), std::abs(std::ranges::min(values)));
    const double dust = 4 * std::numeric_limits<double>::epsilon() * largest;
    if (sse <= static_cast<double>(out.n) * dust * dust) sse = 0;

    const double n = static_cast<double>(out.n), df = n - 2;
    out.s = std::sqrt(sse / df);
    out.slope_error = out.s / std::sqrt(out.reference_squares);
    out.intercept_error = out.s * std::sqrt(1 / n + mx.mean * mx.mean / out.reference_squares);
    if (my.squared_deviations > 0) out.r_squared = 1 - sse / my.squared_deviations;
    if (out.s > 0) {
        out.t_slope = out.slope / out.slope_error;
        out.p_slope = two_sided(*out.t_slope, df);
        out.t_intercept = out.intercept / out.intercept_error;
        out.p_intercept = two_sided(*out.t_intercept, df);
    }
    return out;
}

LinearityBand Linearity::band_at(double reference, double confidence) const {
    const double t = student_quantile((1 + confidence) / 2, static_cast<double>(n) - 2);
    const double away = reference - mean_reference;
    const double half = t * s * std::sqrt(1 / static_cast<double>(n) + away * away / reference_squares);
    const double fitted = intercept + slope * reference;
    return {fitted - half, fitted, fitted + half};
}

bool Linearity::no_bias_within_band(double confidence) const {
    // Inside the band means (mean bias + slope d)^2 <= (t s)^2 (1 / n + d^2 / Sxx) with d = x - mean reference: that
    // the parabola a d^2 + 2 b d + c is nowhere above 0 between the ends.
    const double t = student_quantile((1 + confidence) / 2, static_cast<double>(n) - 2);
    const double width = t * t * s * s;
    const double mean_bias = intercept + slope * mean_reference;
    const double a = slope * slope - width / reference_squares;
    const double b = mean_bias * slope;
    const double c = mean_bias * mean_bias - width / static_cast<double>(n);
    const auto parabola = [&](double d) { return (a * d + 2 * b) * d + c; };
    const double from = lowest - mean_reference, to = highest - mean_reference;
    double most = std::max(parabola(from), parabola(to));
    if (a < 0 && from < -b / a && -b / a < to) most = std::max(most, parabola(-b / a));
    return most <= 0;
}

}  // namespace crimpgate::statistics

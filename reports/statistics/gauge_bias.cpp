#include "reports/statistics/gauge_bias.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <string>
#include <vector>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/distributions.h"
#include "reports/statistics/gauge_readings.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

constexpr std::size_t most_for_range = 25;

// c4 for any number of degrees of freedom, whole or not: sqrt(2 / nu) Gamma((nu + 1) / 2) / Gamma(nu / 2).
double c4_of(double nu) {
    // The gamma function overflows above 171; by then three terms of the series give every digit that counts.
    if (nu > 200) return 1 - 1 / (4 * nu) + 1 / (32 * nu * nu) + 5 / (128 * nu * nu * nu);
    return std::sqrt(2 / nu) * std::tgamma((nu + 1) / 2) / std::tgamma(nu / 2);
}

struct Readings {
    Moments moments;
    double bias = 0;
};
Readings read(std::span<const double> readings, double reference) {
    std::vector<double> biases;
    biases.reserve(readings.size());
    for (const double x : readings)
        biases.push_back(x - reference);
    return {moments_of(readings), moments_of(biases).mean};
}

// `shrink` is what a standard error from a squared range is to be multiplied with; 1 for an ordinary one.
BiasStudy finish(const Readings& from, double repeatability, double df, double shrink, double confidence) {
    BiasStudy study;
    study.n = from.moments.n;
    study.mean = from.moments.mean;
    study.bias = from.bias;
    study.repeatability = repeatability;
    study.standard_error = repeatability / std::sqrt(static_cast<double>(study.n));
    study.df = df;
    if (study.standard_error > 0) {
        study.t = study.bias / study.standard_error;
        study.p = 2 * student_upper(std::abs(*study.t), df);
    }
    const double half = shrink * study.standard_error * student_quantile((1 + confidence) / 2, df);
    study.lower = study.bias - half;
    study.upper = study.bias + half;
    return study;
}

}  // namespace

double range_degrees_of_freedom(int m, int g) {
    if (m < 2 || g < 1) throw std::domain_error("a range needs two values, and a mean of ranges one range");
    const double wanted = chart_constants(m).d2 / d2_star(m, g);
    // c4 grows with nu, so the one place where it is as wanted is closed in on.
    double low = 0.5, high = 1;
    while (c4_of(high) < wanted)
        high *= 2;
    for (int i = 0; i < 100; ++i) {
        const double middle = std::midpoint(low, high);
        (c4_of(middle) < wanted ? low : high) = middle;
    }
    return std::midpoint(low, high);
}

Result<BiasStudy> bias_by_sd(std::span<const double> readings, double reference, double confidence) {
    if (auto sound = sound_readings(readings, 2); !sound) return refuse(sound.error());
    const Readings from = read(readings, reference);
    return finish(from, *from.moments.sd(), static_cast<double>(readings.size()) - 1, 1, confidence);
}

Result<BiasStudy> bias_by_range(std::span<const double> readings, double reference, double confidence) {
    if (auto sound = sound_readings(readings, 2); !sound) return refuse(sound.error());
    if (readings.size() > most_for_range)
        return refuse(message("gauge_study.too_many_for_range")
                          .with("found", std::to_string(readings.size()))
                          .with("most", std::to_string(most_for_range)));
    const auto [least, largest] = std::ranges::minmax(readings);
    const int n = static_cast<int>(readings.size());
    const double d2s = d2_star(n, 1);
    return finish(read(readings, reference), (largest - least) / d2s, range_degrees_of_freedom(n, 1),
                  chart_constants(n).d2 / d2s, confidence);
}

}  // namespace crimpgate::statistics

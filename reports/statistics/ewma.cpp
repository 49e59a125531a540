#include "reports/statistics/ewma.h"

#include <cmath>
#include <stdexcept>

namespace crimpgate::statistics {
namespace {

void check_lambda(double lambda) {
    if (!(lambda > 0 && lambda <= 1)) throw std::domain_error("ewma: lambda");
}

double next_level(double level, double value, double lambda) {
    if (!std::isfinite(value)) throw std::domain_error("ewma: a value that is not finite");
    return lambda * value + (1 - lambda) * level;
}

}  // namespace

EwmaChart ewma(std::span<const double> points, double centre, double sigma, const EwmaOptions& options,
               std::span<const std::size_t> restarts) {
    const double lambda = options.lambda;
    check_lambda(lambda);
    if (!(sigma > 0) || !(options.width > 0) || !std::isfinite(centre)) throw std::domain_error("ewma: sigma or width");
    const auto limits_at = [&](double sigma_of_level) {
        const double half = options.width * sigma_of_level;
        return Limits{centre, centre - half, centre + half, sigma_of_level};
    };
    const double steady_variance = lambda / (2 - lambda);
    const std::vector<bool> begins = begins_anew(points.size(), restarts);

    EwmaChart chart;
    chart.steady = limits_at(sigma * std::sqrt(steady_variance));
    double level = centre;
    double left = 1;  // (1 - lambda)^2t
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (begins[i]) {
            level = centre;
            left = 1;
        }
        level = next_level(level, points[i], lambda);
        left *= (1 - lambda) * (1 - lambda);
        const Limits limits =
            options.steady ? chart.steady : limits_at(sigma * std::sqrt(steady_variance * (1 - left)));
        if (level < limits.lower || level > limits.upper) chart.signals.push_back(i);
        chart.levels.push_back(level);
        chart.limits.push_back(limits);
    }
    return chart;
}

double ewma_level(std::span<const double> points, double centre, double lambda) {
    check_lambda(lambda);
    double level = centre;
    for (const double point : points)
        level = next_level(level, point, lambda);
    return level;
}

}  // namespace crimpgate::statistics

#include "reports/statistics/control_chart.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <string>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

// A moving range is the range of two.
constexpr int moving = 2;

void check_finite(std::span<const double> values) {
    for (const double value : values)
        if (!std::isfinite(value)) throw std::domain_error("control chart: a value that is not finite");
}

Limits three_sigma(double centre, double sigma) {
    return {centre, centre - 3 * sigma, centre + 3 * sigma, sigma};
}

Limits range_limits(int n, double sigma_within) {
    const ChartConstants& of = chart_constants(n);
    Limits limits = three_sigma(of.d2 * sigma_within, of.d3 * sigma_within);
    limits.lower = std::max(0.0, limits.lower);
    return limits;
}

Limits s_limits(int n, double sigma_within) {
    const double c4 = chart_constants(n).c4;
    Limits limits = three_sigma(c4 * sigma_within, std::sqrt(1 - c4 * c4) * sigma_within);
    limits.lower = std::max(0.0, limits.lower);
    return limits;
}

double spread_of(ChartKind kind, const std::vector<double>& subgroup) {
    if (kind == ChartKind::mean_and_s) return *moments_of(subgroup).sd();
    const auto [least, most] = std::minmax_element(subgroup.begin(), subgroup.end());
    return *most - *least;
}

// Sigma of one value from s of subgroups, each weighted by what it tells.
double sigma_from_s(std::span<const ChartPoint> points) {
    std::vector<double> weighted, weights;
    for (const ChartPoint& point : points) {
        const double c4 = chart_constants(point.size).c4;
        const double weight = c4 * c4 / (1 - c4 * c4);
        weights.push_back(weight);
        weighted.push_back(weight * *point.spread / c4);
    }
    return exact_sum(weighted) / exact_sum(weights);
}

double mean_spread(std::span<const ChartPoint> points) {
    std::vector<double> spreads;
    for (const ChartPoint& point : points)
        if (point.spread) spreads.push_back(*point.spread);
    return moments_of(spreads).mean;
}

double mean_of_all(std::span<const ChartPoint> points) {
    std::vector<double> sums;
    double count = 0;
    for (const ChartPoint& point : points) {
        sums.push_back(point.size * point.location);
        count += point.size;
    }
    return exact_sum(sums) / count;
}

int commonest_size(std::span<const ChartPoint> points) {
    std::map<int, std::size_t> counts;
    for (const ChartPoint& point : points)
        ++counts[point.size];
    const auto most = std::max_element(counts.begin(), counts.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    return most->first;
}

// The points that are to count; with individuals a left-out value takes the moving range after it along.
std::vector<ChartPoint> without(ChartKind kind, std::span<const ChartPoint> points,
                                std::span<const std::size_t> left_out) {
    std::vector<bool> out(points.size());
    for (const std::size_t index : left_out) {
        if (index >= points.size()) throw std::domain_error("control chart: left out what is not there");
        out[index] = true;
    }
    std::vector<ChartPoint> kept;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (out[i]) continue;
        kept.push_back(points[i]);
        if (kind == ChartKind::individuals && i > 0 && out[i - 1]) kept.back().spread.reset();
    }
    return kept;
}

void check_points(ChartKind kind, std::span<const ChartPoint> points) {
    for (const ChartPoint& point : points) {
        check_finite(std::span(&point.location, 1));
        if (point.spread) check_finite(std::span(&*point.spread, 1));
        const bool single = kind == ChartKind::individuals;
        if (single ? point.size != 1 : point.size < 2 || !point.spread)
            throw std::domain_error("control chart: a point of another kind of chart");
    }
}

Message sizes_differ(int a, int b) {
    return message("chart.sizes_differ").with("one", std::to_string(a)).with("other", std::to_string(b));
}

}  // namespace

Limits ChartLimits::location_at(int subgroup_size) const {
    return three_sigma(centre, sigma_within / std::sqrt(kind == ChartKind::individuals ? 1 : subgroup_size));
}

Limits ChartLimits::spread_at(int subgroup_size) const {
    if (kind == ChartKind::individuals) return range_limits(moving, sigma_within);
    return kind == ChartKind::mean_and_s ? s_limits(subgroup_size, sigma_within)
                                         : range_limits(subgroup_size, sigma_within);
}

ChartLimits chart_limits(ChartKind kind, int size, double centre, double sigma_within) {
    if (!std::isfinite(centre) || !std::isfinite(sigma_within) || sigma_within <= 0)
        throw std::domain_error("chart_limits: no centre or no sigma");
    if (kind == ChartKind::individuals ? size != 1 : size < 2)
        throw std::domain_error("chart_limits: a size of another kind of chart");
    ChartLimits limits;
    limits.kind = kind;
    limits.size = size;
    limits.centre = centre;
    limits.sigma_within = sigma_within;
    limits.location = limits.location_at(size);
    limits.spread = limits.spread_at(size);
    return limits;
}

Result<std::vector<ChartPoint>> chart_points(ChartKind kind, std::span<const std::vector<double>> subgroups) {
    if (kind == ChartKind::individuals) throw std::domain_error("chart_points: individuals are not subgroups");
    std::vector<ChartPoint> points;
    for (const std::vector<double>& subgroup : subgroups) {
        check_finite(subgroup);
        const int size = static_cast<int>(subgroup.size());
        if (size < 2)
            return refuse(message("chart.subgroup_too_small")
                              .with("subgroup", std::to_string(points.size() + 1))
                              .with("count", std::to_string(size)));
        if (kind == ChartKind::mean_and_range && !points.empty() && points.front().size != size)
            return refuse(sizes_differ(points.front().size, size));
        points.push_back({size, moments_of(subgroup).mean, spread_of(kind, subgroup)});
    }
    return points;
}

std::vector<bool> begins_anew(std::size_t points, std::span<const std::size_t> restarts) {
    std::vector<bool> begins(points + 1);
    begins[0] = true;
    for (const std::size_t index : restarts) {
        if (index > points) throw std::domain_error("control chart: a restart after the end");
        begins[index] = true;
    }
    begins.resize(points);
    return begins;
}

std::vector<ChartPoint> individual_points(std::span<const double> values, std::span<const std::size_t> restarts) {
    check_finite(values);
    const std::vector<bool> begins = begins_anew(values.size(), restarts);
    std::vector<ChartPoint> points;
    for (std::size_t i = 0; i < values.size(); ++i) {
        points.push_back({1, values[i], std::nullopt});
        if (!begins[i]) points.back().spread = std::abs(values[i] - values[i - 1]);
    }
    return points;
}

Result<ChartLimits> limits_from(ChartKind kind, std::span<const ChartPoint> points,
                                std::span<const std::size_t> left_out) {
    check_points(kind, points);
    const std::vector<ChartPoint> kept = without(kind, points, left_out);
    const bool any_spread = std::any_of(kept.begin(), kept.end(), [](const ChartPoint& p) { return p.spread; });
    if (kept.size() < 2 || !any_spread)
        return refuse(message("chart.too_few").with("count", std::to_string(kept.size())));

    double sigma_within = 0;
    if (kind == ChartKind::mean_and_s) {
        sigma_within = sigma_from_s(kept);
    } else {
        for (const ChartPoint& point : kept)
            if (point.size != kept.front().size) return refuse(sizes_differ(kept.front().size, point.size));
        const int n = kind == ChartKind::individuals ? moving : kept.front().size;
        sigma_within = mean_spread(kept) / chart_constants(n).d2;
    }
    if (!(sigma_within > 0)) return refuse(message("chart.no_spread").with("count", std::to_string(kept.size())));

    ChartLimits limits = chart_limits(kind, commonest_size(kept), mean_of_all(kept), sigma_within);
    limits.used = kept.size();
    return limits;
}

}  // namespace crimpgate::statistics

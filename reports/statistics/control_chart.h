// Control charts of location and spread: the points that are drawn, and the limits they are held against.
//
// The two are apart, since limits come from a period that a person chose (with single points left out, each for a
// reason) and are then frozen, while points go on arriving. Unit: that of the values. Errors: what the data do not
// allow is a refusal; an index outside the data, or a value that is not finite, is a bug and throws std::domain_error.
//
// Sources: ISO 7870-2, ASTM MNL 7, NIST/SEMATECH e-Handbook 6.3.2.1 and 6.3.2.2. Sigma within is Rbar / d2, sbar / c4
// or MRbar / d2(2); limits lie three standard deviations of the plotted figure from its centre, those of a spread not
// below nought. The constants are exact (chart_constants.h), so limits differ from a book's, which used three decimals,
// by up to five parts in ten thousand.
// Where sizes differ, each s / c4(n) is weighted by the reciprocal of its variance, (1 - c4^2) / c4^2 sigma^2; with
// equal sizes that is sbar / c4.
//
// A chart of end means takes the places of one end as subgroup. Its sigma is the one within an end: where ends differ
// more than places do, which is how crimps vary, most means lie outside, and the ends want the individuals chart of
// their means instead, with the spread of an end watched apart.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

enum class ChartKind { mean_and_range, mean_and_s, individuals };

// One figure's chart. `sigma` is the standard deviation of the plotted figure, not of the values: the zones that run
// rules speak of are centre +- 1, 2, 3 sigma. For an EWMA the limits lie a different number of sigmas away.
struct Limits {
    double centre = 0, lower = 0, upper = 0;
    double sigma = 0;
    bool operator==(const Limits&) const = default;
};

// What is kept of a subgroup. For individuals size is 1, and the spread is the moving range, which the first value of
// all and of each restart has not got.
struct ChartPoint {
    int size = 0;
    double location = 0;
    std::optional<double> spread;
};

struct ChartLimits {
    ChartKind kind = ChartKind::individuals;
    int size = 1;             // of the subgroups; the commonest (the smallest of those) where they differ
    double centre = 0;        // mean of all values
    double sigma_within = 0;  // of one value, from the spread within subgroups
    std::size_t used = 0;     // subgroups (values, for individuals) that the two were computed from; 0 when given
    Limits location, spread;  // at that size
    // For a subgroup of another size (mean and s; the others give the same for every size).
    Limits location_at(int subgroup_size) const;
    Limits spread_at(int subgroup_size) const;
};

// Frozen limits back from the two numbers that make them. Precondition: sigma_within > 0, size fits the kind.
ChartLimits chart_limits(ChartKind kind, int size, double centre, double sigma_within);

// The points of a chart. Refused: a subgroup of fewer than two values ("chart.subgroup_too_small"), with mean and range
// also subgroups of differing sizes ("chart.sizes_differ").
Result<std::vector<ChartPoint>> chart_points(ChartKind kind, std::span<const std::vector<double>> subgroups);
// Individuals. `restarts` are the indexes at which something new begins (a die set, a lot): no moving range is formed
// across one.
std::vector<ChartPoint> individual_points(std::span<const double> values, std::span<const std::size_t> restarts = {});

// True at the first point and at each restart; a restart may also be where the next point will be. One beyond that is
// a bug: std::domain_error.
std::vector<bool> begins_anew(std::size_t points, std::span<const std::size_t> restarts);

// Limits from points, without those whose index is in `left_out`. With individuals both moving ranges that a left-out
// value takes part in go with it. Refused: fewer than two points, or no moving range, left ("chart.too_few"); sizes
// that differ with mean and range; all spreads nought ("chart.no_spread": the gauge's step hides the variation).
Result<ChartLimits> limits_from(ChartKind kind, std::span<const ChartPoint> points,
                                std::span<const std::size_t> left_out = {});

}  // namespace crimpgate::statistics

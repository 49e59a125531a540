// Linearity of a gauge: is it as right at one end of its range as at the other?
//
// Least squares of the bias (reading - reference) on the reference over all single readings (AIAG MSA manual, 4th ed.,
// chapter III-B; the textbook's simple regression):
//   slope = Sxy / Sxx, intercept = mean bias - slope mean reference, s^2 = SSE / (n - 2),
//   se(slope) = s / sqrt Sxx, se(intercept) = s sqrt(1 / n + mean reference^2 / Sxx),
//   band at x: intercept + slope x +- t s sqrt(1 / n + (x - mean reference)^2 / Sxx), t with n - 2 degrees of freedom.
// Linearity = |slope| x process variation, and its share of that variation is |slope|.
// Unit: that of the readings. Describes, decides no pass.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

struct LinearityReading {
    double reference = 0;
    double reading = 0;
};

// The bias at one reference, by its own readings.
struct ReferenceBias {
    double reference = 0;
    std::size_t n = 0;
    double bias = 0;
    std::optional<double> standard_error;  // s / sqrt n; nothing for one reading
    std::optional<double> t, p;            // nothing when its readings are all equal, too; p two-sided
};

struct LinearityBand {
    double lower = 0, fitted = 0, upper = 0;
};

struct Linearity {
    std::size_t n = 0;
    double slope = 0, intercept = 0;
    double s = 0;
    double mean_reference = 0;
    double reference_squares = 0;    // Sxx
    double lowest = 0, highest = 0;  // references
    double slope_error = 0, intercept_error = 0;
    std::optional<double> r_squared;         // nothing when the bias does not vary at all
    std::optional<double> t_slope, p_slope;  // nothing when every point lies on the line
    std::optional<double> t_intercept, p_intercept;
    std::vector<ReferenceBias> at;  // by reference, ascending

    double percent() const { return 100 * (slope < 0 ? -slope : slope); }  // %linearity
    double linearity(double process_variation) const { return percent() / 100 * process_variation; }
    // Where the line lies with that confidence (0 to 1), at any reference.
    LinearityBand band_at(double reference, double confidence = 0.95) const;
    // The line "no bias" stays inside the band from the lowest reference to the highest: nothing speaks against a gauge
    // that is right everywhere. Exact, not tried point by point.
    bool no_bias_within_band(double confidence = 0.95) const;
};

// Refusals: "gauge_study.too_few_readings" (fewer than three), "gauge_study.one_reference",
// "gauge_study.not_a_number".
Result<Linearity> linearity_study(const std::vector<LinearityReading>& readings);

}  // namespace crimpgate::statistics

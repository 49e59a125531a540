// Bias of a gauge: one reference of known size, measured n times; is the mean of the readings off?
//
// By the standard deviation: t = bias / (s / sqrt n), n - 1 degrees of freedom.
// By the range (independent sample method of the AIAG MSA manual, chapter III-B): sigma_r = R / d2*(n, 1),
// sigma_b = sigma_r / sqrt n, t = bias / sigma_b, interval bias +- (d2 / d2*) sigma_b t(nu), where nu is the degrees of
// freedom of a range after Patnaik (Biometrika 37 (1950) 78-87): R / sigma is taken as d2* chi(nu) / sqrt nu, so
// c4(nu + 1) = d2 / d2*.
// Unit: that of the readings. Describes, decides no pass.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "specs/message.h"

namespace crimpgate::statistics {

struct BiasStudy {
    std::size_t n = 0;
    double mean = 0;
    double bias = 0;            // mean - reference
    double repeatability = 0;   // standard deviation of one reading
    double standard_error = 0;  // of the mean
    double df = 0;
    std::optional<double> t, p;   // nothing when all readings are equal; p two-sided
    double lower = 0, upper = 0;  // confidence interval of the bias
    bool zero_inside() const { return lower <= 0 && 0 <= upper; }
};

// confidence in (0, 1). Refusals: "gauge_study.too_few_readings" (fewer than two), "gauge_study.not_a_number"; by the
// range also "gauge_study.too_many_for_range" (more than 25, where a range wastes what the readings say).
Result<BiasStudy> bias_by_sd(std::span<const double> readings, double reference, double confidence = 0.95);
Result<BiasStudy> bias_by_range(std::span<const double> readings, double reference, double confidence = 0.95);

// nu of the mean of g ranges of m values each; m >= 2, g >= 1, else std::domain_error.
double range_degrees_of_freedom(int m, int g);

}  // namespace crimpgate::statistics

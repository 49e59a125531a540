// Type 1 study: one piece of known size measured again and again by one person. Is the gauge fine enough at all?
//
// T = width of the tolerance, K and L parameters (K 0.2 and L 6 by default; K 0.15 and L 4 are also in use):
//   Cg = K T / (L s),   Cgk = (K T / 2 - |mean - reference|) / (L s / 2),
// usual limit 1.33, 50 readings recommended and 25 the least, resolution no more than 5 % of T (common practice;
// compare ISO 22514-7). The bias is tested with Student's t, n - 1 degrees of freedom. Unit: that of the readings, the
// same for all. Describes, decides no pass.
//
// Refusals: "gauge_study.too_few_readings", "gauge_study.not_a_number", "gauge_study.no_tolerance",
// "gauge_study.no_reference".
// Warnings in the result: "gauge_study.type1_few" (under 25), "gauge_study.type1_under_recommended" (25 to 49),
// "gauge_study.coarse_resolution", "gauge_study.all_equal" (no scatter, so no index), "gauge_study.biased" (the bias is
// significant at 1 - confidence).
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

struct Type1Choice {
    double tolerance_share = 0.2;  // K
    double sigmas = 6;             // L
    double limit = 1.33;
    double confidence = 0.95;
    std::size_t least_readings = 25;
    std::size_t recommended_readings = 50;
    double resolution_share = 0.05;
};

struct Type1Study {
    std::size_t n = 0;
    double mean = 0;
    double sd = 0;
    double bias = 0;              // mean - reference
    std::optional<double> t;      // nothing, as with p and the indices, when all readings are equal
    std::optional<double> p;      // two-sided
    std::optional<double> cg;     // spread alone
    std::optional<double> cgk;    // spread and bias
    double resolution_share = 0;  // resolution / T
    bool capable = false;         // both indices there and at least the limit, resolution fine enough
    std::vector<Message> warnings;
};

// readings: at least two, finite; tolerance (T) > 0; resolution >= 0.
Result<Type1Study> type1_study(std::span<const double> readings, double reference, double tolerance, double resolution,
                               const Type1Choice& choice = {});

}  // namespace crimpgate::statistics

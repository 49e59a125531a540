#include "reports/statistics/gauge_type1.h"

#include <cmath>
#include <string>

#include "reports/statistics/distributions.h"
#include "reports/statistics/gauge_readings.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {

Result<Type1Study> type1_study(std::span<const double> readings, double reference, double tolerance, double resolution,
                               const Type1Choice& choice) {
    if (auto sound = sound_readings(readings, 2); !sound) return refuse(sound.error());
    if (!(tolerance > 0) || !std::isfinite(tolerance)) return refuse(message("gauge_study.no_tolerance"));
    if (!std::isfinite(reference) || !std::isfinite(resolution) || resolution < 0)
        return refuse(message("gauge_study.no_reference"));

    Type1Study study;
    const Moments moments = moments_of(readings);
    study.n = moments.n;
    study.mean = moments.mean;
    study.sd = *moments.sd();
    // Not the rounded mean less the reference: the readings less the reference are small numbers, their mean is exact.
    std::vector<double> biases;
    biases.reserve(readings.size());
    for (const double x : readings)
        biases.push_back(x - reference);
    study.bias = moments_of(biases).mean;
    study.resolution_share = resolution / tolerance;

    if (study.sd > 0) {
        const double n = static_cast<double>(study.n);
        study.t = study.bias / (study.sd / std::sqrt(n));
        study.p = 2 * student_upper(std::abs(*study.t), n - 1);
        study.cg = choice.tolerance_share * tolerance / (choice.sigmas * study.sd);
        study.cgk = (choice.tolerance_share * tolerance / 2 - std::abs(study.bias)) / (choice.sigmas * study.sd / 2);
    }
    const bool fine = study.resolution_share <= choice.resolution_share;
    study.capable = fine && study.cg && *study.cg >= choice.limit && *study.cgk >= choice.limit;

    const auto count = std::to_string(study.n);
    if (study.n < choice.least_readings)
        study.warnings.push_back(
            message("gauge_study.type1_few").with("found", count).with("least", std::to_string(choice.least_readings)));
    else if (study.n < choice.recommended_readings)
        study.warnings.push_back(message("gauge_study.type1_under_recommended")
                                     .with("found", count)
                                     .with("recommended", std::to_string(choice.recommended_readings)));
    if (!fine) study.warnings.push_back(message("gauge_study.coarse_resolution"));
    if (!study.cg) study.warnings.push_back(message("gauge_study.all_equal"));
    if (study.p && *study.p < 1 - choice.confidence) study.warnings.push_back(message("gauge_study.biased"));
    return study;
}

}  // namespace crimpgate::statistics

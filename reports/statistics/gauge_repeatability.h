// Repeatability and reproducibility of a gauge: several pieces, each measured several times by several people, worked
// out by average and range and by analysis of variance.
//
// Average and range (method of the AIAG MSA manual, 4th ed., chapter III-B, with exact factors instead of its rounded
// ones): K1 = 1 / d2(trials) (d2* when there are no more than 15 cells), K2 = 1 / d2*(appraisers, 1),
// K3 = 1 / d2*(pieces, 1);
//   EV = mean range K1, AV^2 = (largest - smallest appraiser mean)^2 K2^2 - EV^2 / (pieces trials),
//   PV = range of the piece means K3, GRR^2 = EV^2 + AV^2, TV^2 = GRR^2 + PV^2.
// Ranges beyond D4 x mean range are named, for a cell that is not repeatable spoils the rest.
//
// Analysis of variance, both factors random: with the interaction kept
//   repeatability MSE, interaction (MSI - MSE) / trials, appraiser (MSA - MSI) / (pieces trials),
//   piece (MSP - MSI) / (appraisers trials),
// with the interaction pooled into the error, MSE' = (SSI + SSE) / (dfI + dfE) in place of both MSE and MSI. Pooled
// when the interaction's p-value exceeds pooling_alpha. Default 0.25: a preliminary test for pooling wants a high
// level, so that a real interaction is not pooled away (Bancroft, Biometrics 20 (1964) 427-442; cited from memory);
// 0.05 is also in use. A variance that comes out negative is put to 0 and marked.
//
// Shares: contribution = variance / total variance; study variation = sd / total sd; tolerance = sigmas sd / T.
// Number of distinct categories: 1.41 PV / GRR cut to a whole number, at least 1; the constant is sqrt 2 rounded, so
// both are kept, and the two methods may differ by one since ranges and mean squares estimate PV differently.
// Guideline (not a standard): GRR under 10 % good, to 30 % conditional, above not acceptable; 5 categories or more.
// Unit: that of the readings. Describes, decides no pass.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

struct StudyReading {
    std::string piece;
    std::string appraiser;
    int trial = 0;  // from 1
    double value = 0;
};

// A whole study: every piece by every appraiser equally often. Exists only when it is balanced.
struct GaugeStudy {
    std::vector<std::string> pieces;  // in the order in which they first came
    std::vector<std::string> appraisers;
    std::size_t trials = 0;
    std::vector<std::vector<std::vector<double>>> cells;  // [piece][appraiser][trial]
    std::vector<Message> warnings;                        // "gauge_study.small": fewer than 10 x 3 x 2
};
// Refusals: "gauge_study.missing_cell" (piece, appraiser, trial), "gauge_study.measured_twice" (the same),
// "gauge_study.too_small" (needs 2 of each), "gauge_study.value_missing" (the same), "gauge_study.trial".
Result<GaugeStudy> arrange_study(const std::vector<StudyReading>& readings);

struct StudyChoice {
    std::optional<double> tolerance;  // T, the full width
    double sigmas = 6;                // of the study variation; 5.15 in older reports
    double pooling_alpha = 0.25;
};

struct VariationPart {
    double sd = 0;
    bool clamped = false;                // its variance came out negative and was put to 0
    std::optional<double> contribution;  // 0 to 1; nothing when nothing varies
    std::optional<double> study_variation;
    std::optional<double> tolerance;  // nothing without a tolerance
};

struct Categories {
    std::optional<double> by_141;    // 1.41 PV / GRR; nothing when the gauge shows no variation
    std::optional<double> by_root2;  // sqrt(2) PV / GRR
    std::optional<int> whole;        // by_141 cut off, at least 1
};

struct VariationParts {
    VariationPart repeatability;    // EV
    VariationPart reproducibility;  // AV, with the interaction where that is kept
    VariationPart gauge;            // GRR
    VariationPart piece;            // PV
    VariationPart total;            // TV
    Categories categories;
};

struct BeyondRangeLimit {
    std::size_t piece = 0, appraiser = 0;  // places in GaugeStudy
    double range = 0;
};

struct AverageAndRange {
    std::vector<double> appraiser_means, appraiser_ranges;  // of each appraiser: mean, mean range
    std::vector<double> piece_means;
    double mean_range = 0;
    double appraiser_difference = 0;  // largest - smallest appraiser mean
    double piece_range = 0;
    double range_limit = 0;  // D4 x mean range
    std::vector<BeyondRangeLimit> beyond;
    double k1 = 0, k2 = 0, k3 = 0;
    VariationParts parts;
};
// Factors other than the exact ones, to compare with a manual that rounds: {K1, K2, K3}.
AverageAndRange average_and_range(const GaugeStudy& study, const StudyChoice& choice = {},
                                  std::optional<std::array<double, 3>> factors = {});

struct StudyAnovaRow {
    double ss = 0;
    double df = 0;
    double ms = 0;
    std::optional<double> f, p;  // nothing where there is nothing to divide by
};

// The study worked out with the interaction kept, or with it pooled.
struct AnovaModel {
    StudyAnovaRow piece, appraiser;  // F against the interaction, or against the pooled error
    StudyAnovaRow error;             // repeatability; with the interaction in it when pooled
    VariationPart appraiser_alone;   // the appraisers' part of the reproducibility
    VariationPart interaction;       // all 0 when pooled
    VariationParts parts;
};

struct AnovaStudy {
    StudyAnovaRow interaction;  // F against the repeatability
    StudyAnovaRow total;
    AnovaModel kept, pooled;
    bool pools = false;  // which of the two is the study's answer
    const AnovaModel& chosen() const { return pools ? pooled : kept; }
};
AnovaStudy anova_study(const GaugeStudy& study, const StudyChoice& choice = {});

// Several standard deviations of the same thing, pooled: sqrt(sum df sd^2 / sum df). No degrees of freedom: sd 0, df 0.
struct SdWithDf {
    double sd = 0;
    double df = 0;
};
SdWithDf pooled_sd(const std::vector<SdWithDf>& several);

enum class Guideline { good, conditional, not_acceptable };
// share: of the study variation or of the tolerance, 0 to 1 and more.
Guideline guideline_of(double gauge_share);

}  // namespace crimpgate::statistics

#include "reports/statistics/gauge_repeatability.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <stdexcept>
#include <utility>

#include "reports/statistics/anova.h"
#include "reports/statistics/chart_constants.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

Message about(Message m, const std::string& piece, const std::string& appraiser, int trial) {
    return std::move(m).with("piece", piece).with("appraiser", appraiser).with("trial", std::to_string(trial));
}

std::size_t place_of(std::vector<std::string>& names, const std::string& name) {
    const auto at = std::ranges::find(names, name);
    if (at != names.end()) return static_cast<std::size_t>(at - names.begin());
    names.push_back(name);
    return names.size() - 1;
}

double range_of(const std::vector<double>& values) {
    const auto [low, high] = std::ranges::minmax(values);
    return high - low;
}

// A variance that came out below nothing counts as nothing, and says so.
VariationPart part_of(double variance) {
    VariationPart part;
    part.clamped = variance < 0;
    part.sd = part.clamped ? 0 : std::sqrt(variance);
    return part;
}
double variance_of(const VariationPart& part) {
    return part.sd * part.sd;
}

void fill_shares(VariationPart& part, double total_sd, const StudyChoice& choice) {
    if (total_sd > 0) {
        part.study_variation = part.sd / total_sd;
        part.contribution = *part.study_variation * *part.study_variation;
    }
    if (choice.tolerance && *choice.tolerance > 0) part.tolerance = choice.sigmas * part.sd / *choice.tolerance;
}

VariationParts parts_of(VariationPart repeatability, VariationPart reproducibility, VariationPart piece,
                        const StudyChoice& choice) {
    VariationParts parts;
    parts.repeatability = repeatability;
    parts.reproducibility = reproducibility;
    parts.piece = piece;
    parts.gauge.sd = std::hypot(repeatability.sd, reproducibility.sd);
    parts.total.sd = std::hypot(parts.gauge.sd, piece.sd);
    for (auto* part : {&parts.repeatability, &parts.reproducibility, &parts.gauge, &parts.piece, &parts.total})
        fill_shares(*part, parts.total.sd, choice);
    if (parts.gauge.sd > 0) {
        const double ratio = piece.sd / parts.gauge.sd;
        parts.categories.by_141 = 1.41 * ratio;
        parts.categories.by_root2 = std::numbers::sqrt2 * ratio;
        // A gauge a billion times finer than its pieces is finer than any int need say.
        parts.categories.whole = std::max(1, static_cast<int>(std::min(*parts.categories.by_141, 1e9)));
    }
    return parts;
}

StudyAnovaRow row_of(const Source& source, const std::optional<FTest>& test) {
    StudyAnovaRow row;
    row.ss = source.ss;
    row.df = source.df;
    row.ms = source.ms();
    if (test) {
        row.f = test->f;
        row.p = test->p;
    }
    return row;
}

// `against`: the mean square that appraisers and pieces stand out against, in the test as in their variance.
AnovaModel model_of(const TwoWay& table, const Source& error, const Source& against, VariationPart interaction,
                    const StudyChoice& choice) {
    const auto pieces = static_cast<double>(table.levels_a), appraisers = static_cast<double>(table.levels_b);
    const auto trials = static_cast<double>(table.replicates);
    AnovaModel model;
    model.piece = row_of(table.a, f_test(table.a, against));
    model.appraiser = row_of(table.b, f_test(table.b, against));
    model.error = row_of(error, {});
    model.appraiser_alone = part_of((table.b.ms() - against.ms()) / (pieces * trials));
    model.interaction = interaction;
    const VariationPart piece = part_of((table.a.ms() - against.ms()) / (appraisers * trials));
    VariationPart reproducibility = part_of(variance_of(model.appraiser_alone) + variance_of(interaction));
    reproducibility.clamped = model.appraiser_alone.clamped || interaction.clamped;
    model.parts = parts_of(part_of(error.ms()), reproducibility, piece, choice);
    fill_shares(model.appraiser_alone, model.parts.total.sd, choice);
    fill_shares(model.interaction, model.parts.total.sd, choice);
    return model;
}

}  // namespace

Result<GaugeStudy> arrange_study(const std::vector<StudyReading>& readings) {
    GaugeStudy study;
    std::map<std::pair<std::size_t, std::size_t>, std::map<int, double>> cells;
    int last_trial = 0;
    for (const auto& r : readings) {
        if (!std::isfinite(r.value))
            return refuse(about(message("gauge_study.value_missing"), r.piece, r.appraiser, r.trial));
        if (r.trial < 1) return refuse(about(message("gauge_study.trial"), r.piece, r.appraiser, r.trial));
        auto& cell = cells[{place_of(study.pieces, r.piece), place_of(study.appraisers, r.appraiser)}];
        if (!cell.emplace(r.trial, r.value).second)
            return refuse(about(message("gauge_study.measured_twice"), r.piece, r.appraiser, r.trial));
        last_trial = std::max(last_trial, r.trial);
    }
    if (study.pieces.size() < 2 || study.appraisers.size() < 2 || last_trial < 2)
        return refuse(message("gauge_study.too_small")
                          .with("pieces", std::to_string(study.pieces.size()))
                          .with("appraisers", std::to_string(study.appraisers.size()))
                          .with("trials", std::to_string(last_trial)));
    study.trials = static_cast<std::size_t>(last_trial);
    study.cells.assign(study.pieces.size(), std::vector<std::vector<double>>(study.appraisers.size()));
    for (std::size_t p = 0; p < study.pieces.size(); ++p)
        for (std::size_t a = 0; a < study.appraisers.size(); ++a) {
            const auto& cell = cells[{p, a}];
            for (int t = 1; t <= last_trial; ++t) {
                const auto at = cell.find(t);
                if (at == cell.end())
                    return refuse(about(message("gauge_study.missing_cell"), study.pieces[p], study.appraisers[a], t));
                study.cells[p][a].push_back(at->second);
            }
        }
    if (study.pieces.size() < 10 || study.appraisers.size() < 3)
        study.warnings.push_back(message("gauge_study.small")
                                     .with("pieces", std::to_string(study.pieces.size()))
                                     .with("appraisers", std::to_string(study.appraisers.size())));
    return study;
}

AverageAndRange average_and_range(const GaugeStudy& study, const StudyChoice& choice,
                                  std::optional<std::array<double, 3>> factors) {
    const auto pieces = static_cast<int>(study.pieces.size()), appraisers = static_cast<int>(study.appraisers.size());
    const auto trials = static_cast<int>(study.trials);
    AverageAndRange out;
    std::vector<std::vector<double>> ranges(study.appraisers.size()), values(study.appraisers.size());
    std::vector<double> all_ranges;
    for (const auto& row : study.cells) {
        std::vector<double> of_piece;
        for (std::size_t a = 0; a < row.size(); ++a) {
            ranges[a].push_back(range_of(row[a]));
            all_ranges.push_back(ranges[a].back());
            values[a].insert(values[a].end(), row[a].begin(), row[a].end());
            of_piece.insert(of_piece.end(), row[a].begin(), row[a].end());
        }
        out.piece_means.push_back(moments_of(of_piece).mean);
    }
    for (std::size_t a = 0; a < ranges.size(); ++a) {
        out.appraiser_means.push_back(moments_of(values[a]).mean);
        out.appraiser_ranges.push_back(moments_of(ranges[a]).mean);
    }
    out.mean_range = moments_of(all_ranges).mean;
    out.appraiser_difference = range_of(out.appraiser_means);
    out.piece_range = range_of(out.piece_means);
    out.range_limit = chart_constants(trials).D4 * out.mean_range;
    for (std::size_t p = 0; p < study.cells.size(); ++p)
        for (std::size_t a = 0; a < ranges.size(); ++a)
            if (ranges[a][p] > out.range_limit) out.beyond.push_back({p, a, ranges[a][p]});

    const int cells = pieces * appraisers;
    out.k1 = factors ? (*factors)[0] : 1 / (cells > 15 ? chart_constants(trials).d2 : d2_star(trials, cells));
    out.k2 = factors ? (*factors)[1] : 1 / d2_star(appraisers, 1);
    out.k3 = factors ? (*factors)[2] : 1 / d2_star(pieces, 1);
    const double ev = out.mean_range * out.k1;
    const double spread = out.appraiser_difference * out.k2;
    out.parts = parts_of(part_of(ev * ev), part_of(spread * spread - ev * ev / (pieces * trials)),
                         part_of(out.piece_range * out.k3 * out.piece_range * out.k3), choice);
    return out;
}

AnovaStudy anova_study(const GaugeStudy& study, const StudyChoice& choice) {
    const auto table = two_way(study.cells);
    if (!table) throw std::logic_error("a gauge study that exists is balanced, yet: " + table.error().code);
    AnovaStudy out;
    out.interaction = row_of(table->interaction, table->interaction_test());
    out.total = row_of(table->total, {});
    out.kept =
        model_of(*table, table->error, table->interaction,
                 part_of((table->interaction.ms() - table->error.ms()) / static_cast<double>(study.trials)), choice);
    out.pooled = model_of(*table, table->pooled_error(), table->pooled_error(), VariationPart{}, choice);
    // Readings that repeat without any scatter leave nothing to test against: then an interaction that is there, is.
    out.pools = out.interaction.p ? *out.interaction.p > choice.pooling_alpha : !(out.interaction.ss > 0);
    return out;
}

SdWithDf pooled_sd(const std::vector<SdWithDf>& several) {
    std::vector<double> squares;
    SdWithDf out;
    for (const auto& one : several) {
        squares.push_back(one.df * one.sd * one.sd);
        out.df += one.df;
    }
    if (out.df > 0) out.sd = std::sqrt(exact_sum(squares) / out.df);
    return out;
}

Guideline guideline_of(double gauge_share) {
    if (gauge_share < 0.1) return Guideline::good;
    return gauge_share <= 0.3 ? Guideline::conditional : Guideline::not_acceptable;
}

}  // namespace crimpgate::statistics

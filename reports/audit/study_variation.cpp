#include "reports/audit/study_variation.h"

#include <array>

#include "reports/audit/figures.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

namespace {

using statistics::VariationPart;
using statistics::VariationParts;

std::string percent(const std::optional<double>& share) {
    return share ? percent_text(*share) : std::string();
}

std::string number(const std::optional<double>& value, int places) {
    return value ? number_text(*value, places) : std::string();
}

const char* guideline_code(double share) {
    switch (statistics::guideline_of(share)) {
        case statistics::Guideline::good:
            return "audit.value.gauge_good";
        case statistics::Guideline::conditional:
            return "audit.value.gauge_conditional";
        case statistics::Guideline::not_acceptable:
            return "audit.value.gauge_not_acceptable";
    }
    return "";
}

// A way of working the study out.
struct Way {
    const char* code;
    const VariationParts* parts;
    const VariationPart* people_alone;  // null: this way does not tell them apart from the interaction
    const VariationPart* interaction;
};

void part_row(Table& table, const LengthText& text, const Way& way, const char* part, const VariationPart& p) {
    table.row({short_id(way.code), short_id(part), text.sd(p.sd), percent(p.contribution), percent(p.study_variation),
               percent(p.tolerance), p.clamped ? short_id("audit.value.yes") : std::string()});
}

Sheet parts_sheet(const std::array<Way, 3>& ways, bool inches) {
    const LengthText text(inches);
    Table table("audit.sheet.study_variation", inches);
    table.column("audit.column.method", Cell::code)
        .column("audit.column.part", Cell::code)
        .length("audit.column.sd_mm", "audit.column.sd_in")
        .column("audit.column.contribution_pct", Cell::percent)
        .column("audit.column.study_variation_pct", Cell::percent)
        .column("audit.column.tolerance_pct", Cell::percent)
        .column("audit.column.put_to_zero", Cell::code);
    bool clamped = false;
    for (const auto& way : ways) {
        part_row(table, text, way, "audit.value.repeatability", way.parts->repeatability);
        part_row(table, text, way, "audit.value.reproducibility", way.parts->reproducibility);
        if (way.people_alone != nullptr) {
            part_row(table, text, way, "audit.value.people_alone", *way.people_alone);
            part_row(table, text, way, "audit.value.interaction", *way.interaction);
        }
        part_row(table, text, way, "audit.value.gauge_together", way.parts->gauge);
        part_row(table, text, way, "audit.value.between_pieces", way.parts->piece);
        part_row(table, text, way, "audit.value.total", way.parts->total);
        clamped = clamped || way.parts->reproducibility.clamped || way.parts->piece.clamped ||
                  (way.interaction != nullptr && way.interaction->clamped);
    }
    if (clamped) table.note(message("study.put_to_zero"));
    return table.done();
}

void answer_row(Table& table, const LengthText& text, const Way& way, bool answer) {
    const auto& parts = *way.parts;
    // Held against the tolerance where there is one: the gauge has to tell good from bad, whatever these pieces were.
    const auto share = parts.gauge.tolerance ? parts.gauge.tolerance : parts.gauge.study_variation;
    table.row({short_id(way.code), answer ? short_id("audit.value.yes") : std::string(), text.sd(parts.gauge.sd),
               percent(parts.gauge.study_variation), percent(parts.gauge.tolerance),
               parts.categories.whole ? count_text(*parts.categories.whole) : std::string(),
               number(parts.categories.by_141, 2), number(parts.categories.by_root2, 2),
               share ? short_id(guideline_code(*share)) : std::string()});
}

Sheet answer_sheet(const statistics::GaugeStudy& study, const std::array<Way, 3>& ways,
                   const statistics::AnovaStudy& anova, const statistics::StudyChoice& choice, bool inches) {
    const LengthText text(inches);
    Table table("audit.sheet.study_answer", inches);
    table.column("audit.column.method", Cell::code)
        .column("audit.column.is_answer", Cell::code)
        .length("audit.column.gauge_sd_mm", "audit.column.gauge_sd_in")
        .column("audit.column.study_variation_pct", Cell::percent)
        .column("audit.column.tolerance_pct", Cell::percent)
        .column("audit.column.categories", Cell::count)
        .column("audit.column.by_141", Cell::number)
        .column("audit.column.by_root2", Cell::number)
        .column("audit.column.guideline", Cell::code);
    const Way& chosen = anova.pools ? ways[2] : ways[1];
    answer_row(table, text, chosen, true);
    for (const auto& way : ways)
        if (&way != &chosen) answer_row(table, text, way, false);
    const std::string p = anova.interaction.p ? chance_text(*anova.interaction.p) : std::string("-");
    const std::string alpha = number_text(choice.pooling_alpha, 2);
    table.note(anova.pools ? message("study.pooled").with("p", p).with("alpha", alpha)
                           : message("study.kept").with("p", p).with("alpha", alpha));
    table.note(message("study.guideline"));
    for (const auto& warning : study.warnings)
        table.note(warning);
    return table.done();
}

void anova_row(Table& table, const char* model, const char* source, const statistics::StudyAnovaRow& row, bool inches) {
    // Squares of lengths: from square nanometres into the unit's.
    const double scale = inches ? 1 / (25.4e6 * 25.4e6) : 1e-12;
    table.row({short_id(model), short_id(source), count_text(static_cast<std::int64_t>(row.df)),
               number_text(row.ss * scale, inches ? 11 : 8), number_text(row.ms * scale, inches ? 11 : 8),
               number(row.f, 3), row.p ? chance_text(*row.p) : std::string()});
}

Sheet anova_sheet(const statistics::AnovaStudy& anova, bool inches) {
    Table table("audit.sheet.study_anova", inches);
    table.column("audit.column.method", Cell::code)
        .column("audit.column.source", Cell::code)
        .column("audit.column.df", Cell::count)
        .column(inches ? "audit.column.squares_in2" : "audit.column.squares_mm2", Cell::number)
        .column(inches ? "audit.column.mean_square_in2" : "audit.column.mean_square_mm2", Cell::number)
        .column("audit.column.f", Cell::number)
        .column("audit.column.p", Cell::number);
    const char* kept = "audit.value.anova_kept";
    const char* pooled = "audit.value.anova_pooled";
    anova_row(table, kept, "audit.value.between_pieces", anova.kept.piece, inches);
    anova_row(table, kept, "audit.value.people_alone", anova.kept.appraiser, inches);
    anova_row(table, kept, "audit.value.interaction", anova.interaction, inches);
    anova_row(table, kept, "audit.value.repeatability", anova.kept.error, inches);
    anova_row(table, pooled, "audit.value.between_pieces", anova.pooled.piece, inches);
    anova_row(table, pooled, "audit.value.people_alone", anova.pooled.appraiser, inches);
    anova_row(table, pooled, "audit.value.repeatability", anova.pooled.error, inches);
    anova_row(table, kept, "audit.value.total", anova.total, inches);
    return table.done();
}

Sheet people_sheet(const statistics::GaugeStudy& study, const statistics::AverageAndRange& ranges, bool inches) {
    const LengthText text(inches);
    Table table("audit.sheet.study_by_person", inches);
    table.column("audit.column.person", Cell::text)
        .length("audit.column.mean_mm", "audit.column.mean_in")
        .length("audit.column.mean_range_mm", "audit.column.mean_range_in");
    for (std::size_t a = 0; a < study.appraisers.size(); ++a)
        table.row({study.appraisers[a], text.mean(ranges.appraiser_means[a]), text.mean(ranges.appraiser_ranges[a])});
    return table.done();
}

Sheet beyond_sheet(const statistics::GaugeStudy& study, const statistics::AverageAndRange& ranges, bool inches) {
    const LengthText text(inches);
    Table table("audit.sheet.study_beyond_range", inches);
    table.column("audit.column.person", Cell::text)
        .column("audit.column.piece", Cell::text)
        .length("audit.column.range_mm", "audit.column.range_in")
        .length("audit.column.range_limit_mm", "audit.column.range_limit_in");
    for (const auto& cell : ranges.beyond)
        table.row({study.appraisers[cell.appraiser], study.pieces[cell.piece], text.mean(cell.range),
                   text.mean(ranges.range_limit)});
    table.note(message("study.beyond_range"));
    return table.done();
}

}  // namespace

Result<statistics::GaugeStudy> arranged(const StudyFacts& facts) {
    std::vector<statistics::StudyReading> readings;
    for (const auto& t : facts.turns)
        readings.push_back({t.piece, t.person, static_cast<int>(t.trial), static_cast<double>(t.value.nm())});
    return statistics::arrange_study(readings);
}

Result<std::vector<Sheet>> variation_sheets(const StudyFacts& facts) {
    const auto study = arranged(facts);
    if (!study) return refuse(study.error());
    statistics::StudyChoice choice;
    if (facts.upper > facts.lower) choice.tolerance = static_cast<double>((facts.upper - facts.lower).nm());
    const auto ranges = statistics::average_and_range(*study, choice);
    const auto anova = statistics::anova_study(*study, choice);
    const std::array<Way, 3> ways{{
        {"audit.value.average_and_range", &ranges.parts, nullptr, nullptr},
        {"audit.value.anova_kept", &anova.kept.parts, &anova.kept.appraiser_alone, &anova.kept.interaction},
        {"audit.value.anova_pooled", &anova.pooled.parts, nullptr, nullptr},
    }};
    std::vector<Sheet> out;
    out.push_back(answer_sheet(*study, ways, anova, choice, facts.inches));
    out.push_back(parts_sheet(ways, facts.inches));
    out.push_back(anova_sheet(anova, facts.inches));
    out.push_back(people_sheet(*study, ranges, facts.inches));
    if (!ranges.beyond.empty()) out.push_back(beyond_sheet(*study, ranges, facts.inches));
    return out;
}

}  // namespace crimpgate::audit

#include "reports/audit/study_sheets.h"

#include <cmath>

#include "reports/audit/figures.h"
#include "reports/audit/study_variation.h"
#include "reports/audit/table.h"
#include "reports/statistics/gauge_linearity.h"
#include "reports/statistics/gauge_repeatability.h"
#include "reports/statistics/gauge_type1.h"
#include "reports/statistics/uncertainty_budget.h"

namespace crimpgate::audit {

namespace {

double nm(Length length) {
    return static_cast<double>(length.nm());
}

std::string chance(const std::optional<double>& p) {
    return p ? chance_text(*p) : std::string();
}

std::string number(const std::optional<double>& value, int places) {
    return value ? number_text(*value, places) : std::string();
}

std::optional<Length> size_of(const StudyFacts& facts, const std::string& piece) {
    for (const auto& p : facts.pieces)
        if (p.piece == piece) return p.size;
    return std::nullopt;
}

Sheet readings_sheet(const StudyFacts& facts, const LengthText& text) {
    Table table("audit.sheet.study_readings", facts.inches);
    table.column("audit.column.turn", Cell::count)
        .column("audit.column.person", Cell::text)
        .column("audit.column.piece", Cell::text)
        .column("audit.column.trial", Cell::count)
        .length("audit.column.value_mm", "audit.column.value_in");
    std::int64_t turn = 0;
    for (const auto& t : facts.turns)
        table.row({count_text(++turn), t.person, t.piece, count_text(t.trial), text.exact(t.value)});
    return table.done();
}

const char* kind_code(StudyOf kind) {
    switch (kind) {
        case StudyOf::type1:
            return "audit.value.study_type1";
        case StudyOf::repeatability:
            return "audit.value.study_repeatability";
        case StudyOf::linearity:
            return "audit.value.study_linearity";
    }
    return "";
}

// How it was measured: what a paper needs that is read without the station.
Sheet plan_sheet(const StudyFacts& facts, const LengthText& text) {
    Table table("audit.sheet.study_plan", facts.inches);
    table.column("audit.column.kind", Cell::code)
        .column("audit.column.gauge", Cell::gauge)
        .column("audit.column.pieces", Cell::count)
        .column("audit.column.people", Cell::count)
        .column("audit.column.trials", Cell::count)
        .length("audit.column.tolerance_from_mm", "audit.column.tolerance_from_in")
        .length("audit.column.tolerance_to_mm", "audit.column.tolerance_to_in")
        .length("audit.column.resolution_mm", "audit.column.resolution_in")
        .column("audit.column.seed", Cell::text)
        .column("audit.column.planned_by", Cell::text)
        .column("audit.column.planned_at", Cell::time)
        .column("audit.column.seq", Cell::seq);
    table.row({short_id(kind_code(facts.kind)), facts.gauge, count_text(static_cast<std::int64_t>(facts.pieces.size())),
               count_text(facts.people), count_text(facts.trials), text.exact(facts.lower), text.exact(facts.upper),
               text.exact(facts.resolution), facts.seed, facts.planned_by, time_text(facts.planned_ms),
               count_text(facts.planned_seq)});
    table.note(message("study.drawn_again"));
    return table.done();
}

Sheet approved_sheet(const StudyFacts& facts, const LengthText& text) {
    Table table("audit.sheet.study_approved", facts.inches);
    table.column("audit.column.seq", Cell::seq)
        .column("audit.column.at", Cell::time)
        .column("audit.column.person", Cell::text)
        .length("audit.column.uncertainty_mm", "audit.column.uncertainty_in")
        .length("audit.column.before_mm", "audit.column.before_in")
        .length("audit.column.expanded_mm", "audit.column.expanded_in")
        .column("audit.column.coverage", Cell::number)
        .column("audit.column.df", Cell::count)
        .column("audit.column.reason", Cell::text);
    for (const auto& a : facts.approved)
        table.row({count_text(a.seq), time_text(a.ms), a.person, text.exact(a.uncertainty), text.exact(a.before),
                   text.exact(a.expanded), number_text(static_cast<double>(a.coverage_permille) / 1000, 3),
                   a.degrees_of_freedom == 0 ? std::string() : count_text(a.degrees_of_freedom), a.reason});
    return table.done();
}

Result<std::vector<Sheet>> type1_sheets(const StudyFacts& facts, const LengthText& text) {
    if (facts.turns.empty() || !size_of(facts, facts.turns.front().piece))
        return refuse(message("gauge_study.no_reference"));
    const Length reference = *size_of(facts, facts.turns.front().piece);
    std::vector<double> readings;
    for (const auto& t : facts.turns)
        readings.push_back(nm(t.value));
    const auto study =
        statistics::type1_study(readings, nm(reference), nm(facts.upper - facts.lower), nm(facts.resolution));
    if (!study) return refuse(study.error());
    Table table("audit.sheet.study_type1", facts.inches);
    table.column("audit.column.gauge", Cell::gauge)
        .column("audit.column.piece", Cell::text)
        .length("audit.column.reference_mm", "audit.column.reference_in")
        .column("audit.column.readings", Cell::count)
        .length("audit.column.mean_mm", "audit.column.mean_in")
        .length("audit.column.sd_mm", "audit.column.sd_in")
        .length("audit.column.bias_mm", "audit.column.bias_in")
        .column("audit.column.t", Cell::number)
        .column("audit.column.p", Cell::number)
        .column("audit.column.cg", Cell::number)
        .column("audit.column.cgk", Cell::number)
        .column("audit.column.resolution_pct", Cell::percent)
        .column("audit.column.capable", Cell::code);
    table.row({facts.gauge, facts.turns.front().piece, text.exact(reference),
               count_text(static_cast<std::int64_t>(study->n)), text.mean(study->mean), text.sd(study->sd),
               text.mean(study->bias), number(study->t, 3), chance(study->p), number(study->cg, 2),
               number(study->cgk, 2), percent_text(study->resolution_share),
               short_id(study->capable ? "audit.value.yes" : "audit.value.no")});
    table.note(message("study.type1_limits"));
    for (const auto& warning : study->warnings)
        table.note(warning);
    return std::vector<Sheet>{table.done()};
}

Result<std::vector<Sheet>> linearity_sheets(const StudyFacts& facts, const LengthText& text) {
    std::vector<statistics::LinearityReading> readings;
    for (const auto& t : facts.turns) {
        const auto size = size_of(facts, t.piece);
        if (!size) return refuse(message("gauge_study.no_reference"));
        readings.push_back({nm(*size), nm(t.value)});
    }
    const auto line = statistics::linearity_study(readings);
    if (!line) return refuse(line.error());
    Table table("audit.sheet.study_linearity", facts.inches);
    table.column("audit.column.gauge", Cell::gauge)
        .column("audit.column.readings", Cell::count)
        .column("audit.column.slope", Cell::number)
        .column("audit.column.t", Cell::number)
        .column("audit.column.p", Cell::number)
        .length("audit.column.intercept_mm", "audit.column.intercept_in")
        .column("audit.column.p_intercept", Cell::number)
        .length("audit.column.scatter_mm", "audit.column.scatter_in")
        .column("audit.column.r_squared_pct", Cell::percent)
        .column("audit.column.linearity_pct", Cell::percent)
        .column("audit.column.no_bias", Cell::code);
    const bool right = line->no_bias_within_band();
    table.row({facts.gauge, count_text(static_cast<std::int64_t>(line->n)), number_text(line->slope, 6),
               number(line->t_slope, 3), chance(line->p_slope), text.mean(line->intercept), chance(line->p_intercept),
               text.sd(line->s), line->r_squared ? percent_text(*line->r_squared) : std::string(),
               number_text(line->percent(), 1), short_id(right ? "audit.value.yes" : "audit.value.no")});
    table.note(right ? message("study.linear") : message("study.not_linear"));

    Table bias("audit.sheet.study_bias", facts.inches);
    bias.length("audit.column.reference_mm", "audit.column.reference_in")
        .column("audit.column.readings", Cell::count)
        .length("audit.column.bias_mm", "audit.column.bias_in")
        .length("audit.column.standard_error_mm", "audit.column.standard_error_in")
        .column("audit.column.t", Cell::number)
        .column("audit.column.p", Cell::number)
        .length("audit.column.band_lower_mm", "audit.column.band_lower_in")
        .length("audit.column.band_upper_mm", "audit.column.band_upper_in");
    for (const auto& at : line->at) {
        const auto band = line->band_at(at.reference);
        bias.row({text.exact(Length::from_nm(std::llround(at.reference))), count_text(static_cast<std::int64_t>(at.n)),
                  text.mean(at.bias), text.sd(at.standard_error), number(at.t, 3), chance(at.p), text.mean(band.lower),
                  text.mean(band.upper)});
    }
    return std::vector<Sheet>{table.done(), bias.done()};
}

Length rounded_up(double value) {
    return Length::from_nm(static_cast<std::int64_t>(std::ceil(value)));
}

Sheet budget_sheet(const statistics::Budget& budget, bool inches) {
    const LengthText text(inches);
    Table table("audit.sheet.study_budget", inches);
    table.column("audit.column.part", Cell::message)
        .length("audit.column.stated_mm", "audit.column.stated_in")
        .column("audit.column.divisor", Cell::number)
        .length("audit.column.standard_mm", "audit.column.standard_in")
        .column("audit.column.df", Cell::count)
        .column("audit.column.share_pct", Cell::percent);
    for (const auto& line : budget.lines) {
        const auto& c = line.component;
        // What is stated of the temperature is in kelvins: no length.
        const bool length = c.code != "uncertainty.temperature";
        Message part;
        part.code = c.code;
        table.row({message_text(part), length ? text.sd(c.value) : std::string(), number_text(c.divisor, 3),
                   text.sd(line.contribution), std::isfinite(c.df) ? count_text(std::llround(c.df)) : std::string(),
                   percent_text(line.share)});
    }
    return table.done();
}

}  // namespace

Result<std::vector<Sheet>> study_sheets(const StudyFacts& facts) {
    const LengthText text(facts.inches);
    Result<std::vector<Sheet>> sheets = facts.kind == StudyOf::type1       ? type1_sheets(facts, text)
                                        : facts.kind == StudyOf::linearity ? linearity_sheets(facts, text)
                                                                           : variation_sheets(facts);
    if (!sheets) return sheets;
    if (!facts.approved.empty()) sheets->push_back(approved_sheet(facts, text));
    sheets->push_back(plan_sheet(facts, text));
    sheets->push_back(readings_sheet(facts, text));
    return sheets;
}

Result<ProposedUncertainty> propose_uncertainty(const StudyFacts& facts, const BudgetAsked& asked) {
    if (facts.kind != StudyOf::repeatability) return refuse(message("study.not_repeatability"));
    const auto study = arranged(facts);
    if (!study) return refuse(study.error());
    const auto anova = statistics::anova_study(*study);
    const auto& answer = anova.chosen();
    statistics::CaliperInputs in;
    in.resolution = nm(facts.resolution);
    in.calibration_expanded = nm(asked.calibration_expanded);
    in.calibration_k = static_cast<double>(asked.calibration_k_permille) / 1000;
    in.repeatability_sd = answer.parts.repeatability.sd;
    in.repeatability_df = answer.error.df;
    in.reproducibility_sd = answer.parts.reproducibility.sd;
    in.reproducibility_df = answer.appraiser.df;
    in.temperature_half_width = static_cast<double>(asked.temperature_half_width_mk) / 1000;
    in.length = nm(asked.length);
    const auto made = statistics::caliper_budget(in);
    if (!made) return refuse(made.error());
    const auto& budget = made->budget;
    ProposedUncertainty out;
    out.standard = Length::from_nm(made->standard_uncertainty_nm);
    out.expanded = rounded_up(budget.expanded);
    out.coverage_permille = std::llround(1000 * budget.k);
    out.degrees_of_freedom = budget.whole_df.value_or(0);
    for (const auto& line : budget.lines)
        out.parts.push_back({short_id(line.component.code), rounded_up(line.contribution)});

    const LengthText text(facts.inches);
    Table table("audit.sheet.study_uncertainty", facts.inches);
    table.column("audit.column.gauge", Cell::gauge)
        .length("audit.column.standard_mm", "audit.column.standard_in")
        .length("audit.column.expanded_mm", "audit.column.expanded_in")
        .column("audit.column.coverage", Cell::number)
        .column("audit.column.df", Cell::count);
    table.row({facts.gauge, text.exact(out.standard), text.exact(out.expanded), number_text(budget.k, 3),
               out.degrees_of_freedom == 0 ? std::string() : count_text(out.degrees_of_freedom)});
    table.note(message("study.budget_safe_side"));
    out.sheets.push_back(table.done());
    out.sheets.push_back(budget_sheet(budget, facts.inches));
    return out;
}

}  // namespace crimpgate::audit

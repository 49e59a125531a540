// Figures of several samples beside each other: analysis of variance, charts of subgroups, gauge studies, agreement.
#include <string>

#include "reports/statistics/agreement.h"
#include "reports/statistics/anova.h"
#include "reports/statistics/gauge_linearity.h"
#include "reports/statistics/gauge_repeatability.h"
#include "tests/outside/case.h"
#include "tests/outside/charts.h"

namespace crimpgate::outside {
namespace {

using namespace statistics;

void say_source(const Source& source, const std::optional<FTest>& test, const Figures& figures) {
    figures.say({{"ss", source.ss}, {"df", static_cast<double>(source.df)}});
    figures.say("f", test ? std::optional(test->f) : std::nullopt);
    figures.say("p", test ? std::optional(test->p) : std::nullopt);
}

void say_parts(const VariationParts& parts, const Figures& figures) {
    figures.say({{"repeatability", parts.repeatability.sd},
                 {"reproducibility", parts.reproducibility.sd},
                 {"gauge", parts.gauge.sd},
                 {"piece", parts.piece.sd},
                 {"total", parts.total.sd}});
    figures.say("study_variation", parts.gauge.study_variation);
    figures.say("contribution", parts.gauge.contribution);
    figures.say("tolerance", parts.gauge.tolerance);
    figures.say("categories", parts.categories.by_root2);
}

void say_model(const AnovaModel& model, const Figures& figures) {
    say_parts(model.parts, figures);
    figures.say({{"appraiser", model.appraiser_alone.sd}, {"interaction", model.interaction.sd}});
    figures.say("piece_f", model.piece.f);
    figures.say("piece_p", model.piece.p);
    figures.say("appraiser_f", model.appraiser.f);
    figures.say("appraiser_p", model.appraiser.p);
}

void say_two_way(const std::vector<std::vector<std::vector<double>>>& cells, const Figures& figures) {
    const auto table = two_way(cells);
    if (!table) return figures.refused("a.ss");
    say_source(table->a, table->a_test_fixed(), figures.under("a"));
    say_source(table->b, table->b_test_fixed(), figures.under("b"));
    say_source(table->interaction, table->interaction_test(), figures.under("interaction"));
    figures.say({{"error.ss", table->error.ss}, {"total.ss", table->total.ss}, {"grand_mean", table->grand_mean}});
}

void say_study(const std::vector<StudyReading>& readings, double tolerance, const Figures& figures) {
    const auto study = arrange_study(readings);
    if (!study) return figures.refused("repeatability");
    StudyChoice choice;
    choice.tolerance = tolerance;
    const auto ranges = average_and_range(*study, choice);
    say_parts(ranges.parts, figures.under("ranges"));
    figures.say({{"ranges.mean_range", ranges.mean_range},
                 {"ranges.limit", ranges.range_limit},
                 {"ranges.beyond", static_cast<double>(ranges.beyond.size())},
                 {"ranges.k1", ranges.k1},
                 {"ranges.k2", ranges.k2},
                 {"ranges.k3", ranges.k3}});
    const auto anova = anova_study(*study, choice);
    say_model(anova.kept, figures.under("kept"));
    say_model(anova.pooled, figures.under("pooled"));
    figures.say("pools", anova.pools ? 1.0 : 0.0);
}

}  // namespace

void say_groups(const Case& given, const Figures& figures) {
    const auto groups = given.all("group");
    if (const auto table = one_way(groups)) {
        const Figures below = figures.under("anova");
        say_source(table->between, table->test, below.under("between"));
        below.say({{"within.ss", table->within.ss},
                   {"within.df", static_cast<double>(table->within.df)},
                   {"grand_mean", table->grand_mean},
                   {"residual_sd", table->residual_sd}});
        below.say("r_squared", table->r_squared);
    } else {
        figures.refused("anova.between.ss");
    }
    for (const auto& [kind, name] :
         {std::pair{ChartKind::mean_and_range, "mean_and_range"}, std::pair{ChartKind::mean_and_s, "mean_and_s"}}) {
        const auto points = chart_points(kind, groups);
        if (points)
            say_chart(limits_from(kind, *points), figures.under(name));
        else
            figures.under(name).refused("sigma_within");
    }
    say_capability(given, groups, SpreadFrom::pooled, figures);
    say_within(given, groups, SpreadFrom::mean_range, figures.under("by_range"));
    say_within(given, groups, SpreadFrom::mean_s, figures.under("by_s"));
}

void say_table(const Case& given, const Figures& figures) {
    std::vector<std::vector<std::vector<double>>> cells;
    std::vector<StudyReading> readings;
    // "cell A B x x x", levels from 1; a cell without values has none.
    for (const auto& line : given.all("cell")) {
        const auto a = static_cast<std::size_t>(line.at(0)), b = static_cast<std::size_t>(line.at(1));
        if (cells.size() < a) cells.resize(a);
        if (cells[a - 1].size() < b) cells[a - 1].resize(b);
        cells[a - 1][b - 1].assign(line.begin() + 2, line.end());
        int trial = 0;
        for (const double value : cells[a - 1][b - 1])
            readings.push_back({std::to_string(a), std::to_string(b), ++trial, value});
    }
    say_two_way(cells, figures.under("two_way"));
    say_study(readings, given.number("tolerance"), figures.under("study"));
}

void say_pairs(const Case& given, const Figures& figures) {
    const auto first = given.numbers("first"), again = given.numbers("again");
    std::vector<MeasuredTwice> pairs;
    std::vector<LinearityReading> readings;
    for (std::size_t i = 0; i < first.size(); ++i) {
        pairs.push_back({first[i], again.at(i)});
        readings.push_back({first[i], again[i]});
    }
    if (const auto agreement = agreement_of(pairs)) {
        const Figures below = figures.under("agreement");
        below.say({{"difference", agreement->mean_difference},
                   {"sd", agreement->sd_of_differences},
                   {"lower", agreement->lower_limit},
                   {"upper", agreement->upper_limit},
                   {"mean_from", agreement->mean_interval.lower},
                   {"upper_to", agreement->upper_limit_interval.upper}});
        below.say("trend", agreement->trend_correlation);
        below.say("trend_p", agreement->trend_p);
    } else {
        figures.refused("agreement.difference");
    }
    const auto line = linearity_study(readings);
    if (!line) return figures.refused("linearity.slope");
    const Figures below = figures.under("linearity");
    below.say({{"slope", line->slope}, {"intercept", line->intercept}, {"s", line->s}});
    below.say({{"slope_error", line->slope_error}, {"intercept_error", line->intercept_error}});
    below.say("r_squared", line->r_squared);
    below.say("t_slope", line->t_slope);
    below.say("p_slope", line->p_slope);
    below.say("p_intercept", line->p_intercept);
    below.say("band_upper", line->band_at(line->highest).upper);
}

}  // namespace crimpgate::outside

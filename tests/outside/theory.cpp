// Figures that need no sample: constants, distributions, run lengths, tolerance factors, budgets, lots.
#include <stdexcept>
#include <string>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/distributions.h"
#include "reports/statistics/gauge_bias.h"
#include "reports/statistics/operating_characteristic.h"
#include "reports/statistics/run_length.h"
#include "reports/statistics/tolerance_interval.h"
#include "reports/statistics/uncertainty_budget.h"
#include "tests/outside/case.h"

namespace crimpgate::outside {
namespace {

using namespace statistics;

BudgetComponent component_of(const std::vector<std::string>& words) {
    const std::string& shape = words.at(0);
    const double value = number_in(words.at(1)), with = number_in(words.at(2)), c = number_in(words.at(3));
    const double df = words.at(4) == "inf" ? infinitely_many : number_in(words.at(4));
    if (shape == "standard") return standard_component(shape, value, c, df);
    if (shape == "expanded") return expanded_component(shape, value, with, c, df);
    if (shape == "rectangular") return rectangular_component(shape, value, c, df);
    if (shape == "triangular") return triangular_component(shape, value, c, df);
    if (shape == "u_shaped") return u_shaped_component(shape, value, c, df);
    if (shape == "t_interval") return t_interval_component(shape, value, with, df, c);
    throw std::runtime_error("no such component: " + shape);
}

}  // namespace

void say_constants(const Case& given, const Figures& figures) {
    const int n = static_cast<int>(given.count("n")), g = static_cast<int>(given.count("g"));
    const auto& c = chart_constants(n);
    figures.say({{"d2", c.d2},
                 {"d3", c.d3},
                 {"c4", c.c4},
                 {"A", c.A},
                 {"A2", c.A2},
                 {"A3", c.A3},
                 {"B3", c.B3},
                 {"B4", c.B4},
                 {"B5", c.B5},
                 {"B6", c.B6},
                 {"D1", c.D1},
                 {"D2", c.D2},
                 {"D3", c.D3},
                 {"D4", c.D4},
                 {"E2", c.E2},
                 {"E3", c.E3}});
    figures.say({{"d2_star", d2_star(n, g)}, {"range_df", range_degrees_of_freedom(n, g)}});
}

void say_distributions(const Case& given, const Figures& figures) {
    const double p = given.number("p"), df = given.number("df"), df2 = given.number("df2");
    const double t = given.number("t"), chi = given.number("chi"), f = given.number("f");
    figures.say({{"normal_quantile", normal_quantile(p)},
                 {"normal_cdf", normal_cdf(t)},
                 {"normal_upper", normal_upper(t)},
                 {"student_quantile", student_quantile(p, df)},
                 {"student_upper", student_upper(t, df)},
                 {"chi_squared_quantile", chi_squared_quantile(p, df)},
                 {"chi_squared_cdf", chi_squared_cdf(chi, df)},
                 {"fisher_quantile", fisher_quantile(p, df, df2)},
                 {"fisher_upper", fisher_upper(f, df, df2)}});
}

void say_run_lengths(const Case& given, const Figures& figures) {
    const double shift = given.number("shift");
    if (given.has("rules")) {
        RunRules rules;
        for (const auto& code : given.words("rules")) {
            const auto rule = run_rule_of(code);
            if (!rule) throw std::runtime_error("no such rule: " + code);
            rules.set(*rule);
        }
        figures.say("rules_run_length", average_run_length(rules, shift));
    }
    if (given.has("cusum")) {
        const auto what = given.numbers("cusum");
        CusumOptions options;
        options.k = what.at(0);
        options.h = what.at(1);
        options.fast_start = what.at(2) != 0;
        figures.say("cusum_run_length", cusum_average_run_length(options, shift));
    }
    if (given.has("ewma")) {
        const auto what = given.numbers("ewma");
        figures.say("ewma_run_length", ewma_average_run_length(what.at(0), what.at(1), shift));
    }
}

void say_tolerance(const Case& given, const Figures& figures) {
    const int n = static_cast<int>(given.count("n"));
    const double share = given.number("share"), confidence = given.number("confidence");
    figures.say({{"howe", tolerance_factor_howe(n, share, confidence)},
                 {"two_sided", tolerance_factor_exact(n, share, confidence)},
                 {"one_sided", tolerance_factor_one_sided(n, share, confidence)}});
}

void say_budget(const Case& given, const Figures& figures) {
    std::vector<BudgetComponent> components;
    for (const auto& [key, words] : given.lines)
        if (key == "component") components.push_back(component_of(words));
    const auto budget = combine(components, given.number("probability"));
    figures.say("u", budget.u);
    figures.say("effective_df", budget.effective_df);
    figures.say({{"k", budget.k}, {"expanded", budget.expanded}, {"first_share", budget.lines.front().share}});
    const auto widths = given.numbers("trapezoid");
    figures.say("trapezoid_k", coverage_trapezoid(widths.at(0), widths.at(1), budget.probability));
}

void say_lot(const Case& given, const Figures& figures) {
    const auto n = given.count("n"), accept = given.count("accept"), bad = given.count("bad"), lot = given.count("lot");
    const auto ppm = given.count("ppm"), confidence = given.count("confidence_ppm");
    figures.say({{"binomial", acceptance_from_process(n, accept, given.number("share"))},
                 {"hypergeometric", acceptance_from_lot(n, accept, bad, lot)},
                 {"share_accepted", share_accepted_with(given.number("probability"), n, accept)},
                 {"zero_size", static_cast<double>(zero_acceptance_size(ppm, confidence))},
                 {"zero_size_in_lot", static_cast<double>(zero_acceptance_size_in_lot(lot, ppm, confidence))}});
}

}  // namespace crimpgate::outside

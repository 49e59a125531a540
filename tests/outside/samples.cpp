// Figures of one sample: moments, order, normality, charts of individuals, capability, bias.
#include <string>

#include "reports/statistics/capability.h"
#include "reports/statistics/control_chart.h"
#include "reports/statistics/cusum.h"
#include "reports/statistics/ewma.h"
#include "reports/statistics/gauge_bias.h"
#include "reports/statistics/gauge_type1.h"
#include "reports/statistics/moments.h"
#include "reports/statistics/normality.h"
#include "tests/outside/case.h"
#include "tests/outside/charts.h"

namespace crimpgate::outside {
namespace {

using namespace statistics;

void say_order(const std::vector<double>& x, const Figures& figures) {
    const auto moments = moments_of(x);
    figures.say({{"mean", moments.mean}, {"squared_deviations", moments.squared_deviations}});
    figures.say("variance", moments.variance());
    figures.say("sd", moments.sd());
    figures.say("lag1", lag1_autocorrelation(x));
    for (const auto& [name, p] : std::initializer_list<std::pair<const char*, double>>{{"quantile.0", 0},
                                                                                       {"quantile.10", 0.1},
                                                                                       {"quantile.25", 0.25},
                                                                                       {"quantile.50", 0.5},
                                                                                       {"quantile.90", 0.9},
                                                                                       {"quantile.95", 0.95},
                                                                                       {"quantile.100", 1}})
        figures.say(name, quantile(x, p));
}

void say_normality(const std::vector<double>& x, const Figures& figures) {
    const auto test = anderson_darling(x);
    if (!test) return figures.refused("anderson_darling.a2");
    figures.say({{"anderson_darling.a2", test->a_squared},
                 {"anderson_darling.corrected", test->corrected},
                 {"anderson_darling.p", test->p}});
    const auto plot = normal_plot(x);
    figures.say({{"plot.first_score", plot.front().score}, {"plot.second_score", plot[1].score}});
}

void say_bias(const Case& given, const std::vector<double>& x, const Figures& figures) {
    const double reference = given.number("reference");
    const auto study = type1_study(x, reference, given.number("tolerance"), given.number("resolution"));
    if (!study) {
        figures.refused("type1.cg");
    } else {
        figures.say("type1.bias", study->bias);
        figures.say("type1.t", study->t);
        figures.say("type1.p", study->p);
        figures.say("type1.cg", study->cg);
        figures.say("type1.cgk", study->cgk);
    }
    const auto say = [&](const Result<BiasStudy>& bias, std::string_view prefix) {
        const Figures below = figures.under(prefix);
        if (!bias) return below.refused("t");
        below.say({{"df", bias->df}, {"lower", bias->lower}, {"upper", bias->upper}});
        below.say("t", bias->t);
        below.say("p", bias->p);
    };
    say(bias_by_sd(x, reference), "bias_sd");
    say(bias_by_range(x, reference), "bias_range");
}

// The state after the last point: everything before is in it.
void say_sums(const Case& given, const std::vector<double>& x, const Figures& figures) {
    const double target = given.number("chart_target"), sigma = given.number("chart_sigma");
    CusumOptions options;
    options.fast_start = true;
    const auto chart = cusum(x, target, sigma, options);
    const auto averages = ewma(x, target, sigma, EwmaOptions{});
    figures.say({{"cusum.above", chart.points.back().above},
                 {"cusum.below", chart.points.back().below},
                 {"cusum.signals", static_cast<double>(chart.signals.size())},
                 {"ewma.level", averages.levels.back()},
                 {"ewma.sigma", averages.limits.back().sigma},
                 {"ewma.signals", static_cast<double>(averages.signals.size())}});
}

}  // namespace

void say_values(const Case& given, const Figures& figures) {
    const auto x = given.numbers("x");
    say_order(x, figures);
    say_normality(x, figures);
    say_bias(given, x, figures);
    say_sums(given, x, figures);
    const auto points = individual_points(x);
    say_chart(limits_from(ChartKind::individuals, points), figures.under("individuals"));
    std::vector<std::vector<double>> singles;
    for (const double value : x)
        singles.push_back({value});
    say_capability(given, singles, SpreadFrom::pooled, figures);
}

}  // namespace crimpgate::outside

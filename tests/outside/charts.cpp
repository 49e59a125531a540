#include "tests/outside/charts.h"

#include <span>
#include <string>

namespace crimpgate::outside {
namespace {

using namespace statistics;

void say_index(const Warned<CapabilityIndex>& index, const Figures& figures) {
    index.match(
        [&](const CapabilityIndex& is, std::span<const Message>) {
            figures.say({{"value", is.value},
                         {"from", is.interval.lower},
                         {"to", is.interval.upper},
                         {"bound", is.lower_bound}});
        },
        [&](const Message&) { figures.refused("value"); });
}

void say_set(const IndexSet& set, const std::optional<Spread>& spread, const Figures& figures) {
    if (spread)
        figures.say({{"sigma", spread->sigma}, {"df", spread->degrees_of_freedom}});
    else
        figures.refused("sigma");
    say_index(set.spread, figures.under("spread"));
    say_index(set.nearer, figures.under("nearer"));
    say_index(set.upper, figures.under("upper"));
    say_index(set.lower, figures.under("lower"));
    set.expected.match(
        [&](const ExpectedOutside& is, std::span<const Message>) {
            figures.say({{"ppm_below", is.below * 1e6}, {"ppm_above", is.above * 1e6}, {"ppm_total", is.total * 1e6}});
        },
        [&](const Message&) { figures.refused("ppm_total"); });
}

Capability capability_in(const Case& given, const std::vector<std::vector<double>>& subgroups, SpreadFrom from) {
    CapabilityBand band;
    band.lower = given.maybe("lower");
    band.upper = given.maybe("upper");
    band.target = given.maybe("target");
    return capability_of(subgroups, from, band, CapabilityBasis{});
}

}  // namespace

void say_chart(const Result<ChartLimits>& limits, const Figures& figures) {
    if (!limits) return figures.refused("sigma_within");
    figures.say({{"sigma_within", limits->sigma_within},
                 {"location.centre", limits->location.centre},
                 {"location.lower", limits->location.lower},
                 {"location.upper", limits->location.upper},
                 {"location.sigma", limits->location.sigma},
                 {"spread.centre", limits->spread.centre},
                 {"spread.lower", limits->spread.lower},
                 {"spread.upper", limits->spread.upper}});
}

void say_within(const Case& given, const std::vector<std::vector<double>>& subgroups, SpreadFrom from,
                const Figures& figures) {
    const auto capability = capability_in(given, subgroups, from);
    say_set(capability.within, capability.within_spread, figures);
}

void say_capability(const Case& given, const std::vector<std::vector<double>>& subgroups, SpreadFrom from,
                    const Figures& figures) {
    const auto capability = capability_in(given, subgroups, from);
    say_set(capability.within, capability.within_spread, figures.under("within"));
    say_set(capability.overall, capability.overall_spread, figures.under("overall"));
    say_index(capability.target, figures.under("cpm"));
    say_index(capability.target_side, figures.under("cpm_side"));
    figures.say({{"observed_below", static_cast<double>(capability.observed.below)},
                 {"observed_above", static_cast<double>(capability.observed.above)}});
}

}  // namespace crimpgate::outside

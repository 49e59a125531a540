#include "reports/statistics/capability.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <stdexcept>
#include <string>

#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

void require_sound(const CapabilityBand& band) {
    const bool finite = (!band.lower || std::isfinite(*band.lower)) && (!band.upper || std::isfinite(*band.upper)) &&
                        (!band.target || std::isfinite(*band.target));
    const bool ordered = !(band.lower && band.upper) || *band.lower < *band.upper;
    const bool target_inside =
        !band.target || ((!band.lower || *band.lower <= *band.target) && (!band.upper || *band.target <= *band.upper));
    if ((!band.lower && !band.upper) || !finite || !ordered || !target_inside)
        throw std::domain_error("capability: a band needs a limit, the lower below the upper, the target between");
}

std::optional<double> target_of(const CapabilityBand& band) {
    if (band.target) return band.target;
    if (band.lower && band.upper) return *band.lower + (*band.upper - *band.lower) / 2;
    return std::nullopt;
}

// With its sign: what would be shown as 0.000 is less than 0.001.
std::string probability_text(double p) {
    if (p < 0.0005) return "< 0.001";
    std::array<char, 64> text;
    const auto end = std::to_chars(text.data(), text.data() + text.size(), p, std::chars_format::fixed, 3).ptr;
    return "= " + std::string(text.data(), end);
}

// Why there cannot be any index at all.
std::optional<Message> nothing_to_say(const ProcessSummary& summary) {
    if (summary.values < least_values_for_an_index)
        return message("capability.too_few_values")
            .with("values", std::to_string(summary.values))
            .with("least", std::to_string(least_values_for_an_index));
    if (!(summary.spread.sigma > 0)) return message("capability.no_spread");
    return std::nullopt;
}

// What each kind asks of the band.
std::optional<Message> missing_for(IndexKind kind, const CapabilityBand& band) {
    const bool both = band.lower && band.upper;
    switch (kind) {
        case IndexKind::spread:
        case IndexKind::target:
            return both ? std::nullopt : std::optional(message("capability.needs_both_limits"));
        case IndexKind::upper:
            return band.upper ? std::nullopt : std::optional(message("capability.no_upper_limit"));
        case IndexKind::lower:
            return band.lower ? std::nullopt : std::optional(message("capability.no_lower_limit"));
        case IndexKind::target_side:
            return target_of(band) ? std::nullopt : std::optional(message("capability.no_target"));
        case IndexKind::nearer:
            return std::nullopt;
    }
    throw std::domain_error("capability: no such index");
}

// The lesser distance of a place to the limits that there are.
double room(const CapabilityBand& band, double place) {
    if (!band.lower) return *band.upper - place;
    if (!band.upper) return place - *band.lower;
    return std::min(*band.upper - place, place - *band.lower);
}

CapabilityIndex reckon(IndexKind kind, const ProcessSummary& summary, const CapabilityBand& band, double confidence) {
    const double sigma = summary.spread.sigma, df = summary.spread.degrees_of_freedom;
    const auto n = static_cast<double>(summary.values);
    CapabilityIndex index{kind, summary.spread.from, 0, {}, 0};
    if (kind == IndexKind::spread) {
        index.value = (*band.upper - *band.lower) / (6 * sigma);
        index.interval = spread_index_interval(index.value, df, confidence);
        index.lower_bound = spread_index_lower_bound(index.value, df, confidence);
    } else if (kind == IndexKind::target || kind == IndexKind::target_side) {
        const double target = *target_of(band);
        const double offset = summary.mean - target;
        const double tau = std::hypot(sigma, offset);
        index.value =
            kind == IndexKind::target ? (*band.upper - *band.lower) / (6 * tau) : room(band, target) / (3 * tau);
        index.interval = target_index_interval(index.value, n, offset / sigma, confidence);
        index.lower_bound = target_index_lower_bound(index.value, n, offset / sigma, confidence);
    } else {
        const double distance = kind == IndexKind::upper   ? *band.upper - summary.mean
                                : kind == IndexKind::lower ? summary.mean - *band.lower
                                                           : room(band, summary.mean);
        index.value = distance / (3 * sigma);
        index.interval = nearer_index_interval(index.value, n, df, confidence);
        index.lower_bound = nearer_index_lower_bound(index.value, n, df, confidence);
    }
    return index;
}

Warned<CapabilityIndex> index_of(IndexKind kind, const ProcessSummary& summary, const CapabilityBand& band,
                                 const CapabilityBasis& basis) {
    require_sound(band);
    if (auto reason = nothing_to_say(summary)) return Warned<CapabilityIndex>(std::move(*reason));
    if (auto reason = missing_for(kind, band)) return Warned<CapabilityIndex>(std::move(*reason));
    return {reckon(kind, summary, band, basis.confidence),
            capability_warnings(summary.values, summary.subgroups, basis)};
}

ObservedOutside count_outside(std::span<const double> values, const CapabilityBand& band) {
    ObservedOutside observed;
    observed.of = values.size();
    for (const double value : values) {
        if (band.lower && value < *band.lower) ++observed.below;
        if (band.upper && value > *band.upper) ++observed.above;
    }
    return observed;
}

}  // namespace

std::string_view symbol(IndexKind kind, SpreadFrom from) {
    const bool overall = from == SpreadFrom::overall;
    switch (kind) {
        case IndexKind::spread:
            return overall ? "Pp" : "Cp";
        case IndexKind::nearer:
            return overall ? "Ppk" : "Cpk";
        case IndexKind::upper:
            return overall ? "Ppu" : "Cpu";
        case IndexKind::lower:
            return overall ? "Ppl" : "Cpl";
        case IndexKind::target:
            return "Cpm";
        case IndexKind::target_side:
            return "Cpm*";
    }
    throw std::domain_error("symbol: no such index");
}

ExpectedOutside expected_outside(const CapabilityBand& band, double mean, const Spread& spread) {
    require_sound(band);
    if (!(spread.sigma > 0)) throw std::domain_error("expected_outside: a spread above zero is needed");
    ExpectedOutside outside;
    outside.from = spread.from;
    if (band.lower) outside.below = normal_cdf((*band.lower - mean) / spread.sigma);
    if (band.upper) outside.above = normal_upper((*band.upper - mean) / spread.sigma);
    outside.total = outside.below + outside.above;
    return outside;
}

std::vector<Message> capability_warnings(std::size_t values, std::size_t subgroups, const CapabilityBasis& basis) {
    std::vector<Message> warnings;
    if (!basis.stable) warnings.push_back(message("capability.unstable"));
    if (values < few_values)
        warnings.push_back(message("capability.few_values")
                               .with("values", std::to_string(values))
                               .with("wanted", std::to_string(few_values)));
    else if (values < recommended_values || subgroups < recommended_subgroups)
        warnings.push_back(message("capability.fewer_than_recommended")
                               .with("values", std::to_string(values))
                               .with("subgroups", std::to_string(subgroups))
                               .with("wanted", std::to_string(recommended_values))
                               .with("wanted_subgroups", std::to_string(recommended_subgroups)));
    if (!basis.normality_p)
        warnings.push_back(message("capability.normality_unknown"));
    else if (!(*basis.normality_p >= 0.05))
        warnings.push_back(message("capability.not_normal").with("p", probability_text(*basis.normality_p)));
    return warnings;
}

IndexSet indices_of(const ProcessSummary& summary, const CapabilityBand& band, const CapabilityBasis& basis) {
    const auto index = [&](IndexKind kind) { return index_of(kind, summary, band, basis); };
    auto reason = nothing_to_say(summary);
    auto expected = reason ? Warned<ExpectedOutside>(std::move(*reason))
                           : Warned<ExpectedOutside>(expected_outside(band, summary.mean, summary.spread),
                                                     capability_warnings(summary.values, summary.subgroups, basis));
    return {index(IndexKind::spread), index(IndexKind::nearer), index(IndexKind::upper), index(IndexKind::lower),
            std::move(expected)};
}

Warned<CapabilityIndex> target_index(IndexKind kind, const ProcessSummary& summary, const CapabilityBand& band,
                                     const CapabilityBasis& basis) {
    if (kind != IndexKind::target && kind != IndexKind::target_side)
        throw std::domain_error("target_index: not an index about a target");
    if (summary.spread.from != SpreadFrom::overall)
        throw std::domain_error("target_index: the target is held against the spread overall");
    return index_of(kind, summary, band, basis);
}

Capability capability_of(Subgroups subgroups, SpreadFrom from, const CapabilityBand& band,
                         const CapabilityBasis& basis) {
    std::vector<double> values;
    bool all_single = true;
    std::size_t filled = 0;
    for (const auto& subgroup : subgroups) {
        values.insert(values.end(), subgroup.begin(), subgroup.end());
        if (subgroup.size() > 1) all_single = false;
        if (!subgroup.empty()) ++filled;
    }
    if (!std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); }))
        throw std::domain_error("capability_of: values must be finite");

    const auto within = all_single ? spread_of_neighbours(values) : spread_within(subgroups, from);
    const auto overall = spread_overall(values);
    const auto mean = moments_of(values).mean;
    const auto summary = [&](const std::optional<Spread>& spread, SpreadFrom else_from) {
        return ProcessSummary{values.size(), filled, mean, spread.value_or(Spread{0, 0, else_from})};
    };
    const auto overall_summary = summary(overall, SpreadFrom::overall);
    return {.values = values.size(),
            .subgroups = filled,
            .mean = mean,
            .within_spread = within,
            .overall_spread = overall,
            .within = indices_of(summary(within, from), band, basis),
            .overall = indices_of(overall_summary, band, basis),
            .target = target_index(IndexKind::target, overall_summary, band, basis),
            .target_side = target_index(IndexKind::target_side, overall_summary, band, basis),
            .observed = count_outside(values, band)};
}

std::optional<double> off_centre(const CapabilityBand& band, double mean) {
    require_sound(band);
    if (!band.lower || !band.upper) return std::nullopt;
    const double half = (*band.upper - *band.lower) / 2;
    return std::abs(*band.lower + half - mean) / half;
}

Interval yield_bounds(double nearer_index) {
    const double one_sided = normal_cdf(3 * nearer_index);
    return {std::max(0.0, 1 - 2 * normal_upper(3 * nearer_index)), one_sided};
}

}  // namespace crimpgate::statistics

#include "specs/decision_rule.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "specs/judgement.h"

namespace crimpgate {

namespace {

__extension__ using Wide = unsigned __int128;

constexpr std::int64_t largest_nm = std::numeric_limits<std::int64_t>::max();

constexpr Wide wide(std::int64_t value) {
    return static_cast<Wide>(value);
}

constexpr Length clamped(Wide nm) {
    return Length::from_nm(nm > wide(largest_nm) ? largest_nm : static_cast<std::int64_t>(nm));
}

// The largest r with r * r <= n.
Wide whole_root(Wide n) {
    Wide low = 0;
    Wide high = (Wide{1} << 64) - 1;
    while (low < high) {
        const Wide middle = low + (high - low + 1) / 2;
        if (middle * middle <= n)
            low = middle;
        else
            high = middle - 1;
    }
    return low;
}

// Largest standard uncertainty whose guard is at most `guard`: f u / 1000, rounded up, <= g exactly when u <= 1000 g /
// f.
Length largest_uncertainty(const DecisionRule& rule, Length guard) {
    if (rule.kind == RuleKind::simple || rule.guard_factor_thousandths <= 0) return Length::from_nm(largest_nm);
    return clamped(wide(guard.nm()) * 1000 / wide(rule.guard_factor_thousandths));
}

struct Need {
    Characteristic what;
    Length largest;  // standard uncertainty that leaves something to accept in
};

std::vector<Need> needs_of(const SpecRow& row) {
    std::vector<Need> needs;
    for (const auto what : {Characteristic::skive_outer, Characteristic::skive_inner, Characteristic::depth,
                            Characteristic::mark_before, Characteristic::crimp_diameter, Characteristic::spread}) {
        const auto band = band_of(row, what);
        if (!band) continue;
        switch (what) {
            case Characteristic::mark_before:
                needs.push_back({what, largest_uncertainty(row.rule, band->upper)});
                break;
            case Characteristic::spread: {
                // sqrt(2) u, rounded up, <= s exactly when 2 u^2 <= s^2.
                const auto s = largest_uncertainty(row.rule, band->upper);
                needs.push_back({what, clamped(whole_root(wide(s.nm()) * wide(s.nm()) / 2))});
                break;
            }
            default:
                needs.push_back({what, largest_uncertainty(row.rule, Length::from_nm(band->width().nm() / 2))});
        }
    }
    return needs;
}

double upper_tail(double z) {
    return 0.5 * std::erfc(z / std::sqrt(2.0));
}

}  // namespace

Length guard_of(const DecisionRule& rule, Length standard_uncertainty) {
    if (rule.kind == RuleKind::simple || rule.guard_factor_thousandths <= 0 || standard_uncertainty.nm() <= 0)
        return {};
    return clamped((wide(rule.guard_factor_thousandths) * wide(standard_uncertainty.nm()) + 999) / 1000);
}

Length uncertainty_of_difference(Length standard_uncertainty) {
    if (standard_uncertainty.nm() <= 0) return {};
    const Wide square = 2 * wide(standard_uncertainty.nm()) * wide(standard_uncertainty.nm());
    const Wide root = whole_root(square);
    return clamped(root * root == square ? root : root + 1);
}

Verdict decide(const Band& band, Length guard, Length value) {
    if (!band.holds(value)) return Verdict::fails;
    return value - band.lower >= guard && band.upper - value >= guard ? Verdict::conforms : Verdict::uncertain;
}

Verdict decide_upper(Length upper, Length guard, Length value) {
    if (value < Length{} || value > upper) return Verdict::fails;
    return upper - value >= guard ? Verdict::conforms : Verdict::uncertain;
}

double conformity_probability(const Band& band, Length value, Length standard_uncertainty) {
    if (standard_uncertainty.nm() <= 0) return band.holds(value) ? 1.0 : 0.0;
    const auto u = static_cast<double>(standard_uncertainty.nm());
    const auto y = static_cast<double>(value.nm());
    const double to_upper = (static_cast<double>(band.upper.nm()) - y) / u;
    const double to_lower = (static_cast<double>(band.lower.nm()) - y) / u;
    // Both forms are the same number; the one taken subtracts small tails and so keeps their digits.
    const double p =
        to_lower > 0 ? upper_tail(to_lower) - upper_tail(to_upper) : upper_tail(-to_upper) - upper_tail(-to_lower);
    return std::clamp(p, 0.0, 1.0);
}

Result<void> gauge_suits(const SpecRow& row, const GaugeChoice& gauge, const std::vector<GaugeChoice>& others) {
    const auto needs = needs_of(row);
    const auto tightest = std::min_element(needs.begin(), needs.end(),
                                           [](const Need& a, const Need& b) { return a.largest < b.largest; });
    if (tightest == needs.end() || gauge.uncertainty <= tightest->largest) return {};

    std::string names;
    for (const auto& other : others) {
        if (other.name == gauge.name || other.uncertainty > tightest->largest) continue;
        if (!names.empty()) names += ", ";
        names += other.name;
    }
    return refuse(message("rule.gauge_too_coarse")
                      .with("gauge", gauge.name)
                      .with("spec", row.spec_id)
                      .with("what", code_of(tightest->what))
                      .with("uncertainty", gauge.uncertainty.to_mm_text(6))
                      .with("largest", tightest->largest.to_mm_text(6))
                      .with("others", names.empty() ? "-" : names));
}

}  // namespace crimpgate

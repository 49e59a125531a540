#include "reports/tag_text.h"

#include <fmt/core.h>

#include <algorithm>

namespace crimpgate::tag_text {

namespace {

// The fewest places, from `places` up, that lose nothing of value / unit (unit = 10^most).
int places_needed(std::int64_t value, int places, int most) {
    std::int64_t step = 1;
    for (int i = most; i > places && value % (step * 10) == 0; --i) {
        step *= 10;
        --most;
    }
    return std::max(places, most);
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
    std::string out;
    for (const auto& p : parts) {
        if (p.empty()) continue;
        if (!out.empty()) out += between;
        out += p;
    }
    return out;
}

std::string band(const Band& b, int places) {
    return fmt::format("({}\u00A0to\u00A0{})", millimetres(b.lower, places), millimetres(b.upper, places));
}

}  // namespace

std::string millimetres(Length length, int places) {
    return length.to_mm_text(places_needed(length.nm(), std::clamp(places, 0, 6), 6));
}

std::string bar(Pressure p) {
    return p.to_bar_text(places_needed(p.kpa(), 0, 2));
}

std::string mpa(Pressure p) {
    return p.to_mpa_text(places_needed(p.kpa(), 0, 3));
}

std::string psi(const Rating& r) {
    constexpr std::string_view unit = " psi";
    if (r.as_given.size() > unit.size() && std::string_view(r.as_given).ends_with(unit))
        return r.as_given.substr(0, r.as_given.size() - unit.size());
    return r.pressure.to_psi_text();
}

std::string hose(const TagData& tag) {
    return joined(
        {joined({tag.hose_maker, tag.hose_type, fmt::format("-{:02}", tag.hose_dash)}, " "), tag.hose_standard}, ", ");
}

std::string fitting(const TagEnd& end) {
    return joined({joined({end.fitting_maker, end.fitting_series}, " "), end.end_form, end.end_size}, ", ");
}

std::string overall_length(const TagData& tag) {
    const auto& l = tag.overall_length;
    return fmt::format("{}\u00A0mm +{}\u00A0/\u00A0-{}", millimetres(l.nominal, 0), millimetres(l.plus, 0),
                       millimetres(l.minus, 0));
}

std::string orientation(const TagData& tag) {
    return tag.orientation_degrees ? fmt::format("{}\u00B0", *tag.orientation_degrees) : "none";
}

std::string depth(const TagEnd& end) {
    return fmt::format("{}\u00A0mm {}", millimetres(end.depth, end.places), band(end.depth_band, end.places));
}

std::string diameters(const TagEnd& end) {
    std::vector<std::string> parts;
    for (const auto& d : end.diameters)
        parts.push_back(fmt::format("flat\u00A0{}:\u00A0{}", d.flat, millimetres(d.value, end.places)));
    return fmt::format("{}\u00A0mm {}", joined(parts, ", "), band(end.diameter_band, end.places));
}

std::string spread(const TagEnd& end) {
    return fmt::format("{}\u00A0mm (at most {})", millimetres(end.spread, end.places),
                       millimetres(end.spread_limit, end.places));
}

std::string gauges(const TagEnd& end) {
    return joined(end.gauges, ", ");
}

std::string rule(const DecisionRule& rule) {
    if (rule.kind == RuleKind::simple)
        return "simple acceptance: on or inside the limits, gauge uncertainty not deducted";
    const auto k = rule.guard_factor_thousandths;
    auto factor = fmt::format("{}.{:03}", k / 1000, k % 1000);
    while (factor.ends_with('0'))
        factor.pop_back();
    if (factor.ends_with('.')) factor.pop_back();
    if (k == 1650)
        return fmt::format("ISO 14253-1: inside each limit by {} standard uncertainties of the gauge", factor);
    return fmt::format("guarded (JCGM 106): inside each limit by {} standard uncertainties of the gauge", factor);
}

std::vector<std::pair<std::string, std::string>> given(const TagData& tag) {
    std::vector<std::pair<std::string, std::string>> out{
        {"shop", tag.shop},
        {"order", tag.order},
        {"customer", tag.customer},
        {"customer_part", tag.customer_part},
        {"hose_maker", tag.hose_maker},
        {"hose_type", tag.hose_type},
        {"hose_standard", tag.hose_standard},
        {"hose_lot", tag.hose_lot},
        {"working_pressure", tag.working_pressure.as_given},
        {"assembly_date", tag.assembly_date},
        {"date_code", tag.date_code},
        {"operator", tag.operator_name},
        {"station", tag.station},
        {"concession_reference", tag.concession_reference.value_or("")},
    };
    for (int i = 0; i < 2; ++i) {
        const TagEnd& e = tag.ends[i];
        const std::string end = i == 0 ? "end_a." : "end_b.";
        out.emplace_back(end + "fitting_maker", e.fitting_maker);
        out.emplace_back(end + "fitting_series", e.fitting_series);
        out.emplace_back(end + "end_form", e.end_form);
        out.emplace_back(end + "end_size", e.end_size);
        out.emplace_back(end + "fitting_lot", e.fitting_lot);
        for (const auto& g : e.gauges)
            out.emplace_back(end + "gauge", g);
    }
    return out;
}

}  // namespace crimpgate::tag_text

#include "specs/return_facts.h"

#include <algorithm>
#include <charconv>

#include "specs/return_questions.h"

namespace crimpgate {

namespace {

using enum FactKind;

// Bounds against slips of a finger and of a unit, not rules of the trade: 10 000 bar, 20 m, 1 bar of vacuum.
constexpr std::int64_t most_kpa = 1'000'000, most_nm = 20'000'000'000, most_vacuum_kpa = 101;

constexpr ReturnFactAsked facts[] = {
    {"use.pressure", "returned.fact.use_pressure", pressure, 0, most_kpa},
    {"use.temperature_max", "returned.fact.use_temperature_max", temperature, -273, 1000},
    {"use.temperature_min", "returned.fact.use_temperature_min", temperature, -273, 1000},
    {"use.bend_radius", "returned.fact.use_bend_radius", length, 0, most_nm},
    {"use.straight_lead", "returned.fact.use_straight_lead", length, 0, most_nm},
    {"use.slack", "returned.fact.use_slack", length, 0, most_nm},
    {"use.twist", "returned.fact.use_twist", angle, -3600, 3600},
    {"use.vacuum", "returned.fact.use_vacuum", pressure, 0, most_vacuum_kpa},
    {"use.fluid", "returned.fact.use_fluid", fluid, 0, 0},
    {"rated.pressure", "returned.fact.rated_pressure", pressure, 1, most_kpa, true},
    {"rated.temperature_max", "returned.fact.rated_temperature_max", temperature, -273, 1000, true},
    {"rated.temperature_min", "returned.fact.rated_temperature_min", temperature, -273, 1000, true},
    {"rated.bend_radius", "returned.fact.rated_bend_radius", length, 1, most_nm, true},
    {"rated.hose_od", "returned.fact.rated_hose_od", length, 1, most_nm, true},
};

constexpr std::string_view fluids[] = {"mineral_oil", "hfa", "hfb", "hfc", "hfd", "ester", "water", "fuel", "other"};

std::optional<std::int64_t> whole(std::string_view text) {
    std::int64_t out = 0;
    const auto end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, out);
    if (read.ec != std::errc() || read.ptr != end) return std::nullopt;
    return out;
}

std::optional<std::int64_t> stated(const StatedFacts& from, std::string_view code) {
    const auto found = from.find(code);
    if (found == from.end() || !check_fact(code, found->second)) return std::nullopt;
    return whole(found->second);
}

std::optional<Pressure> pressure_in(const StatedFacts& from, std::string_view code) {
    const auto kpa = stated(from, code);
    return kpa ? std::optional(Pressure::from_kpa(*kpa)) : std::nullopt;
}

std::optional<Length> length_in(const StatedFacts& from, std::string_view code) {
    const auto nm = stated(from, code);
    return nm ? std::optional(Length::from_nm(*nm)) : std::nullopt;
}

template <class T>
void lay(std::optional<T>& over, const std::optional<T>& said) {
    if (said) over = said;
}

std::optional<std::int64_t> larger(const std::optional<std::int64_t>& a, const std::optional<std::int64_t>& b) {
    return a && b ? std::max(*a, *b) : a ? a : b;
}

std::optional<std::int64_t> smaller(const std::optional<std::int64_t>& a, const std::optional<std::int64_t>& b) {
    return a && b ? std::min(*a, *b) : a ? a : b;
}

// Attacked, or outside what the hose's standard is for: no. Both are asked; one that holds is a yes.
std::optional<bool> fluid_suits(const Application& used, const AssemblyFacts& made) {
    std::optional<bool> out;
    for (const auto& f : check_application(used, made)) {
        if (f.what.code == "application.tube_attacked" || f.what.code == "application.fluid_excluded") return false;
        if (f.what.code == "application.tube_holds" || f.what.code == "application.fluid_holds") out = true;
    }
    return out;
}

}  // namespace

std::span<const ReturnFactAsked> return_facts() {
    return facts;
}

const ReturnFactAsked* find_fact(std::string_view code) {
    const auto found = std::ranges::find(facts, code, &ReturnFactAsked::code);
    return found == std::end(facts) ? nullptr : &*found;
}

std::span<const std::string_view> fluid_codes() {
    return fluids;
}

Result<void> check_fact(std::string_view code, std::string_view answer) {
    const auto* fact = find_fact(code);
    if (fact == nullptr) return refuse(message("returned.no_such_question").with("question", code));
    if (answer == not_known) return {};
    if (fact->kind == fluid) {
        if (std::ranges::find(fluids, answer) == std::end(fluids))
            return refuse(message("returned.no_such_answer").with("question", code).with("answer", answer));
        return {};
    }
    const auto value = whole(answer);
    if (!value) return refuse(message("returned.fact_not_whole").with("question", code).with("found", answer));
    if (*value < fact->least || *value > fact->most)
        return refuse(message("returned.fact_out_of_range")
                          .with("question", code)
                          .with("least", std::to_string(fact->least))
                          .with("most", std::to_string(fact->most)));
    return {};
}

Application stated_over(Application out, const StatedFacts& from) {
    lay(out.highest_pressure, pressure_in(from, "use.pressure"));
    lay(out.vacuum, pressure_in(from, "use.vacuum"));
    // One figure for what was hottest and one for what was coldest, wherever that was.
    if (const auto hottest = stated(from, "use.temperature_max")) {
        out.fluid_max_c = hottest;
        out.ambient_max_c.reset();
    }
    if (const auto coldest = stated(from, "use.temperature_min")) {
        out.fluid_min_c = coldest;
        out.ambient_min_c.reset();
    }
    lay(out.bend_radius, length_in(from, "use.bend_radius"));
    if (const auto lead = length_in(from, "use.straight_lead")) {
        out.straight_a = lead;
        out.straight_b.reset();
    }
    lay(out.slack, length_in(from, "use.slack"));
    if (const auto said = from.find("use.fluid"); said != from.end())
        if (const auto at = std::ranges::find(fluids, said->second); at != std::end(fluids))
            out.fluid = static_cast<Fluid>(at - std::begin(fluids));
    return out;
}

ApplicationEvidence application_evidence(const Application& used, const AssemblyFacts* made, const StatedFacts& from) {
    ApplicationEvidence out;
    out.pressure_with_spikes = used.highest_pressure;
    out.temperature_max_c = larger(used.fluid_max_c, used.ambient_max_c);
    out.temperature_min_c = smaller(used.fluid_min_c, used.ambient_min_c);
    if (!used.bend_angle_deg || *used.bend_angle_deg != 0) out.bend_radius = used.bend_radius;
    out.straight_lead = used.straight_a;
    if (used.straight_b && (!out.straight_lead || *used.straight_b < *out.straight_lead))
        out.straight_lead = used.straight_b;
    out.slack = used.slack;
    out.twist_degrees = stated(from, "use.twist");
    out.vacuum = used.vacuum;
    out.vacuum_rating = used.hose_vacuum;
    if (made != nullptr) {
        const auto& hose = made->row_a.hose;
        out.rating = made->rating.rating.pressure;
        out.rated_max_c = hose.temperature_max_c;
        out.rated_min_c = hose.temperature_min_c;
        out.bend_radius_min = hose.bend_radius;
        if (const auto od = hose_diameter(made->row_a)) out.hose_od = od->od;
        out.bore = Length::from_nm(hose.dash * 25'400'000 / 16);
        if (made->free() > Length{}) out.free_length = made->free();
        out.fluid_suits_tube = fluid_suits(used, *made);
    } else {
        out.rating = pressure_in(from, "rated.pressure");
        out.rated_max_c = stated(from, "rated.temperature_max");
        out.rated_min_c = stated(from, "rated.temperature_min");
        out.bend_radius_min = length_in(from, "rated.bend_radius");
        out.hose_od = length_in(from, "rated.hose_od");
    }
    return out;
}

}  // namespace crimpgate

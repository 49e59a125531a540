// Fluid and temperatures of the application check (application.h).
//
// The scopes of EN 853, 856 and 857 (2015): oil as the type says (-40 to +100 C, R12 and R13 +120), water-based fluids
// -40 to +70 C, water 0 to +70 C; not for castor-oil or ester based fluids; HFD R, S and T excluded. What the spec row
// says of the temperature is the maker's own and comes first; the scope narrows it for water.
#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

#include "specs/application_topics.h"
#include "specs/hose_tables.h"

namespace crimpgate::application {

namespace {

constexpr std::string_view scopes = "EN 853:2015, EN 856:2015, EN 857:2015 (scope)";

constexpr std::string_view name_of(Fluid fluid) {
    constexpr std::string_view names[] = {"mineral_oil", "hfa", "hfb", "hfc", "hfd", "ester", "water", "fuel", "other"};
    return names[static_cast<std::size_t>(fluid)];
}

constexpr std::string_view name_of(TubeCompound tube) {
    constexpr std::string_view names[] = {"nbr", "cr", "epdm", "fkm", "ptfe", "thermoplastic", "other"};
    return names[static_cast<std::size_t>(tube)];
}

bool water_based(Fluid fluid) {
    return fluid == Fluid::hfa || fluid == Fluid::hfb || fluid == Fluid::hfc;
}

struct Range {
    std::int64_t low = 0;
    std::int64_t high = 0;
    bool narrowed = false;  // by the scope for water
};

// Two rows that say different things of one hose give the narrower.
Range of_rows(const AssemblyFacts& assembly) {
    const auto& a = assembly.row_a.hose;
    const auto& b = assembly.row_b.hose;
    return {std::max(a.temperature_min_c, b.temperature_min_c), std::min(a.temperature_max_c, b.temperature_max_c)};
}

Range of_fluid(const Application& wanted, const AssemblyFacts& assembly) {
    auto range = of_rows(assembly);
    if (!wanted.fluid || (!water_based(*wanted.fluid) && *wanted.fluid != Fluid::water)) return range;
    if (published_standard(assembly.row_a.hose.standard).empty()) return range;
    const Range water{std::max<std::int64_t>(range.low, *wanted.fluid == Fluid::water ? 0 : -40),
                      std::min<std::int64_t>(range.high, 70)};
    range.narrowed = water.low != range.low || water.high != range.high;
    range.low = water.low;
    range.high = water.high;
    return range;
}

std::string row_source(const AssemblyFacts& assembly) {
    const auto& row = assembly.row_a;
    return row.spec_id + ", " + row.revision;
}

// Chemistry of the common rubbers that every compatibility table repeats; a maker's table decides.
void tube(Findings& out, const Application& wanted) {
    if (!wanted.tube) return out.not_checked(message("application.tube_not_stated"));
    const bool oil = *wanted.fluid == Fluid::mineral_oil || *wanted.fluid == Fluid::fuel;
    const bool oil_rubber = *wanted.tube == TubeCompound::nbr || *wanted.tube == TubeCompound::cr;
    const auto about = [&](Message what) {
        return std::move(what.with("fluid", name_of(*wanted.fluid)).with("tube", name_of(*wanted.tube)));
    };
    if ((oil && *wanted.tube == TubeCompound::epdm) || (oil_rubber && *wanted.fluid == Fluid::hfd))
        out.stop(about(message("application.tube_attacked")), "common practice", SourceMark::common_practice);
    else if (*wanted.fluid == Fluid::mineral_oil && oil_rubber)
        out.holds(about(message("application.tube_holds")), "common practice", SourceMark::common_practice);
    else
        out.not_checked(about(message("application.tube_no_rule")));
}

}  // namespace

void fluid(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    if (!wanted.fluid) return out.not_checked(message("application.fluid_not_stated"));
    const auto standard = published_standard(assembly.row_a.hose.standard);
    const auto about = [&](Message what) {
        return std::move(what.with("fluid", name_of(*wanted.fluid)).with("standard", standard));
    };
    if (standard.empty())
        out.warn(message("application.fluid_no_scope").with("fluid", name_of(*wanted.fluid)), "common practice",
                 SourceMark::common_practice);
    else if (*wanted.fluid == Fluid::ester || *wanted.fluid == Fluid::hfd)
        out.stop(about(message("application.fluid_excluded")), scopes, SourceMark::several_pages);
    else if (*wanted.fluid == Fluid::fuel || *wanted.fluid == Fluid::other)
        out.warn(about(message("application.fluid_not_in_scope")), scopes, SourceMark::several_pages);
    else
        out.holds(about(message("application.fluid_holds")), scopes, SourceMark::several_pages);
    tube(out, wanted);
}

void temperatures(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    const auto range = of_fluid(wanted, assembly);
    const auto rubber = of_rows(assembly);
    const auto said = [](Message what, std::int64_t found, const Range& within) {
        return std::move(what.with("found", std::to_string(found))
                             .with("low", std::to_string(within.low))
                             .with("high", std::to_string(within.high)));
    };
    const auto about = [&](Message what, std::int64_t found) { return said(std::move(what), found, range); };
    // The row's figures are for the fluid; that the air counts as well is how the trade reads them.
    const auto air = [&](Message what, std::int64_t found) { return said(std::move(what), found, rubber); };
    // The scope where it is the narrower, else the row.
    const std::string source = range.narrowed ? std::string(scopes) : row_source(assembly);
    const auto mark = range.narrowed ? SourceMark::several_pages : SourceMark::spec_row;

    if (!wanted.fluid_max_c)
        out.not_checked(message("application.fluid_heat_not_stated"));
    else if (*wanted.fluid_max_c > range.high)
        out.stop(about(message("application.fluid_too_hot"), *wanted.fluid_max_c), source, mark);
    else
        out.holds(about(message("application.fluid_heat_holds"), *wanted.fluid_max_c), source, mark);

    if (!wanted.fluid_min_c)
        out.not_checked(message("application.fluid_cold_not_stated"));
    else if (*wanted.fluid_min_c < range.low)
        out.stop(about(message("application.fluid_too_cold"), *wanted.fluid_min_c), source, mark);
    else
        out.holds(about(message("application.fluid_cold_holds"), *wanted.fluid_min_c), source, mark);

    if (!wanted.ambient_max_c)
        out.not_checked(message("application.ambient_heat_not_stated"));
    else if (*wanted.ambient_max_c > rubber.high)
        out.stop(air(message("application.ambient_too_hot"), *wanted.ambient_max_c), "common practice",
                 SourceMark::common_practice);
    else
        out.holds(air(message("application.ambient_heat_holds"), *wanted.ambient_max_c), "common practice",
                  SourceMark::common_practice);

    if (!wanted.ambient_min_c)
        out.not_checked(message("application.ambient_cold_not_stated"));
    else if (*wanted.ambient_min_c < rubber.low)
        out.stop(air(message("application.ambient_too_cold"), *wanted.ambient_min_c), "common practice",
                 SourceMark::common_practice);
    else
        out.holds(air(message("application.ambient_cold_holds"), *wanted.ambient_min_c), "common practice",
                  SourceMark::common_practice);
}

}  // namespace crimpgate::application

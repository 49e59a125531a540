// An assembly to hold applications against: 2SN -8, 750 mm long, and how its findings are looked up.
#pragma once

#include <algorithm>
#include <string_view>
#include <vector>

#include "specs/application.h"
#include "specs/length_tolerance.h"
#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

namespace crimpgate::test {

inline SpecRow row_2sn_08() {
    auto row = sample_row();
    row.hose.bend_radius = 180'000_um;
    row.hose.temperature_min_c = -40;
    row.hose.temperature_max_c = 100;
    row.fitting.end_form = "24 deg cone, female swivel, straight";
    return row;
}

// 750 mm over all, of which 31 mm stay outside at either end: cut 688 mm, depths of 38 mm leave 612 mm free.
inline AssemblyFacts assembly_of(const SpecRow& row) {
    AssemblyFacts facts;
    facts.row_a = row;
    facts.row_b = row;
    facts.rating = working_pressure(row, row);
    facts.overall = 750'000_um;
    facts.shortest = toleranced_length(facts.overall, LengthRule::din20066, 8)->band().lower;
    facts.cut = *cut_length(facts.overall, row.fitting.cut_off, row.fitting.cut_off);
    facts.hose_lots = {{"R118", *HoseQuarter::parse("2Q26")}};
    facts.day = *parse_date("2026-11-25");
    return facts;
}

inline AssemblyFacts assembly() {
    return assembly_of(row_2sn_08());
}

inline SpecRow with_geometry(SpecRow row) {
    row.geometry = ShellAndStem{30'000_um, 24'000_um, 12'000_um, 9'000_um, 8'500_um, 12'700_um, 23'000_um};
    return row;
}

inline const ApplicationFinding* find(const std::vector<ApplicationFinding>& all, std::string_view code) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const auto& f) { return f.what.code == code; });
    return at == all.end() ? nullptr : &*at;
}

// The one finding of that code, or a failed test.
inline ApplicationFinding the(const std::vector<ApplicationFinding>& all, std::string_view code) {
    INFO(code);
    const auto* found = find(all, code);
    REQUIRE(found != nullptr);
    return *found;
}

}  // namespace crimpgate::test

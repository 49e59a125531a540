// Returned hoses for the tests: answers in one line, a record without a fault, an application within its ratings.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "specs/failure_ranking.h"

namespace crimpgate::samples {

// "place=came_off grip=none": as a person would have answered.
inline std::vector<Answered> seen(std::string_view text) {
    std::vector<Answered> out;
    while (!text.empty()) {
        const auto blank = std::min(text.find(' '), text.size());
        const auto one = text.substr(0, blank);
        text.remove_prefix(std::min(blank + 1, text.size()));
        if (one.empty()) continue;
        const auto equals = one.find('=');
        out.push_back({std::string(one.substr(0, equals)), std::string(one.substr(equals + 1))});
    }
    return out;
}

inline const RankedMode& mode_of(const ReturnRanking& ranking, std::string_view id) {
    return *std::ranges::find_if(ranking.modes, [&](const RankedMode& m) { return m.mode->id == id; });
}

// 25.50 +- 0.20 mm (the check figures of the trade reference), read in the middle; depth 28.0 +- 1.0 mm.
inline EndEvidence good_end(std::string end) {
    EndEvidence out;
    out.end = std::move(end);
    for (const std::int64_t flat : {1, 3})
        out.crimps.push_back({flat, {25500_um, 25300_um, 25700_um}, Length::from_um(25490)});
    out.depth = BandedEvidence{28000_um, 27000_um, 29000_um};
    out.spread = 20_um;
    out.spread_limit = 150_um;
    out.mark_after = MarkSeen::at_edge;
    out.pin_passed = true;
    out.lubricated = true;
    out.gauge = {"CAL-1", true, true, true};
    out.setup_good = true;
    out.drift_warned = false;
    out.die_set = "D-26";
    out.setup = "S-7";
    out.fitting_lot = "FL-2";
    return out;
}

inline RecordEvidence good_record() {
    RecordEvidence out;
    out.known = true;
    out.serial = "K1000006T";
    out.order = "O-118";
    out.hose_lot = "NH-3Q26-1187";
    out.person = "OP-1";
    out.shift = "2026-11-25/1";
    out.ends = {good_end("a"), good_end("b")};
    out.parts_matched = true;
    out.proof_test = ProofTestEvidence{true, Pressure::from_bar(550), 60};
    out.hose_age_at_assembly_days = 200;
    out.age_at_failure_days = 400;
    return out;
}

// 2SN -8: 275 bar, radius 180 mm, outside 23.0 mm, bore 12.7 mm (EN 853 as reprinted; the bore in inches 1/2).
inline ApplicationEvidence good_application() {
    ApplicationEvidence out;
    out.pressure_with_spikes = Pressure::from_bar(250);
    out.rating = Pressure::from_bar(275);
    out.temperature_max_c = 80;
    out.rated_max_c = 100;
    out.temperature_min_c = -10;
    out.rated_min_c = -40;
    out.bend_radius = 220000_um;
    out.bend_radius_min = 180000_um;
    out.straight_lead = 60000_um;
    out.hose_od = 23000_um;
    out.bore = 12700_um;
    out.slack = 60000_um;
    out.free_length = 1000000_um;
    out.twist_degrees = 0;
    out.fluid_suits_tube = true;
    return out;
}

}  // namespace crimpgate::samples

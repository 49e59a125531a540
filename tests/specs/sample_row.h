// A spec row to judge against: the crimp of 25.5 +-0.2 mm that the trade's examples use, everything else invented.
#pragma once

#include "specs/spec_row.h"

namespace crimpgate::test {

inline SpecRow sample_row() {
    SpecRow row;
    row.spec_id = "NH-2SN-08-K12";
    row.revision = "1";
    row.hose.maker = "Nordhaven";
    row.hose.type = "Brisk 2";
    row.hose.dash = 8;
    row.hose.standard = "EN 853 2SN";
    row.hose.working_pressure = {Pressure::from_bar(275), "275 bar"};
    row.fitting.maker = "Nordhaven";
    row.fitting.dash = 8;
    row.fitting.working_pressure = {Pressure::from_bar(400), "400 bar"};
    row.fitting.cut_off = 31'000_um;
    row.die_segments = 8;
    row.crimp = {25'500_um, 200_um, 200_um};
    row.flats = {1, 3, 4};
    row.spread_limit = 150_um;
    row.depth = {38'000_um, 500_um, 1'000_um};
    row.mark_edge_limit = 1'000_um;
    row.recrimps_allowed = 1;
    return row;
}

}  // namespace crimpgate::test

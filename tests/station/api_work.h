// Work at an ApiStation's bench, by OPA through commands and the caliper, with good values where a test says no other.
#pragma once

#include <string>

#include "tests/station/api_station.h"

namespace crimpgate::test {

// Signed in, the shift started, CAL-1 proved, A-100 taken with its lots and its die set, the set-up piece good.
void ready_for_work(ApiStation& station);

// One end, its first place that wide; not `whole`: no further than its last place.
void work_end(ApiStation& station, const std::string& first_place = "25.50", bool whole = true);

// Both ends of an assembly that passes; its serial.
std::string work_assembly(ApiStation& station);

}  // namespace crimpgate::test

// The application check of an order at the bench, and the proof test that an order may ask for.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "specs/application.h"
#include "station/bench/commands.h"
#include "station/bench/rules.h"
#include "station/bench/state.h"

namespace crimpgate {

// What the order's application comes to with these rows, on this day. Its needed pressure is the highest one.
std::vector<ApplicationFinding> application_findings(const entries::OrderOpened& order, const SpecRow& row_a,
                                                     const SpecRow& row_b, const BenchRules& rules, const Now& now);

// The codes of what stops the order and was not answered for by a lead: as it was found at opening, and as it is found
// with the rows of today (a hose lot's age is asked when the lot is confirmed). An order opened before there was a
// check has none.
std::set<std::string> open_stops(const BenchState& state, const entries::OrderOpened& order, const BenchRules& rules,
                                 const Now& now);

// From 1 to 2 times the assembly's working pressure, 30 to 600 s, with a liquid: "bench.proof_test_pressure",
// "bench.proof_test_hold", "bench.proof_test_medium".
Result<void> proof_test_fits(const entries::ProofTestAsked& asked, Pressure working_pressure);

// The assembly's order asks for a proof test, and none was good since the last crimp (R1).
bool proof_test_due(const AssemblyState& assembly);

// Liquids; a gas stores so much energy that a burst kills.
bool is_test_liquid(std::string_view medium);

}  // namespace crimpgate

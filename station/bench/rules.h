// The shop's limits that the bench works by: the configuration's, until the shop sets its own (entries::LimitsSet),
// which are in the journal.
#pragma once

#include <cstdint>
#include <string>

#include "station/entries/shop_entries.h"

namespace crimpgate {

struct BenchRules {
    std::string station;                                 // name of this bench, in every entry
    std::string serial_prefix = "K1";                    // Crockford alphabet; unique in the shop
    std::int64_t proof_interval_ms = 4LL * 3600 * 1000;  // a good proof counts this long
    std::int64_t repeats_allowed = 1;                    // of an uncertain reading, before the assembly goes on hold
    bool prove_after_reconnect = true;                   // a gauge that was gone may have lost its zero
    bool own_hold_may_be_settled = false;                // R9: whoever measured may settle their own hold
    std::int64_t clock_tolerance_ms = 2000;
    std::int64_t hose_age_years = 4;                    // ISO 8331, DIN 20066: hose at assembly
    std::int64_t sign_out_after_ms = 15LL * 60 * 1000;  // whoever is signed in and neither measures nor says a thing
    bool simple_acceptance_allowed = true;              // R5: spec rows may ask for it
    bool scrap_by_operator = false;                     // by one who did not measure the part
    bool concession_needs_second = false;
    ShownUnit shown_unit = ShownUnit::mm;
};

struct BenchState;

// The configuration's with the shop's own in their place, where it set any.
BenchRules rules_in_force(const BenchRules& configured, const BenchState& state);

// The other way round, for a form: what is in force as it would be set.
entries::LimitsSet limits_of(const BenchRules& rules);

}  // namespace crimpgate

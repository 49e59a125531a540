// The shop's limits that the bench works by; set in the configuration, journalled at every start.
#pragma once

#include <cstdint>
#include <string>

namespace crimpgate {

struct BenchRules {
    std::string station;                                 // name of this bench, in every entry
    std::string serial_prefix = "K1";                    // Crockford alphabet; unique in the shop
    std::int64_t proof_interval_ms = 4LL * 3600 * 1000;  // a good proof counts this long
    std::int64_t repeats_allowed = 1;                    // of an uncertain reading, before the assembly goes on hold
    bool prove_after_reconnect = true;                   // a gauge that was gone may have lost its zero
    bool own_hold_may_be_settled = false;                // R9: whoever measured may settle their own hold
    std::int64_t clock_tolerance_ms = 2000;
    std::int64_t hose_age_years = 4;  // ISO 8331, DIN 20066: hose at assembly
};

}  // namespace crimpgate

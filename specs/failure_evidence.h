// What is known of a hose that came back, beside what is seen on it: its own record, its application, and what was
// measured on the returned part. Plain values, gathered by others; everything may be missing, and what is missing
// counts for nothing and against nothing.
//
// Lengths in nanometres (of the size of hoses, under a thousand kilometres: sums of them do not overflow), pressures in
// kPa, temperatures in whole degrees Celsius, ages in days.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "specs/dates.h"
#include "specs/judgement.h"
#include "specs/pressure.h"

namespace crimpgate {

// A value with the band that it was judged by. A band without width counts as absent.
struct BandedEvidence {
    Length value, lower, upper;
};

// A crimp reading that counts (not voided), one for each flat.
struct CrimpEvidence {
    std::int64_t flat = 0;
    BandedEvidence reading;
    std::optional<Length> siblings_mean;  // of the same flat over the others of its set-up
};

struct GaugeEvidence {
    std::string id;
    std::optional<bool> in_date;        // calibrated and in date on that day
    std::optional<bool> proved_before;  // last proof before the readings
    std::optional<bool> proved_after;   // first proof after them; nothing: none yet
    bool withdrawn = false;             // taken out of use after them without another proof
};

struct EndEvidence {
    std::string end;  // "a", "b"
    std::vector<CrimpEvidence> crimps;
    std::optional<BandedEvidence> depth;
    std::optional<Length> spread, spread_limit;
    std::optional<MarkSeen> mark_after;  // seen, or what a measured mark comes to
    std::optional<bool> pin_passed;
    std::optional<bool> lubricated;  // nothing where the row asks for none
    std::int64_t uncertain_readings = 0;
    std::int64_t recrimps = 0;
    std::vector<Characteristic> concessions;
    GaugeEvidence gauge;             // of the crimp readings and of the depth
    std::optional<bool> setup_good;  // the set-up piece in force sat well
    std::optional<bool> drift_warned;
    std::string die_set, setup, fitting_lot;
};

struct ProofTestEvidence {
    bool held = false;
    Pressure pressure;
    std::int64_t hold_s = 0;
};

// Others that came back already and share something with this one.
struct OtherReturns {
    std::int64_t of_hose_lot = 0;
    std::int64_t of_fitting_lots = 0;
    std::int64_t of_setups = 0;
};

struct RecordEvidence {
    bool known = false;  // false: an unknown hose; then nothing else here is looked at
    std::string serial, order, hose_lot, person, shift;
    std::vector<EndEvidence> ends;
    std::optional<bool> parts_matched;  // hose, fittings and die set were held against the spec row
    std::optional<ProofTestEvidence> proof_test;
    std::optional<std::int64_t> hose_age_at_assembly_days;  // from the first day of the quarter on its print
    std::optional<std::int64_t> age_at_failure_days;        // from assembly
    std::int64_t hose_age_limit_years = usual_hose_age_limit_years;
    OtherReturns other_returns;
};

struct ApplicationEvidence {
    std::optional<Pressure> pressure_with_spikes, rating;
    std::optional<std::int64_t> temperature_max_c, temperature_min_c, rated_max_c, rated_min_c;
    std::optional<Length> bend_radius, bend_radius_min;  // inside of the bend
    std::optional<Length> straight_lead, hose_od, bore;  // before the first bend
    std::optional<Length> slack, free_length;            // longer than the shortest that would reach
    std::optional<std::int64_t> twist_degrees;           // over the assembly, either way
    std::optional<Pressure> vacuum, vacuum_rating;       // below the atmosphere, positive
    std::optional<bool> fluid_suits_tube;
};

struct ReturnedEnd {
    std::string end;
    std::vector<CrimpEvidence> crimps;  // measured now, against the band of its row; no siblings
    std::optional<Length> mark_from_edge, mark_edge_limit;
};

struct ReturnEvidence {
    RecordEvidence record;
    ApplicationEvidence application;
    std::vector<ReturnedEnd> measured;
};

}  // namespace crimpgate

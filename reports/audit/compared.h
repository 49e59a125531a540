// What the search for differences compares: ends as points, gathered into the set-ups and mountings that they were made
// on, with the level of every factor that may have made a difference.
//
// Ends of one mounting share whatever putting the die set in did, so a mounting is one observation, not forty. Set-up
// pieces that follow each other without the die set being taken out (another hose lot, a drift warning) share it too:
// counted as observations of their own they would be too many by far, each as far off as the other, and a level that
// holds two of them would look sure by having been off once (pseudo-replication, Hurlbert 1984; from memory). With ends
// in set-ups in mountings as nested random effects, what is compared between mountings has the mean square of mountings
// as its error (nested analysis of variance; NIST/SEMATECH e-Handbook 3.2.3.3). Within them, a set-up is the smaller
// group: its setting may have been corrected. A mounting that is not known is its set-up. Values are nanometres from
// the middle of the band. Only first attempts: a re-crimped end is smaller by intention.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "reports/audit/work.h"

namespace crimpgate::audit {

// In the order in which the first is named where several cannot be told apart.
enum class Factor : std::uint8_t {
    hose_lot,
    fitting_lot,
    gauge_week,
    die_set,
    gauge,
    person,
    end,
    spec,
    day,
    week,
    setup,
};
inline constexpr std::size_t factor_count = 11;
std::string_view value_code(Factor factor);

struct ComparedEnd {
    std::size_t unit = 0, setup = 0;
    double value = 0;
    double spread = 0;         // as sd of a place, range / d2: comparable where specs differ in their places
    bool level_known = false;  // a mean of all places, and no wild one; else only the verdict counts
    bool conforms = false;
    std::int64_t seq = 0, ms = 0;
    std::array<int, factor_count> level{};  // -1: none
};

// One mounting: one observation of whatever differs between them.
struct ComparedUnit {
    std::vector<std::size_t> ends;  // in the order of time
    double days = 0;                // since the first end of all
};

// What was made on one set-up piece.
struct ComparedSetup {
    std::vector<std::size_t> ends;  // in the order of time
    std::int64_t seq = 0;           // of the set-up piece; 0: it is not among the facts
};

struct Compared {
    std::vector<ComparedEnd> ends;
    std::vector<ComparedUnit> units;
    std::vector<ComparedSetup> setups;
    std::array<std::vector<std::string>, factor_count> levels;
    double resolution = 0;  // the coarsest gauge's, nm
};
Compared compared_of(const Work& work);

// "2026-W48" for the local day "2026-11-25" (ISO 8601); empty for what is no date.
std::string iso_week(std::string_view day);

}  // namespace crimpgate::audit

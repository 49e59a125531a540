// What the search for differences compares: ends as points, gathered into the set-ups that they were made on, with the
// level of every factor that may have made a difference.
//
// Ends of one set-up share whatever the set-up did, so a set-up is one observation, not forty. Values are nanometres
// from the middle of the band. Only first attempts: a re-crimped end is smaller by intention.
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
    std::size_t unit = 0;
    double value = 0;
    double spread = 0;         // as sd of a place, range / d2: comparable where specs differ in their places
    bool level_known = false;  // a mean of all places, and no wild one; else only the verdict counts
    bool conforms = false;
    std::int64_t seq = 0, ms = 0;
    std::array<int, factor_count> level{};  // -1: none
};

struct ComparedUnit {
    std::vector<std::size_t> ends;  // in the order of time
    std::int64_t setup_seq = 0;     // 0: the set-up piece is not among the facts
    double days = 0;                // since the first end of all
};

struct Compared {
    std::vector<ComparedEnd> ends;
    std::vector<ComparedUnit> units;
    std::array<std::vector<std::string>, factor_count> levels;
    double resolution = 0;  // the coarsest gauge's, nm
};
Compared compared_of(const Work& work);

// "2026-W48" for the local day "2026-11-25" (ISO 8601); empty for what is no date.
std::string iso_week(std::string_view day);

}  // namespace crimpgate::audit

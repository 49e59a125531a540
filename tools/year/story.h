// What is planted in a generated year, and when: days counted as work days from the first, and the dates they fall on.
//
// Four faults, each of the kind that an audit must find: a die set that wears, a crimper's setting bumped during one
// afternoon, a caliper that reads low for a week, a bad hose lot. Besides them nothing differs: no person, end, lot,
// die set, gauge or day has an effect of its own, so whatever else an audit names is a false alarm. Lengths in
// micrometres.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <boost/json/object.hpp>

#include "specs/dates.h"

namespace crimpgate::year {

struct YearChoice {
    std::int64_t assemblies = 40'000;
    std::int64_t per_day = 160;
    std::uint64_t seed = 1;
    bool faults = true;
    Date until = Date{std::chrono::year{2026}, std::chrono::month{11}, std::chrono::day{24}};
};

// Monday to Friday, as many as it takes, up to and including `until`.
std::vector<Date> work_days(const YearChoice& choice);

struct Story {
    bool planted = false;
    // Spec and die set number 0 wear, number 1 gets the bad lot.
    std::size_t wear_from = 0;
    std::size_t bump_day = 0;
    std::size_t caliper_from = 0, caliper_to = 0;
    std::size_t lot_wanted = 0;  // the lot begun on this day

    // Filled in while the year is made.
    std::string die_set, caliper, bad_lot, bump_shift;
    std::int64_t bump_from_ms = 0, bump_to_ms = 0;
    std::int64_t lot_from_ms = 0, lot_to_ms = 0;

    static constexpr std::int64_t wear_um = 45;
    static constexpr std::int64_t bump_um = 60;
    static constexpr std::int64_t caliper_um = -15;
    static constexpr std::int64_t lot_um = 30;
};

Story story_of(const YearChoice& choice, const std::vector<Date>& days);

// What was planted, for whoever compares an audit with it.
boost::json::object to_json(const Story& story, const std::vector<Date>& days);

}  // namespace crimpgate::year

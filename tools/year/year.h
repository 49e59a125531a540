// A year of one bench as a journal: two shifts a day, five days a week, made by the bench's own rules.
//
// The simulated operator does what the bench asks for and nothing cleverer: a set-up piece whenever one is asked for
// (the drift watch asks too), and the setting is turned only when that piece does not sit in the middle half of the
// band. Leads settle what is on hold, sign off shifts, open orders. Everything that a shop's year has in it happens
// now and then: a reading voided, one refused, a caliper unplugged, a tag printed again, a concession.
// The same choice gives the same entries, byte for byte.
#pragma once

#include <functional>

#include "station/journal/journal.h"
#include "tools/year/story.h"

namespace crimpgate::year {

struct YearMade {
    std::int64_t entries = 0, assemblies = 0, setups = 0, warnings = 0, holds = 0, shifts = 0;
    std::vector<Date> days;
    Story story;
};

// Into an empty journal of the station "bench-1". `each_day`: told how many days are done.
Result<YearMade> make_year(Journal& journal, const YearChoice& choice,
                           const std::function<void(std::size_t)>& each_day = {});

}  // namespace crimpgate::year

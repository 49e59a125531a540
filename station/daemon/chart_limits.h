// Control limits reckoned from the journal's own ends, to be frozen by a lead.
//
// The points are those that the audit's charts draw (reports/audit/work.h): the last judgement of each attempt with
// every place measured. Means are a chart of individuals whose moving ranges are not formed across a set-up piece;
// spreads are ranges of as many values as an end has places. Limits are rounded to whole nanometres and exact from
// then on. Sources: reports/statistics/control_chart.h.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "station/entries/entries.h"
#include "station/journal/journal.h"

namespace crimpgate {

struct LimitsAsked {
    std::string stream;
    ChartOf chart = ChartOf::means;
    std::int64_t from_seq = 0;  // of end.judged entries, both inclusive
    std::int64_t to_seq = 0;
    std::vector<std::int64_t> left_out;  // end.judged entries with a known cause
    std::string reason;
};

// Refused: "chart.range_reversed" (from, to), "chart.no_points" (stream), "chart.not_a_point" (seq), "chart.one_place"
// (stream), and what limits_from refuses.
Result<entries::LimitsFrozen> reckon_limits(const Journal& journal, const LimitsAsked& asked);

}  // namespace crimpgate

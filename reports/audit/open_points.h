// What the lead must look at first, from everything that the other sheets were made from. FORMAT.md has the ranks.
#pragma once

#include <vector>

#include "reports/audit/alike.h"
#include "reports/audit/differences.h"
#include "reports/audit/gauge_records.h"
#include "reports/audit/late.h"
#include "reports/audit/stream_charts.h"

namespace crimpgate::audit {

struct OpenPointsFrom {
    const std::vector<GaugeRecord>& gauges;
    const std::vector<LateEntry>& late;
    const std::vector<StreamCharts>& streams;
    const std::vector<Difference>& differences;
    const std::vector<AlikeRow>& alike;
};
Sheet open_points_sheet(const Work& work, const OpenPointsFrom& from);

// What a difference usually means at a crimper (common practice).
Message meaning_of(const Difference& difference);
Sheet stands_out_sheet(const Work& work, const Differences& differences);

}  // namespace crimpgate::audit

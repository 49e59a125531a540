// The sheets of an audit, a function each. FORMAT.md says what every column means.
#pragma once

#include <vector>

#include "reports/audit/alike.h"
#include "reports/audit/gauge_records.h"
#include "reports/audit/late.h"
#include "reports/audit/work.h"

namespace crimpgate::audit {

Sheet made_sheet(const Work& work);
Sheet reasons_sheet(const Work& work);
Chart reasons_chart(const Sheet& reasons);
// by_end, by_place, by_person, by_die_set, by_hose_lot, by_fitting_lot, by_spec, by_gauge.
std::vector<Sheet> breakdown_sheets(const Work& work);
Sheet times_sheet(const Work& work);
Sheet overrides_sheet(const Work& work);
Sheet refusals_sheet(const Work& work);
Sheet refusals_all_sheet(const Work& work);
Sheet devices_sheet(const Work& work);
Sheet gauges_sheet(const Work& work, const std::vector<GaugeRecord>& records);
Sheet too_alike_sheet(const Work& work, const std::vector<AlikeRow>& rows);
Sheet setups_sheet(const Work& work);
Sheet shifts_sheet(const Work& work, const std::vector<LateEntry>& late);
Sheet late_sheet(const Work& work, const std::vector<LateEntry>& late);
Sheet journal_sheet(const Work& work, std::int64_t verified_ms);

}  // namespace crimpgate::audit

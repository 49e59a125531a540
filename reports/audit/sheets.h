// The sheets of an audit, a function each. FORMAT.md says what every column means.
#pragma once

#include <vector>

#include "reports/audit/work.h"

namespace crimpgate::audit {

Sheet made_sheet(const Work& work);
Sheet reasons_sheet(const Work& work);
Chart reasons_chart(const Sheet& reasons);
// by_end, by_place, by_person, by_die_set, by_hose_lot, by_fitting_lot, by_spec, by_gauge.
std::vector<Sheet> breakdown_sheets(const Work& work);
Sheet journal_sheet(const Work& work);

}  // namespace crimpgate::audit

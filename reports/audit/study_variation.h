// The repeatability study's own sheets: average and range, analysis of variance with the interaction kept and pooled,
// which of them is the answer and why. Internal to reports/audit; see study_sheets.h.
#pragma once

#include <vector>

#include "reports/audit/study_sheets.h"
#include "reports/statistics/gauge_repeatability.h"

namespace crimpgate::audit {

// Every turn in its cell, in nanometres; refused when the study is not whole.
Result<statistics::GaugeStudy> arranged(const StudyFacts& facts);

Result<std::vector<Sheet>> variation_sheets(const StudyFacts& facts);

}  // namespace crimpgate::audit

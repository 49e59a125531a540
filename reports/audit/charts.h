// What is reckoned from the control charts. FORMAT.md says what every column means.
#pragma once

#include <vector>

#include "reports/audit/stream_charts.h"

namespace crimpgate::audit {

std::vector<Chart> control_charts(const Work& work, const std::vector<StreamCharts>& streams);
Sheet signals_sheet(const Work& work, const std::vector<StreamCharts>& streams);
Sheet capability_sheet(const Work& work, const std::vector<StreamCharts>& streams);
Sheet normality_sheet(const Work& work, const std::vector<StreamCharts>& streams);
std::vector<Chart> probability_charts(const Work& work, const std::vector<StreamCharts>& streams);

}  // namespace crimpgate::audit

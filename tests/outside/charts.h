// Limits and indices, said alike for a sample and for subgroups. Units: those of the data file.
#pragma once

#include <vector>

#include "reports/statistics/capability.h"
#include "reports/statistics/control_chart.h"
#include "tests/outside/case.h"

namespace crimpgate::outside {

void say_chart(const Result<statistics::ChartLimits>& limits, const Figures& figures);

// On the sigma within ("within.spread" and so on) and on the sigma overall, with the band of the case: its keys lower,
// upper, target, each of which may be missing.
void say_capability(const Case& given, const std::vector<std::vector<double>>& subgroups, statistics::SpreadFrom from,
                    const Figures& figures);
// That of the sigma within only.
void say_within(const Case& given, const std::vector<std::vector<double>>& subgroups, statistics::SpreadFrom from,
                const Figures& figures);

}  // namespace crimpgate::outside

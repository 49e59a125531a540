// The control charts of every stream, reckoned once: for the charts, the signals and the capability.
//
// Two charts a stream. Ends differ more than the places of one end do, so limits from within ends would call nearly
// every end a signal: the level is a chart of end means as individuals with moving ranges, and the spread of the N
// two-point diameters of an end has a chart of its own, as ranges. Both begin anew at every set-up piece. Limits are
// those that a lead froze, else reckoned from the audit's own points. Nanometres. Sources: control_chart.h,
// run_rules.h.
#pragma once

#include <optional>
#include <vector>

#include "reports/audit/work.h"
#include "reports/statistics/control_chart.h"
#include "reports/statistics/run_rules.h"

namespace crimpgate::audit {

struct OneChart {
    std::vector<double> values;
    std::optional<statistics::Limits> limits;
    std::optional<Message> refused;  // why there are no limits
    const FrozenFact* frozen = nullptr;
    std::vector<statistics::Signal> signals;
};

struct StreamCharts {
    const StreamFact* stream = nullptr;
    std::vector<const EndView*> points;  // by seq
    std::vector<std::size_t> restarts;
    OneChart means, spreads;  // spreads are empty where an end has one place
    bool stable() const { return means.limits && means.signals.empty() && spreads.signals.empty(); }
};

// Streams with at least one point, in the order of the facts.
std::vector<StreamCharts> stream_charts(const Work& work);

// A pattern that goes on signals at every further point: told once, from its first point to its last.
struct SignalRun {
    statistics::RunRule rule = statistics::RunRule::beyond_three_sigma;
    statistics::Side side = statistics::Side::neither;
    std::size_t first = 0, last = 0;  // points
};
std::vector<SignalRun> runs_of(const std::vector<statistics::Signal>& signals);

}  // namespace crimpgate::audit

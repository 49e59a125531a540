#include "reports/audit/stream_charts.h"

#include <algorithm>
#include <map>
#include <unordered_map>

namespace crimpgate::audit {

namespace {

using statistics::ChartKind;
using statistics::ChartPoint;
using statistics::Limits;

double nm(Length length) {
    return static_cast<double>(length.nm());
}

// The newest that was frozen.
const FrozenFact* frozen_of(const AuditFacts& facts, const std::string& stream, bool spreads) {
    const FrozenFact* found = nullptr;
    for (const FrozenFact& frozen : facts.frozen)
        if (frozen.stream == stream && frozen.spreads == spreads && (found == nullptr || frozen.seq > found->seq))
            found = &frozen;
    return found;
}

// Limits without width hold nothing against anything: a frozen sigma of nought is refused like one's own.
void limit(OneChart& chart, const std::vector<ChartPoint>& points, ChartKind kind) {
    if (chart.frozen != nullptr && chart.frozen->sigma > Length{}) {
        const FrozenFact& f = *chart.frozen;
        chart.limits = Limits{nm(f.centre), nm(f.lower), nm(f.upper), nm(f.sigma)};
        return;
    }
    chart.frozen = nullptr;
    const auto limits = statistics::limits_from(kind, points);
    if (!limits)
        chart.refused = limits.error();
    else
        chart.limits = kind == ChartKind::individuals ? limits->location : limits->spread;
}

}  // namespace

std::vector<StreamCharts> stream_charts(const Work& work) {
    std::unordered_map<const StreamFact*, std::size_t> known;
    std::vector<StreamCharts> out;
    for (const StreamFact& stream : work.facts->streams) {
        known[&stream] = out.size();
        out.emplace_back().stream = &stream;
    }
    for (const EndView& view : work.ends)
        if (view.point) out[known.at(view.stream)].points.push_back(&view);
    std::erase_if(out, [](const StreamCharts& charts) { return charts.points.empty(); });

    for (StreamCharts& charts : out) {
        const bool several = charts.stream->places >= 2;
        for (std::size_t i = 0; i < charts.points.size(); ++i) {
            const EndView& view = *charts.points[i];
            charts.means.values.push_back(nm(*view.end->mean));
            if (several) charts.spreads.values.push_back(nm(*view.end->spread));
            if (i > 0 && view.setup != charts.points[i - 1]->setup) charts.restarts.push_back(i);
        }
        charts.means.frozen = frozen_of(*work.facts, charts.stream->stream, false);
        limit(charts.means, statistics::individual_points(charts.means.values, charts.restarts),
              ChartKind::individuals);
        if (charts.means.limits)
            charts.means.signals =
                statistics::signals(charts.means.values, *charts.means.limits, work.rules, charts.restarts);
        if (!several) continue;
        charts.spreads.frozen = frozen_of(*work.facts, charts.stream->stream, true);
        std::vector<ChartPoint> ranges;
        for (std::size_t i = 0; i < charts.points.size(); ++i)
            ranges.push_back(
                {static_cast<int>(charts.stream->places), charts.means.values[i], charts.spreads.values[i]});
        limit(charts.spreads, ranges, ChartKind::mean_and_range);
        if (charts.spreads.limits)
            charts.spreads.signals = statistics::signals(charts.spreads.values, *charts.spreads.limits,
                                                         statistics::rules_for_spread(work.rules), charts.restarts);
    }
    return out;
}

std::vector<SignalRun> runs_of(const std::vector<statistics::Signal>& signals) {
    std::vector<SignalRun> runs;
    std::map<std::pair<statistics::RunRule, statistics::Side>, std::size_t> open;
    for (const statistics::Signal& signal : signals) {
        const auto key = std::pair(signal.rule, signal.side);
        if (const auto at = open.find(key); at != open.end() && runs[at->second].last + 1 == signal.last) {
            runs[at->second].last = signal.last;
            continue;
        }
        open[key] = runs.size();
        runs.push_back({signal.rule, signal.side, signal.points.front(), signal.last});
    }
    return runs;
}

}  // namespace crimpgate::audit

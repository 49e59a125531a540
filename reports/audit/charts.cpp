// The control charts as text: every point with where it leads.
#include "reports/audit/charts.h"

#include <algorithm>

namespace crimpgate::audit {

namespace {

Chart one_chart(const Work& work, const StreamCharts& charts, const OneChart& one, bool spreads) {
    Chart chart;
    chart.id = (spreads ? "spreads:" : "means:") + charts.stream->stream;
    chart.kind = "control";
    chart.unit = work.inches() ? "in" : "mm";
    chart.stream = charts.stream->stream;
    chart.frozen = one.frozen != nullptr;
    if (one.limits) {
        chart.centre = work.lengths.mean(one.limits->centre);
        chart.lower = work.lengths.mean(one.limits->lower);
        chart.upper = work.lengths.mean(one.limits->upper);
        chart.sigma = work.lengths.sd(one.limits->sigma);
    }
    if (!spreads) {
        chart.band_lower = work.lengths.exact(charts.stream->lower);
        chart.band_upper = work.lengths.exact(charts.stream->upper);
    }
    for (const std::size_t restart : charts.restarts)
        chart.restarts.push_back(static_cast<std::int64_t>(restart));
    chart.points.reserve(charts.points.size());
    for (std::size_t i = 0; i < charts.points.size(); ++i) {
        const EndFact& end = *charts.points[i]->end;
        const bool left_out =
            one.frozen != nullptr &&
            std::find(one.frozen->left_out.begin(), one.frozen->left_out.end(), end.seq) != one.frozen->left_out.end();
        chart.points.push_back({work.lengths.mean(one.values[i]), end.seq, end.ms, end.serial, end.end, {}, left_out});
    }
    for (const statistics::Signal& signal : one.signals)
        chart.points[signal.last].signals.emplace_back(statistics::code_of(signal.rule));
    if (one.refused) chart.notes.push_back(*one.refused);
    if (one.frozen != nullptr)
        chart.notes.push_back(message("audit.note.frozen_limits")
                                  .with("person", one.frozen->person)
                                  .with("day", time_text(one.frozen->ms).substr(0, 10))
                                  .with("points", count_text(one.frozen->points))
                                  .with("reason", one.frozen->reason));
    else if (one.limits)
        chart.notes.push_back(message("audit.note.own_limits"));
    chart.notes.push_back(spreads ? message("audit.note.spread_chart").with("places", count_text(charts.stream->places))
                                  : message("audit.note.means_chart"));
    return chart;
}

}  // namespace

std::vector<Chart> control_charts(const Work& work, const std::vector<StreamCharts>& streams) {
    std::vector<Chart> out;
    for (const StreamCharts& charts : streams) {
        out.push_back(one_chart(work, charts, charts.means, false));
        if (!charts.spreads.values.empty()) out.push_back(one_chart(work, charts, charts.spreads, true));
    }
    return out;
}

}  // namespace crimpgate::audit

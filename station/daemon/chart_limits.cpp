#include "station/daemon/chart_limits.h"

#include <algorithm>
#include <cmath>

#include "reports/audit/work.h"
#include "reports/statistics/control_chart.h"
#include "station/journal/audit_facts.h"

namespace crimpgate {
namespace {

using statistics::ChartKind;

Length to_length(double nm) {
    return Length::from_nm(std::llround(nm));
}

Result<statistics::Limits> limits_of(const std::vector<audit::EndView>& ends, ChartOf chart,
                                     const std::vector<std::size_t>& left_out) {
    std::vector<double> means;
    std::vector<std::size_t> restarts;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        means.push_back(static_cast<double>(ends[i].end->mean->nm()));
        if (i > 0 && ends[i].setup != ends[i - 1].setup) restarts.push_back(i);
    }
    if (chart == ChartOf::means) {
        const auto points = statistics::individual_points(means, restarts);
        const auto limits = statistics::limits_from(ChartKind::individuals, points, left_out);
        if (!limits) return refuse(limits.error());
        return limits->location;
    }
    const auto places = ends.front().stream->places;
    if (places < 2) return refuse(message("chart.one_place").with("stream", ends.front().stream->stream));
    std::vector<statistics::ChartPoint> points;
    for (std::size_t i = 0; i < ends.size(); ++i)
        points.push_back({static_cast<int>(places), means[i], static_cast<double>(ends[i].end->spread->nm())});
    const auto limits = statistics::limits_from(ChartKind::mean_and_range, points, left_out);
    if (!limits) return refuse(limits.error());
    return limits->spread;
}

}  // namespace

Result<entries::LimitsFrozen> reckon_limits(const Journal& journal, const LimitsAsked& asked) {
    if (asked.to_seq < asked.from_seq)
        return refuse(message("chart.range_reversed")
                          .with("from", std::to_string(asked.from_seq))
                          .with("to", std::to_string(asked.to_seq)));
    AuditAsked wanted;
    wanted.stream = asked.stream;
    wanted.judged_from = asked.from_seq;
    wanted.judged_to = asked.to_seq;
    const auto facts = audit_facts(journal, wanted, [](const EntryBody&, const std::string&, ShownUnit) {
        return Message{};  // nobody reads them here
    });
    if (!facts) return refuse(facts.error());
    const auto work = audit::work_of(*facts, {});
    std::vector<audit::EndView> ends;
    for (const auto& end : work.ends)
        if (end.point && end.stream->stream == asked.stream && end.end->seq >= asked.from_seq &&
            end.end->seq <= asked.to_seq)
            ends.push_back(end);
    if (asked.stream.empty() || ends.empty()) return refuse(message("chart.no_points").with("stream", asked.stream));

    std::vector<std::size_t> left_out;
    for (const auto seq : asked.left_out) {
        const auto found =
            std::find_if(ends.begin(), ends.end(), [&](const audit::EndView& end) { return end.end->seq == seq; });
        if (found == ends.end()) return refuse(message("chart.not_a_point").with("seq", std::to_string(seq)));
        left_out.push_back(static_cast<std::size_t>(found - ends.begin()));
    }
    std::sort(left_out.begin(), left_out.end());
    left_out.erase(std::unique(left_out.begin(), left_out.end()), left_out.end());
    const auto limits = limits_of(ends, asked.chart, left_out);
    if (!limits) return refuse(limits.error());

    entries::LimitsFrozen frozen;
    frozen.stream = asked.stream;
    frozen.chart = asked.chart;
    frozen.from_seq = asked.from_seq;
    frozen.to_seq = asked.to_seq;
    for (const auto index : left_out)
        frozen.left_out.push_back(ends[index].end->seq);
    frozen.points = static_cast<std::int64_t>(ends.size() - left_out.size());
    frozen.centre = to_length(limits->centre);
    frozen.lower = to_length(limits->lower);
    frozen.upper = to_length(limits->upper);
    frozen.sigma = to_length(limits->sigma);
    frozen.reason = asked.reason;
    return frozen;
}

}  // namespace crimpgate

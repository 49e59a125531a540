// What the run rules saw, with what it usually means at a crimper (common practice) and how often chance alone does it.
#include "reports/audit/charts.h"
#include "reports/audit/table.h"
#include "reports/statistics/run_length.h"

namespace crimpgate::audit {

namespace {

using statistics::RunRule;
using statistics::Side;

std::string_view side_code(Side side) {
    switch (side) {
        case Side::above:
            return "audit.value.above";
        case Side::below:
            return "audit.value.below";
        case Side::neither:
            break;
    }
    return "audit.value.neither";
}

Message meaning(RunRule rule, Side side, bool spreads) {
    if (spreads)
        return side == Side::below ? message("audit.signal.spread_small") : message("audit.signal.spread_large");
    switch (rule) {
        case RunRule::beyond_three_sigma:
            return message("audit.signal.beyond");
        case RunRule::nine_on_one_side:
        case RunRule::eight_on_one_side:
            return message("audit.signal.one_side");
        case RunRule::six_steadily_moving:
            return message("audit.signal.moving");
        case RunRule::fourteen_alternating:
            return message("audit.signal.alternating");
        case RunRule::two_of_three_beyond_two_sigma:
        case RunRule::four_of_five_beyond_one_sigma:
            return message("audit.signal.shifted");
        case RunRule::fifteen_within_one_sigma:
            return message("audit.signal.too_quiet");
        case RunRule::eight_beyond_one_sigma:
            return message("audit.signal.two_mixed");
    }
    return {};
}

void rows(Table& table, const StreamCharts& charts, const OneChart& one, bool spreads) {
    for (const SignalRun& run : runs_of(one.signals)) {
        const EndFact& first = *charts.points[run.first]->end;
        const EndFact& last = *charts.points[run.last]->end;
        table.row({charts.stream->stream, short_id(spreads ? "audit.value.spreads" : "audit.value.means"),
                   std::string(statistics::code_of(run.rule)), short_id(side_code(run.side)),
                   count_text(static_cast<std::int64_t>(run.last - run.first + 1)), count_text(first.seq),
                   count_text(last.seq), time_text(last.ms), last.serial,
                   message_text(meaning(run.rule, run.side, spreads))});
    }
}

}  // namespace

Sheet signals_sheet(const Work& work, const std::vector<StreamCharts>& streams) {
    Table table("audit.sheet.signals", work.inches());
    table.column("audit.column.stream", Cell::text)
        .column("audit.column.chart", Cell::code)
        .column("audit.column.rule", Cell::code)
        .column("audit.column.side", Cell::code)
        .column("audit.column.points", Cell::count)
        .column("audit.column.first_seq", Cell::seq)
        .column("audit.column.seq", Cell::seq)
        .column("audit.column.at", Cell::time)
        .column("audit.column.serial", Cell::serial)
        .column("audit.column.meaning", Cell::message);
    std::int64_t points = 0;
    std::int64_t seen = 0;
    for (const StreamCharts& charts : streams) {
        rows(table, charts, charts.means, false);
        rows(table, charts, charts.spreads, true);
        if (!charts.means.limits) continue;
        points += static_cast<std::int64_t>(charts.means.values.size());
        seen += static_cast<std::int64_t>(runs_of(charts.means.signals).size());
    }
    if (points == 0) return table.done();
    // Rules that look at the order of size have no exact rate: without them the rate is a lower bound.
    const auto exact = statistics::average_run_length(work.rules, 0);
    const auto length = exact ? exact : statistics::average_run_length(statistics::zone_only(work.rules), 0);
    if (!length) {
        table.note(message("audit.note.false_alarms_unknown"));
        return table.done();
    }
    Message note = exact ? message("audit.note.false_alarms") : message("audit.note.false_alarms_at_least");
    table.note(std::move(note)
                   .with("in", number_text(*length, 0))
                   .with("points", count_text(points))
                   .with("expected", number_text(static_cast<double>(points) / *length, 1))
                   .with("seen", count_text(seen)));
    return table.done();
}

}  // namespace crimpgate::audit

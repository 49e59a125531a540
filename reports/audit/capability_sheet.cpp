// How well each stream keeps inside its band, and whether its values look normal.
//
// Two kinds of values, and every row says which. "readings": single diameters, which are what the band is about; on
// their overall standard deviation. "end_means": one value an end, on the moving range between neighbours (Cp, Cpk) and
// overall (Pp, Ppk); ends are the independent thing, so these intervals can be believed, while means lie closer
// together than readings. A sigma from within ends is not used: it knows nothing of how ends differ, which is most of
// the spread. Sources: reports/statistics/capability.h, normality.h.
#include <algorithm>
#include <array>

#include "reports/audit/charts.h"
#include "reports/audit/table.h"
#include "reports/statistics/capability.h"
#include "reports/statistics/normality.h"

namespace crimpgate::audit {

namespace {

using statistics::CapabilityIndex;
using statistics::ExpectedOutside;
using statistics::IndexKind;
using statistics::IndexSet;
using statistics::SpreadFrom;
using statistics::Warned;

std::vector<std::vector<double>> readings_of(const StreamCharts& charts) {
    std::vector<std::vector<double>> out;
    for (const EndView* view : charts.points) {
        std::vector<double> values;
        for (const ReadingFact* reading : view->readings)
            values.push_back(static_cast<double>(reading->value.nm()));
        if (!values.empty()) out.push_back(std::move(values));
    }
    return out;
}

std::vector<std::vector<double>> singles_of(const StreamCharts& charts) {
    std::vector<std::vector<double>> out;
    for (const double value : charts.means.values)
        out.push_back({value});
    return out;
}

std::string ppm_of(const Warned<ExpectedOutside>& expected) {
    return expected.match(
        [](const ExpectedOutside& e, std::span<const Message>) { return number_text(e.total * 1e6, 1); },
        [](const Message&) { return std::string(); });
}

class CapabilityRows {
  public:
    CapabilityRows(Table& table, const Work& work, const StreamFact& stream, std::string_view of_code,
                   const statistics::Capability& capability)
        : table_(table), work_(work), stream_(stream), of_(short_id(of_code)), c_(capability) {}

    void add(const Warned<CapabilityIndex>& index, IndexKind kind, SpreadFrom from, const std::string& ppm) {
        const auto& spread = from == SpreadFrom::overall ? c_.overall_spread : c_.within_spread;
        std::vector<std::string> cells = {stream_.stream,
                                          of_,
                                          std::string(statistics::symbol(kind, from)),
                                          count_text(static_cast<std::int64_t>(c_.values)),
                                          work_.lengths.mean(c_.mean),
                                          spread ? work_.lengths.sd(spread->sigma) : std::string(),
                                          message_text(statistics::words_for(from))};
        std::array<std::string, 3> warnings;
        index.match(
            [&](const CapabilityIndex& value, std::span<const Message> said) {
                for (const double figure : {value.value, value.interval.lower, value.interval.upper})
                    cells.push_back(number_text(figure, 3));
                cells.push_back(ppm);
                for (std::size_t i = 0; i < said.size() && i < warnings.size(); ++i)
                    warnings[i] = message_text(said[i]);
            },
            [&](const Message& reason) {
                cells.insert(cells.end(), 4, std::string());
                warnings[0] = message_text(reason);
            });
        cells.insert(cells.end(), warnings.begin(), warnings.end());
        table_.row(std::move(cells));
    }

  private:
    Table& table_;
    const Work& work_;
    const StreamFact& stream_;
    std::string of_;
    const statistics::Capability& c_;
};

statistics::CapabilityBasis basis_of(const StreamCharts& charts, const std::vector<std::vector<double>>& subgroups) {
    statistics::CapabilityBasis basis;
    basis.stable = charts.stable();
    std::vector<double> all;
    for (const auto& subgroup : subgroups)
        all.insert(all.end(), subgroup.begin(), subgroup.end());
    if (const auto test = statistics::anderson_darling(all)) basis.normality_p = test->p;
    return basis;
}

}  // namespace

Sheet capability_sheet(const Work& work, const std::vector<StreamCharts>& streams) {
    Table table("audit.sheet.capability", work.inches());
    table.column("audit.column.stream", Cell::text)
        .column("audit.column.values_of", Cell::code)
        .column("audit.column.index", Cell::text)
        .column("audit.column.values", Cell::count)
        .length("audit.column.mean_mm", "audit.column.mean_in")
        .length("audit.column.sigma_mm", "audit.column.sigma_in")
        .column("audit.column.sigma_from", Cell::message)
        .column("audit.column.index_value", Cell::number)
        .column("audit.column.interval_lower", Cell::number)
        .column("audit.column.interval_upper", Cell::number)
        .column("audit.column.ppm", Cell::number)
        .column("audit.column.warning", Cell::message)
        .column("audit.column.warning_2", Cell::message)
        .column("audit.column.warning_3", Cell::message);
    for (const StreamCharts& charts : streams) {
        const StreamFact& stream = *charts.stream;
        if (stream.lower >= stream.upper) continue;  // a row that is no band has no index
        const statistics::CapabilityBand band{static_cast<double>(stream.lower.nm()),
                                              static_cast<double>(stream.upper.nm()),
                                              static_cast<double>(stream.nominal.nm())};
        if (const auto readings = readings_of(charts); !readings.empty()) {
            const auto capability =
                statistics::capability_of(readings, SpreadFrom::pooled, band, basis_of(charts, readings));
            CapabilityRows rows(table, work, stream, "audit.value.readings", capability);
            const std::string ppm = ppm_of(capability.overall.expected);
            rows.add(capability.overall.spread, IndexKind::spread, SpreadFrom::overall, ppm);
            rows.add(capability.overall.nearer, IndexKind::nearer, SpreadFrom::overall, ppm);
            rows.add(capability.target, IndexKind::target, SpreadFrom::overall, ppm);
        }
        const auto singles = singles_of(charts);
        const auto capability = statistics::capability_of(singles, SpreadFrom::pooled, band, basis_of(charts, singles));
        CapabilityRows rows(table, work, stream, "audit.value.end_means", capability);
        const std::string within = ppm_of(capability.within.expected), overall = ppm_of(capability.overall.expected);
        rows.add(capability.within.spread, IndexKind::spread, SpreadFrom::mean_moving_range, within);
        rows.add(capability.within.nearer, IndexKind::nearer, SpreadFrom::mean_moving_range, within);
        rows.add(capability.overall.spread, IndexKind::spread, SpreadFrom::overall, overall);
        rows.add(capability.overall.nearer, IndexKind::nearer, SpreadFrom::overall, overall);
    }
    if (!table.rows().empty()) table.note(message("audit.note.capability"));
    return table.done();
}

Sheet normality_sheet(const Work& work, const std::vector<StreamCharts>& streams) {
    Table table("audit.sheet.normality", work.inches());
    table.column("audit.column.stream", Cell::text)
        .column("audit.column.values", Cell::count)
        .column("audit.column.distinct", Cell::count)
        .column("audit.column.a_squared", Cell::number)
        .column("audit.column.corrected", Cell::number)
        .column("audit.column.p", Cell::number)
        .column("audit.column.warning", Cell::message);
    for (const StreamCharts& charts : streams) {
        auto sorted = charts.means.values;
        std::sort(sorted.begin(), sorted.end());
        const auto distinct = std::unique(sorted.begin(), sorted.end()) - sorted.begin();
        std::vector<std::string> cells = {charts.stream->stream,
                                          count_text(static_cast<std::int64_t>(charts.means.values.size())),
                                          count_text(distinct)};
        if (const auto test = statistics::anderson_darling(charts.means.values)) {
            for (const auto& text : {number_text(test->a_squared, 4), number_text(test->corrected, 4),
                                     chance_text(test->p), std::string()})
                cells.push_back(text);
        } else {
            cells.insert(cells.end(), 3, std::string());
            cells.push_back(message_text(test.error()));
        }
        table.row(std::move(cells));
    }
    return table.done();
}

std::vector<Chart> probability_charts(const Work& work, const std::vector<StreamCharts>& streams) {
    constexpr std::size_t most_points = 500;  // more lie on each other; the first and the last stay
    std::vector<Chart> out;
    for (const StreamCharts& charts : streams) {
        Chart chart;
        chart.id = "normality:" + charts.stream->stream;
        chart.kind = "probability";
        chart.unit = work.inches() ? "in" : "mm";
        chart.stream = charts.stream->stream;
        const auto points = statistics::normal_plot(charts.means.values);
        const std::size_t shown = std::min(points.size(), most_points);
        for (std::size_t i = 0; i < shown; ++i) {
            const auto& point = points[shown < 2 ? 0 : i * (points.size() - 1) / (shown - 1)];
            ChartPointText text;
            text.value = work.lengths.mean(point.value);
            text.serial = number_text(point.score, 4);
            chart.points.push_back(std::move(text));
        }
        out.push_back(std::move(chart));
    }
    return out;
}

}  // namespace crimpgate::audit

// Why ends and assemblies were stopped, the commonest first, with what they make up together (Pareto).
//
// Counted once for each end and reason, however often it was judged so: an end that is oversize again after a re-crimp
// is one oversize end. Stops that no finding explains (a gauge that failed its proof, put aside by hand, a verdict that
// another gauge did not share) count once an assembly and end.
#include <algorithm>
#include <map>
#include <set>

#include "reports/audit/sheets.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

namespace {

std::string_view reason_of(const FindingFact& finding) {
    const bool uncertain = finding.verdict == "uncertain";
    const bool below = finding.side == "below";
    if (finding.what == "crimp_diameter")
        return uncertain ? "audit.value.crimp_too_close" : below ? "audit.value.undersize" : "audit.value.oversize";
    if (finding.what == "depth")
        return uncertain ? "audit.value.depth_too_close" : below ? "audit.value.depth_short" : "audit.value.depth_long";
    if (finding.what == "skive_outer")
        return uncertain ? "audit.value.skive_outer_too_close"
               : below   ? "audit.value.skive_outer_short"
                         : "audit.value.skive_outer_long";
    if (finding.what == "skive_inner")
        return uncertain ? "audit.value.skive_inner_too_close"
               : below   ? "audit.value.skive_inner_short"
                         : "audit.value.skive_inner_long";
    if (finding.what == "spread") return uncertain ? "audit.value.spread_too_close" : "audit.value.spread_too_large";
    if (finding.what == "mark_before")
        return uncertain ? "audit.value.mark_before_too_close" : "audit.value.mark_before_off";
    if (finding.what == "mark_after")
        return uncertain ? "audit.value.mark_after_too_close" : "audit.value.mark_after_off";
    if (finding.what == "lubricant") return "audit.value.not_lubricated";
    if (finding.what == "bore_pin") return "audit.value.pin_stuck";
    return "audit.value.other";
}

std::string_view reason_of(const HoldFact& hold) {
    if (hold.cause == "suspect") return "audit.value.gauge_doubted";
    if (hold.cause == "person") return "audit.value.put_aside";
    if (hold.cause == "overturned") return "audit.value.overturned";
    if (hold.cause == "proof_test") return "audit.value.proof_test";
    return {};  // its findings say why
}

}  // namespace

Sheet reasons_sheet(const Work& work) {
    Table table("audit.sheet.reasons", work.inches());
    table.column("audit.column.reason", Cell::code)
        .column("audit.column.count", Cell::count)
        .column("audit.column.share_pct", Cell::percent)
        .column("audit.column.cumulative_pct", Cell::percent);
    std::map<std::string_view, std::set<std::string>> found;  // reason -> serial and end
    for (const EndView& view : work.ends)
        for (const FindingFact& finding : view.end->findings)
            found[reason_of(finding)].insert(view.end->serial + "\n" + view.end->end);
    for (const HoldFact& hold : work.facts->holds)
        if (const auto reason = reason_of(hold); !reason.empty()) found[reason].insert(hold.serial + "\n" + hold.end);

    std::vector<std::pair<std::string_view, std::int64_t>> ranked;
    std::int64_t all = 0;
    for (const auto& [reason, where] : found) {
        ranked.emplace_back(reason, static_cast<std::int64_t>(where.size()));
        all += ranked.back().second;
    }
    std::stable_sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
    std::int64_t sum = 0;
    for (const auto& [reason, count] : ranked) {
        sum += count;
        table.row({short_id(reason), count_text(count), percent_text(count, all), percent_text(sum, all)});
    }
    return table.done();
}

Chart reasons_chart(const Sheet& reasons) {
    Chart chart;
    chart.id = "reasons";
    chart.kind = "pareto";
    for (const auto& row : reasons.rows) {
        ChartPointText point;
        point.serial = row[0];
        point.value = row[1];
        chart.points.push_back(std::move(point));
    }
    return chart;
}

}  // namespace crimpgate::audit

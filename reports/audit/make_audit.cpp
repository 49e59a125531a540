#include "reports/audit/audit.h"
#include "reports/audit/charts.h"
#include "reports/audit/open_points.h"
#include "reports/audit/sheets.h"

namespace crimpgate::audit {

namespace {

// What the audit is of, in the order in which a person would say it.
std::string title_of(const Scope& scope) {
    std::string title;
    const auto add = [&title](const std::string& part) {
        if (part.empty()) return;
        if (!title.empty()) title += ", ";
        title += part;
    };
    add(scope.shift);
    add(scope.from_day == scope.to_day                   ? scope.from_day
        : scope.from_day.empty() && scope.to_day.empty() ? std::string()
                                                         : scope.from_day + "/" + scope.to_day);  // ISO 8601 interval
    for (const std::string* part :
         {&scope.order, &scope.customer, &scope.spec, &scope.die_set, &scope.hose_lot, &scope.gauge, &scope.person})
        add(*part);
    return title;
}

}  // namespace

Audit make_audit(const AuditFacts& facts, const Choices& choices) {
    Audit audit;
    audit.scope = facts.scope;
    audit.title = title_of(facts.scope);
    audit.unit = facts.inches ? "in" : "mm";
    audit.time_zone = facts.time_zone;
    audit.made_ms = facts.now_ms;
    audit.journal = facts.journal;
    audit.verified_ms = choices.verified_ms;
    const Work work = work_of(facts, choices);
    const auto streams = stream_charts(work);
    const auto gauges = gauge_records(work);
    const auto late = late_entries(work);
    const auto alike = alike_rows(work);
    const auto differences = differences_of(work);
    const auto add = [&audit](Sheet sheet) { audit.sheets.push_back(std::move(sheet)); };
    add(open_points_sheet(work, {gauges, late, streams, differences.found, alike}));
    add(made_sheet(work));
    add(reasons_sheet(work));
    if (choices.charts) audit.charts.push_back(reasons_chart(audit.sheets.back()));
    for (Sheet& sheet : breakdown_sheets(work))
        add(std::move(sheet));
    add(times_sheet(work));
    add(overrides_sheet(work));
    add(refusals_sheet(work));
    add(refusals_all_sheet(work));
    add(devices_sheet(work));
    add(gauges_sheet(work, gauges));
    add(too_alike_sheet(work, alike));
    add(setups_sheet(work));
    add(signals_sheet(work, streams));
    add(stands_out_sheet(work, differences));
    add(capability_sheet(work, streams));
    add(normality_sheet(work, streams));
    add(shifts_sheet(work, late));
    add(late_sheet(work, late));
    add(journal_sheet(work, choices.verified_ms));
    if (choices.charts)
        for (auto* make : {control_charts, probability_charts})
            for (Chart& chart : make(work, streams))
                audit.charts.push_back(std::move(chart));
    return audit;
}

}  // namespace crimpgate::audit

#include "reports/audit/audit.h"
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
    const Work work = work_of(facts, choices);
    audit.sheets.push_back(made_sheet(work));
    audit.sheets.push_back(reasons_sheet(work));
    if (choices.charts) audit.charts.push_back(reasons_chart(audit.sheets.back()));
    for (Sheet& sheet : breakdown_sheets(work))
        audit.sheets.push_back(std::move(sheet));
    audit.sheets.push_back(journal_sheet(work));
    return audit;
}

}  // namespace crimpgate::audit

#include "station/daemon/audit_source.h"

#include <chrono>

#include "specs/dates.h"
#include "station/daemon/local_time.h"
#include "station/words/entry_words.h"

namespace crimpgate {

Result<void> check_scope(const audit::Scope& scope) {
    if (scope == audit::Scope{}) return refuse(message("audit.scope_empty"));
    for (const auto* day : {&scope.from_day, &scope.to_day})
        if (!day->empty())
            if (const auto date = parse_date(*day); !date) return refuse(date.error());
    if (!scope.from_day.empty() && !scope.to_day.empty() && scope.to_day < scope.from_day)
        return refuse(message("audit.days_reversed").with("from", scope.from_day).with("to", scope.to_day));
    return {};
}

Result<audit::AuditFacts> audit_facts_of(const Journal& journal, const audit::Scope& scope,
                                         const AuditSetting& setting) {
    if (auto sound = check_scope(scope); !sound) return refuse(sound.error());
    std::string zone = setting.time_zone;
    if (zone.empty()) {
        const auto last = last_time_zone(journal);
        if (!last) return refuse(last.error());
        zone = last->empty() ? "UTC" : *last;
    }
    if (auto known = check_time_zone(zone); !known) return refuse(known.error());

    AuditAsked asked;
    asked.scope = scope;
    asked.unit = setting.unit;
    if (!scope.from_day.empty()) asked.from_ms = day_begins_ms(*parse_date(scope.from_day), zone);
    // Up to the end of that day, which is not always 24 hours long.
    if (!scope.to_day.empty()) {
        const std::chrono::sys_days last(*parse_date(scope.to_day));
        asked.to_ms = day_begins_ms(Date(last + std::chrono::days(1)), zone);
    }
    auto facts = audit_facts(journal, asked, words_of);
    if (!facts) return facts;
    facts->time_zone = zone;
    facts->now_ms = setting.now_ms;
    facts->today = local_date(setting.now_ms, zone);
    return facts;
}

Result<audit::Audit> audit_of(const Journal& journal, const audit::Scope& scope, const AuditSetting& setting,
                              const audit::Choices& choices) {
    const auto facts = audit_facts_of(journal, scope, setting);
    if (!facts) return refuse(facts.error());
    return audit::make_audit(*facts, choices);
}

}  // namespace crimpgate

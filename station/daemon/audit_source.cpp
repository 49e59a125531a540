#include "station/daemon/audit_source.h"

#include <chrono>
#include <map>

#include <boost/json.hpp>

#include "specs/dates.h"
#include "station/daemon/local_time.h"
#include "station/daemon/study_source.h"
#include "station/journal/queries.h"
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

Result<void> check_wanted(const AuditWanted& wanted) {
    if (wanted.study.empty() && wanted.sample.empty()) return check_scope(wanted.scope);
    if (!(wanted.scope == audit::Scope{}) || (!wanted.study.empty() && !wanted.sample.empty()))
        return refuse(message("audit.study_alone"));
    return {};
}

std::int64_t note_read_through(const AuditSetting& setting, audit::JournalFact& journal) {
    if (!setting.read_through) return 0;
    journal.verified_seq = setting.read_through->found.entries;
    journal.damage = setting.read_through->found.damage;
    return setting.read_through->at_ms;
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
    auto facts = audit_facts_of(journal, scope, setting);
    if (!facts) return refuse(facts.error());
    audit::Choices with_time = choices;
    with_time.verified_ms = note_read_through(setting, facts->journal);
    auto made = audit::make_audit(*facts, with_time);
    const auto known = people(journal);
    if (!known) return refuse(known.error());
    std::map<std::string, std::string> names;
    for (const auto& person : *known)
        names[std::string(person.at("person").as_string())] = std::string(person.at("name").as_string());
    audit::name_people(made, names);
    return made;
}

Result<audit::Audit> audit_of(const Journal& journal, const AuditWanted& wanted, const AuditSetting& setting,
                              const audit::Choices& choices) {
    if (auto sound = check_wanted(wanted); !sound) return refuse(sound.error());
    if (!wanted.study.empty()) return study_audit(journal, wanted.study, setting);
    if (!wanted.sample.empty()) return sample_audit(journal, wanted.sample, setting);
    return audit_of(journal, wanted.scope, setting, choices);
}

}  // namespace crimpgate

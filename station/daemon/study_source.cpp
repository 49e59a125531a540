#include "station/daemon/study_source.h"

#include <map>
#include <tuple>
#include <utility>

#include "station/daemon/local_time.h"
#include "station/daemon/study_facts.h"
#include "station/entries/entry_json.h"
#include "station/journal/happenings.h"

namespace crimpgate {
namespace {

// The part of the bench's state that studies and samples are, folded from their entries alone, and what the state does
// not keep.
struct Folded {
    BenchState state;
    std::vector<Entry> entries;
    audit::Audit audit;  // all but its sheets
    bool inches = false;
};

Result<Folded> folded(const Journal& journal, const AuditSetting& setting) {
    const auto last = journal.last_seq();
    if (!last) return refuse(last.error());
    Folded out;
    auto& audit = out.audit;
    if (*last > 0) {
        const auto entry = journal.entry(*last);
        if (!entry) return refuse(entry.error());
        audit.journal.station = (*entry)->station;
        audit.journal.last_hash = to_hex((*entry)->hash);
    }
    audit.journal.last_seq = *last;
    audit.verified_ms = note_read_through(setting, audit.journal);
    audit.made_ms = setting.now_ms;
    audit.time_zone = setting.time_zone;
    if (audit.time_zone.empty()) {
        const auto zone = last_time_zone(journal);
        if (!zone) return refuse(zone.error());
        audit.time_zone = zone->empty() ? "UTC" : *zone;
    }
    if (auto known = check_time_zone(audit.time_zone); !known) return refuse(known.error());

    auto entries = happenings_of(journal,
                                 {entries::PersonAdded::type, entries::StudyPlanned::type, entries::StudyMeasured::type,
                                  entries::StudyTurnVoided::type, entries::StudyDropped::type,
                                  entries::UncertaintySet::type, entries::SampleDrawn::type,
                                  entries::SampleMeasured::type, entries::SampleJudged::type, entries::LimitsSet::type},
                                 *last);
    if (!entries) return refuse(entries.error());
    out.entries = std::move(*entries);
    out.inches = setting.unit == ShownUnit::inch;
    for (const auto& entry : out.entries) {
        const auto body = entry_body(entry.type, entry.body);
        if (!body) return refuse(body.error());
        if (const auto* limits = std::get_if<entries::LimitsSet>(&*body))
            out.inches = limits->shown_unit == ShownUnit::inch;
        apply(out.state, Facts{entry.seq, entry.stamp.utc_ms, entry.who}, *body);
    }
    audit.unit = out.inches ? "in" : "mm";
    return out;
}

audit::Audit done(Folded from, std::vector<audit::Sheet> sheets) {
    from.audit.sheets = std::move(sheets);
    std::map<std::string, std::string> names;
    for (const auto& [id, person] : from.state.people)
        names[id] = person.name;
    audit::name_people(from.audit, names);
    return std::move(from.audit);
}

// What entries of this study or sample say, by number; `each` gets the entry and its body.
template <class Body, class Each>
void each_of(const Folded& from, const Each& each) {
    for (const auto& entry : from.entries) {
        if (entry.type != Body::type) continue;
        const auto body = entry_body(entry.type, entry.body);
        if (body) each(entry, std::get<Body>(*body));
    }
}

}  // namespace

Result<audit::Audit> study_audit(const Journal& journal, const std::string& study, const AuditSetting& setting) {
    auto from = folded(journal, setting);
    if (!from) return refuse(from.error());
    const auto found = from->state.studies.find(study);
    if (found == from->state.studies.end()) return refuse(message("bench.no_study").with("study", study));
    if (!found->second.complete() || found->second.dropped)
        return refuse(message("bench.study_incomplete").with("study", study));
    auto facts = study_facts(found->second, from->inches);
    each_of<entries::StudyPlanned>(*from, [&](const Entry& entry, const entries::StudyPlanned& e) {
        if (e.study == study) std::tie(facts.planned_seq, facts.planned_ms) = std::tie(entry.seq, entry.stamp.utc_ms);
    });
    each_of<entries::UncertaintySet>(*from, [&](const Entry& entry, const entries::UncertaintySet& e) {
        if (e.study != study) return;
        audit::ApprovedFact approved;
        approved.seq = entry.seq;
        approved.ms = entry.stamp.utc_ms;
        approved.person = entry.who;
        approved.reason = e.reason;
        approved.uncertainty = e.uncertainty;
        approved.before = e.before;
        approved.expanded = e.expanded;
        approved.coverage_permille = e.coverage_permille;
        approved.degrees_of_freedom = e.degrees_of_freedom;
        facts.approved.push_back(std::move(approved));
    });
    auto sheets = study_sheets(facts);
    if (!sheets) return refuse(sheets.error());
    from->audit.study = study;
    from->audit.title = study;
    return done(std::move(*from), std::move(*sheets));
}

Result<audit::Audit> sample_audit(const Journal& journal, const std::string& sample, const AuditSetting& setting) {
    auto from = folded(journal, setting);
    if (!from) return refuse(from.error());
    const auto found = from->state.samples.find(sample);
    if (found == from->state.samples.end()) return refuse(message("bench.no_sample").with("sample", sample));
    auto facts = sample_facts(found->second, from->inches);
    each_of<entries::SampleDrawn>(*from, [&](const Entry& entry, const entries::SampleDrawn& e) {
        if (e.sample == sample) std::tie(facts.drawn_seq, facts.drawn_ms) = std::tie(entry.seq, entry.stamp.utc_ms);
    });
    auto sheets = sample_sheets(facts);
    from->audit.sample = sample;
    from->audit.title = sample;
    return done(std::move(*from), std::move(sheets));
}

}  // namespace crimpgate

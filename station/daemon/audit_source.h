// An audit from a journal: the shop's days become points in time, the facts are gathered, the audit is made of them.
//
// The same for the API and for the command line on a file, so it needs nothing but a journal opened for reading. It
// takes as long as the scope is wide: the API asks on a thread of its own, with a journal of its own.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "reports/audit/audit.h"
#include "station/entries/entries.h"
#include "station/journal/audit_facts.h"
#include "station/journal/journal.h"

namespace crimpgate {

// What an audit is made of: a scope, or one gauge study, or one sample that was measured again.
struct AuditWanted {
    audit::Scope scope;
    std::string study, sample;
};

// When the journal was read through last, and what came of it (Journal::verify).
struct ReadThrough {
    std::int64_t at_ms = 0;  // UTC
    Verification found;
};

struct AuditSetting {
    std::string time_zone;           // the shop's; empty: the one that the station was last started with
    std::int64_t now_ms = 0;         // UTC
    ShownUnit unit = ShownUnit::mm;  // until an entry says which
    std::optional<ReadThrough> read_through{};
};

// Refused: "audit.scope_empty" for a scope that asks for nothing, "audit.days_reversed" (from, to), "date.*" for days
// that are none, "time.unknown_zone", and what audit_facts refuses.
Result<audit::AuditFacts> audit_facts_of(const Journal& journal, const audit::Scope& scope,
                                         const AuditSetting& setting);

Result<audit::Audit> audit_of(const Journal& journal, const audit::Scope& scope, const AuditSetting& setting,
                              const audit::Choices& choices = {});

// The same of whatever is wanted; of a study or a sample as station/daemon/study_source.h makes them.
Result<audit::Audit> audit_of(const Journal& journal, const AuditWanted& wanted, const AuditSetting& setting,
                              const audit::Choices& choices = {});

// What of that is wrong before any journal is read; nothing when it can be asked for. "audit.study_alone" where a study
// or a sample stands beside anything else.
Result<void> check_scope(const audit::Scope& scope);
Result<void> check_wanted(const AuditWanted& wanted);

// What the setting knows of the journal's soundness, into an audit's journal; the time that belongs to it is handed
// back, 0 when it was never read through.
std::int64_t note_read_through(const AuditSetting& setting, audit::JournalFact& journal);

}  // namespace crimpgate

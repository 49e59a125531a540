// An audit from a journal: the shop's days become points in time, the facts are gathered, the audit is made of them.
//
// The same for the API and for the command line on a file, so it needs nothing but a journal opened for reading. It
// takes as long as the scope is wide: the API asks on a thread of its own, with a journal of its own.
#pragma once

#include <cstdint>
#include <string>

#include "reports/audit/audit.h"
#include "station/entries/entries.h"
#include "station/journal/audit_facts.h"
#include "station/journal/journal.h"

namespace crimpgate {

struct AuditSetting {
    std::string time_zone;           // the shop's; empty: the one that the station was last started with
    std::int64_t now_ms = 0;         // UTC
    ShownUnit unit = ShownUnit::mm;  // until an entry says which
};

// Refused: "audit.scope_empty" for a scope that asks for nothing, "audit.days_reversed" (from, to), "date.*" for days
// that are none, "time.unknown_zone", and what audit_facts refuses.
Result<audit::AuditFacts> audit_facts_of(const Journal& journal, const audit::Scope& scope,
                                         const AuditSetting& setting);

Result<audit::Audit> audit_of(const Journal& journal, const audit::Scope& scope, const AuditSetting& setting,
                              const audit::Choices& choices = {});

// What of that is wrong before any journal is read; nothing when it can be asked for.
Result<void> check_scope(const audit::Scope& scope);

}  // namespace crimpgate

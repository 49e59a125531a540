// From the journal's views to what an audit is reckoned from (reports/audit/facts.h): questions only, nothing reckoned.
//
// Of the assemblies started in the shift or the time asked for, narrowed by every other member of the scope, come all
// ends, readings and holds, whenever they were. Set-ups, proofs, refusals and happenings come from the span: of a
// shift from its first entry to its last, of days by the entries' time, else from the first to the last entry of the
// assemblies. A narrowed scope takes of them what speaks of its serials, gauges, orders or streams. What was said of
// an assembly or a signature outside the span is among the happenings too: it may be late. Refused readings are no
// happenings, they are facts of their own.
//
// One unchanging picture of the journal. A Result because the disk may fail, and for what the journal does not know:
// "audit.no_shift", "audit.no_order", "audit.no_gauge", "audit.no_person", "audit.no_spec".
#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include "reports/audit/facts.h"
#include "station/entries/entries.h"
#include "station/journal/journal.h"

namespace crimpgate {

// The scope with its days as points in time: the journal knows no time zones.
struct AuditAsked {
    audit::Scope scope;
    std::int64_t from_ms = 0;        // inclusive; 0: open
    std::int64_t to_ms = 0;          // exclusive; 0: open
    ShownUnit unit = ShownUnit::mm;  // until an entry says which
    // Instead of a scope: assemblies with an end of this stream ("spec id|revision|crimper|die set") judged by one of
    // these entries, both inclusive. For limits to be reckoned from them.
    std::string stream{};
    std::int64_t judged_from = 0;
    std::int64_t judged_to = 0;
};

// An entry in words (station/words/entry_words.h, which the journal does not know).
using TellEntry = std::function<Message(const EntryBody& body, const std::string& who, ShownUnit unit)>;

// Without time_zone, now_ms and today, which are the caller's to fill in.
Result<audit::AuditFacts> audit_facts(const Journal& journal, const AuditAsked& asked, const TellEntry& tell);

// The time zone that the station was last started with; empty in a journal without such an entry.
Result<std::string> last_time_zone(const Journal& journal);

}  // namespace crimpgate

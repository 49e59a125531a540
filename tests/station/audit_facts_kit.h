// What the tests of the audit's facts share: a bench of two shifts, and facts asked for.
#pragma once

#include <algorithm>
#include <set>
#include "station/daemon/audit_source.h"
#include "station/daemon/chart_limits.h"
#include "station/daemon/local_time.h"
#include "station/journal/audit_facts.h"
#include "station/words/entry_words.h"
#include "tests/station/desk_kit.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;
using audit::AuditFacts;
using audit::Scope;

namespace facts_kit {

constexpr const char* shift = "2025-03-04/1";

inline AuditFacts facts_of(const Journal& journal, const AuditAsked& asked) {
    return must(audit_facts(journal, asked, words_of));
}
inline AuditFacts facts_of(const Journal& journal, const Scope& scope) {
    AuditAsked asked;
    asked.scope = scope;
    return facts_of(journal, asked);
}
template <class Change>
inline AuditFacts narrowed(const Journal& journal, const Change& change) {
    Scope scope;
    change(scope);
    return facts_of(journal, scope);
}

inline std::set<std::string> serials(const AuditFacts& facts) {
    std::set<std::string> out;
    for (const auto& assembly : facts.assemblies)
        out.insert(assembly.serial);
    return out;
}

inline std::set<std::string> happened(const AuditFacts& facts) {
    std::set<std::string> out;
    for (const auto& happening : facts.happenings)
        out.insert(happening.type);
    return out;
}

inline std::int64_t utc_ms_of(const std::string& day) {
    return day_begins_ms(must(parse_date(day)), "Europe/Berlin");
}

template <class Fact>
inline bool in_order(const std::vector<Fact>& facts) {
    return std::is_sorted(facts.begin(), facts.end(), [](const Fact& a, const Fact& b) { return a.seq < b.seq; });
}

struct Day {
    Day() : journal(open_journal(folder / "j.sqlite")) { live_through(journal); }
    Folder folder;
    Journal journal;
};

// A bench that made two assemblies of A-100 by OPA, the second with a void and a hold that a lead conceded, in hose
// lots H-1 and H-2; then the shift was closed, another begun by OPB, and a third assembly made.
inline test::Bench two_shifts() {
    test::Bench b = test::Bench::ready();
    b.good_assembly();
    b.ask(commands::ConfirmLots{"H-2", "FA-1", "FB-1"});
    b.good_setup();
    b.work_to(Characteristic::crimp_diameter, End::a, 1);
    b.press("25.51");
    b.ask(commands::VoidLast{"slipped"});
    b.press("25.52");
    b.press("25.50");
    b.press("25.10");  // undersize: the end fails
    const auto held = b.state.stopped;
    b.quarantine();
    b.settle_ok(held, Settlement::concession);
    b.ask(commands::TakeUp{held});
    b.finish();
    b.prove();
    b.ask(commands::EndShift{});
    b.ask(commands::SignOut{});
    b.ask(commands::SignIn{}, "OPB");
    b.ask(commands::StartShift{}, "OPB");
    b.prove();
    b.ask(commands::TakeOrder{"A-100"}, "OPB");
    b.ask(commands::ConfirmLots{"H-1", "FA-1", "FB-1"}, "OPB");
    b.good_assembly();
    return b;
}

}  // namespace facts_kit

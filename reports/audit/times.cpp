// How long an assembly takes, and where it waits.
//
// Waiting is the time between one entry of the bench and the next, put to the account of the next: what the bench was
// waiting for. The facts hold no confirmations, so what goes by until a confirmation counts to the step after it.
// Longer than half an hour is a pause (our own choice), and nothing is reckoned across the start of a shift. The time
// on hold is apart, from the stop to the settlement. Quantiles: reports/statistics/moments.h.
#include <algorithm>
#include <map>

#include "reports/audit/sheets.h"
#include "reports/audit/table.h"
#include "reports/statistics/moments.h"

namespace crimpgate::audit {

namespace {

constexpr std::int64_t pause_ms = 30 * 60'000;

struct Event {
    std::int64_t seq = 0, ms = 0;
    std::string_view waited_for;  // empty: it ends no wait of the bench
    bool begins = false;          // nothing before it counts
};

std::string_view happening_code(const HappeningFact& fact) {
    if (fact.type == "lots.confirmed") return "audit.value.lots";
    if (fact.type == "die.confirmed") return "audit.value.die";
    if (fact.type == "order.taken") return "audit.value.order";
    if (fact.type == "person.signed_in") return "audit.value.sign_in";
    return {};
}

std::vector<Event> events_of(const AuditFacts& facts) {
    std::vector<Event> events;
    for (const ReadingFact& r : facts.readings)
        events.push_back({r.seq, r.ms,
                          r.purpose == "setup"   ? "audit.value.setup"
                          : r.purpose == "proof" ? "audit.value.proof"
                          : r.what == "depth"    ? "audit.value.depth"
                                                 : "audit.value.reading"});
    for (const ProofFact& p : facts.proofs)
        events.push_back({p.seq, p.ms, "audit.value.proof"});
    for (const SetupFact& s : facts.setups)
        events.push_back({s.seq, s.ms, "audit.value.setup"});
    for (const EndFact& e : facts.ends)
        events.push_back({e.seq, e.ms, "audit.value.judgement"});
    for (const AssemblyFact& a : facts.assemblies) {
        events.push_back({a.started_seq, a.started_ms, "audit.value.next_assembly"});
        if (a.passed_seq > 0) events.push_back({a.passed_seq, a.passed_ms, "audit.value.judgement"});
    }
    for (const HappeningFact& h : facts.happenings)
        if (const auto code = happening_code(h); !code.empty()) events.push_back({h.seq, h.ms, code});
    for (const ShiftFact& s : facts.shifts)
        if (s.started_seq > 0) events.push_back({s.started_seq, s.started_ms, {}, true});
    std::stable_sort(events.begin(), events.end(), [](const Event& a, const Event& b) { return a.seq < b.seq; });
    return events;
}

}  // namespace

Sheet times_sheet(const Work& work) {
    Table table("audit.sheet.times", work.inches());
    table.column("audit.column.what", Cell::code)
        .column("audit.column.count", Cell::count)
        .column("audit.column.median_s", Cell::seconds)
        .column("audit.column.p90_s", Cell::seconds)
        .column("audit.column.total_s", Cell::seconds);
    const auto row = [&](std::string_view code, const std::vector<double>& spans) {
        if (spans.empty()) return;
        double total = 0;
        for (const double span : spans)
            total += span;
        const auto text = [&](double p) {
            return seconds_text(static_cast<std::int64_t>(statistics::quantile(spans, p).value_or(0) + 0.5));
        };
        table.row({short_id(code), count_text(static_cast<std::int64_t>(spans.size())), text(0.5), text(0.9),
                   seconds_text(static_cast<std::int64_t>(total))});
    };
    std::vector<double> assemblies, holds;
    for (const AssemblyFact& a : work.facts->assemblies)
        if (a.passed_seq > 0) assemblies.push_back(static_cast<double>(a.passed_ms - a.started_ms));
    for (const HoldFact& h : work.facts->holds)
        if (h.settled_seq > 0) holds.push_back(static_cast<double>(h.settled_ms - h.ms));
    row("audit.value.start_to_pass", assemblies);
    row("audit.value.hold_to_settled", holds);

    std::map<std::string_view, std::vector<double>> waits;
    const auto events = events_of(*work.facts);
    for (std::size_t i = 1; i < events.size(); ++i) {
        const Event& event = events[i];
        if (event.begins || event.waited_for.empty()) continue;
        const auto span = event.ms - events[i - 1].ms;
        if (span < 0) continue;  // the clock was set back between them
        waits[span > pause_ms ? "audit.value.pause" : event.waited_for].push_back(static_cast<double>(span));
    }
    std::vector<std::pair<double, std::string_view>> ranked;
    for (const auto& [code, spans] : waits) {
        double total = 0;
        for (const double span : spans)
            total += span;
        ranked.emplace_back(-total, code);
    }
    std::sort(ranked.begin(), ranked.end());
    for (const auto& [total, code] : ranked)
        row(code, waits[code]);
    if (!table.rows().empty()) table.note(message("audit.note.times"));
    return table.done();
}

}  // namespace crimpgate::audit

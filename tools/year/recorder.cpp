#include "tools/year/recorder.h"

#include <chrono>
#include <cmath>
#include <utility>

#include "specs/dates.h"
#include "station/entries/entry_json.h"

namespace crimpgate::year {

Recorder::Recorder(Journal& journal, BenchRules rules, std::int64_t utc_ms)
    : journal_(journal), rules_(std::move(rules)) {
    now_.mono_ns = 60'000'000'000;
    pass_until(utc_ms);
}

void Recorder::pass(double seconds) {
    pass_until(now_.utc_ms + std::llround(seconds * 1000));
}

// The shop works between 05:00 and 21:00 UTC, when the day of its time zone is the UTC day.
void Recorder::pass_until(std::int64_t utc_ms) {
    if (utc_ms <= now_.utc_ms) return;
    if (now_.utc_ms > 0) now_.mono_ns += (utc_ms - now_.utc_ms) * 1'000'000;
    now_.utc_ms = utc_ms;
    const auto day = std::chrono::floor<std::chrono::days>(
        std::chrono::sys_time<std::chrono::milliseconds>{std::chrono::milliseconds{utc_ms}});
    now_.local_date = to_text(Date{day});
}

Result<std::vector<EntryBody>> Recorder::run(const Command& command, const std::string& who) {
    auto outcome = decide(state_, rules_, command, who, now_);
    if (auto written = append(outcome.entries); !written) return refuse(std::move(written.error()));
    if (outcome.refusal) return refuse(std::move(*outcome.refusal));
    std::vector<EntryBody> bodies;
    for (auto& decided : outcome.entries)
        bodies.push_back(std::move(decided.body));
    return bodies;
}

Result<void> Recorder::note(const EntryBody& body) {
    apply(state_, Facts{state_.last_seq + 1, now_.utc_ms, {}}, body);
    return append({Decided{body, {}}});
}

Result<void> Recorder::append(const std::vector<Decided>& decided) {
    if (decided.empty()) return {};
    std::vector<Draft> drafts;
    for (const auto& d : decided)
        drafts.push_back({std::string(type_of(d.body)), to_json(d.body), d.who});
    Stamp stamp;
    stamp.utc_ms = now_.utc_ms;
    stamp.mono_ns = now_.mono_ns;
    stamp.boot_id = "6b1d0c57-3a52-4c0e-9f0a-2f1f6f3a7d10";
    stamp.clock_synced = true;
    auto appended = journal_.append(std::move(drafts), stamp);
    if (!appended) return refuse(std::move(appended.error()));
    return {};
}

}  // namespace crimpgate::year

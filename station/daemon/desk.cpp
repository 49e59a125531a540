#include "station/daemon/desk.h"

#include <fstream>
#include <utility>

#include "station/bench/show.h"
#include "station/daemon/kept_state.h"
#include "station/daemon/local_time.h"
#include "station/entries/entry_json.h"

namespace crimpgate {

namespace {

// The kernel's id of this boot: monotonic times compare only within one.
std::string boot_id() {
    std::ifstream file("/proc/sys/kernel/random/boot_id");
    std::string id;
    std::getline(file, id);
    return id.empty() ? "unknown" : id;
}

}  // namespace

Desk::Desk(Journal& journal, BenchRules rules, const Clock& clock, std::string time_zone)
    : journal_(journal),
      rules_(std::move(rules)),
      clock_(clock),
      time_zone_(std::move(time_zone)),
      boot_id_(boot_id()) {}

Result<std::unique_ptr<Desk>> Desk::open(Journal& journal, BenchRules rules, const Clock& clock,
                                         std::string time_zone) {
    if (auto zone = check_time_zone(time_zone); !zone) return refuse(std::move(zone.error()));
    std::unique_ptr<Desk> desk(new Desk(journal, std::move(rules), clock, std::move(time_zone)));
    if (auto folded = desk->fold(); !folded) return refuse(std::move(folded.error()));
    desk->watched_ = clock.now();
    desk->used_mono_ns_ = clock.mono_ns();
    return desk;
}

Result<void> Desk::fold() {
    auto fresh = folded(journal_);
    if (!fresh) return refuse(std::move(fresh.error()));
    state_ = std::move(*fresh);
    state_stale_ = false;
    return {};
}

Now Desk::now() const {
    Now n;
    n.utc_ms = clock_.utc_ms();
    n.mono_ns = clock_.mono_ns();
    n.local_date = local_date(n.utc_ms, time_zone_);
    return n;
}

Ran Desk::run(const Command& command, const std::string& who) {
    watch_clock();
    auto ran = run_unwatched(command, who);
    // What was refused shows as well that somebody is there; noise on a gauge's line does not.
    const auto* said = std::get_if<commands::GaugeSaid>(&command);
    const bool measured = said != nullptr && std::holds_alternative<Reading>(said->event);
    if (measured || (!who.empty() && who == state_.person)) used_mono_ns_ = clock_.mono_ns();
    return ran;
}

Ran Desk::sign_out_idle() {
    const std::int64_t allowed_ms = rules_in_force(rules_, state_).sign_out_after_ms;
    if (state_.person.empty() || allowed_ms <= 0) return {};
    if (clock_.mono_ns() - used_mono_ns_ < allowed_ms * 1'000'000) return {};
    return run_unwatched(commands::SignOutIdle{}, {});
}

// The wall clock against the monotonic one, from one command to the next: a clock that somebody set while the station
// ran shows here even where it did not fall behind the last entry.
void Desk::watch_clock() {
    const Arrival now = clock_.now();
    const std::int64_t expected = watched_.utc_ms + (now.mono_ns - watched_.mono_ns) / 1'000'000;
    watched_ = now;
    const std::int64_t moved = now.utc_ms - expected;
    if (moved >= -rules_.clock_tolerance_ms && moved <= rules_.clock_tolerance_ms) return;
    run_unwatched(commands::ClockMoved{expected, now.utc_ms}, {});
}

Ran Desk::run_unwatched(const Command& command, const std::string& who) {
    if (state_stale_) {
        if (auto folded = fold(); !folded) return Ran{{}, folded.error()};
    }
    auto outcome = decide(state_, rules_, command, who, now());
    return commit(std::move(outcome.entries), std::move(outcome.refusal));
}

Ran Desk::note(const EntryBody& body, const std::string& who) {
    if (state_stale_) {
        if (auto folded = fold(); !folded) return Ran{{}, folded.error()};
    }
    apply(state_, Facts{state_.last_seq + 1, clock_.utc_ms(), who}, body);
    std::vector<Decided> decided;
    decided.push_back({body, who});
    return commit(std::move(decided), std::nullopt);
}

Ran Desk::commit(std::vector<Decided> decided, std::optional<Message> refusal) {
    Ran ran;
    ran.refusal = std::move(refusal);
    if (decided.empty()) return ran;
    std::vector<Draft> drafts;
    for (const auto& d : decided)
        drafts.push_back({std::string(type_of(d.body)), to_json(d.body), d.who});
    Stamp stamp;
    stamp.utc_ms = state_.last_utc_ms;  // what the decision was made with, so that a fold makes the same state
    stamp.mono_ns = clock_.mono_ns();
    stamp.boot_id = boot_id_;
    stamp.clock_synced = clock_synchronised();
    auto appended = journal_.append(std::move(drafts), stamp);
    if (!appended) {
        // R10: what could not be written has not happened. The state knows of it, so it is folded anew.
        state_stale_ = true;
        ran.refusal = std::move(appended.error());
        return ran;
    }
    ran.entries = std::move(*appended);
    for (const auto& entry : ran.entries)
        for (const auto& listener : listeners_)
            listener(entry);
    // A copy that could not be kept costs time at the next start, and nothing else.
    const std::string& last = ran.entries.back().type;
    if (last == entries::ShiftEnded::type || last == entries::StationStopped::type)
        static_cast<void>(keep_state(journal_, state_));
    return ran;
}

boost::json::object Desk::show() const {
    return crimpgate::show(state_, rules_, now());
}

void Desk::on_entry(std::function<void(const Entry&)> listener) {
    listeners_.push_back(std::move(listener));
}

}  // namespace crimpgate

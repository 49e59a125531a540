// The desk: the one place where commands become entries.
//
// A command goes through the bench's core (station/bench/decide.h); what comes out is appended to the journal with full
// durability, all of it or none; only then is anybody told (R2). Single-threaded: everything runs on the daemon's one
// loop. When the journal cannot be written the line stands (R10): every further command is refused with the journal's
// reason until a restart or until writing works again, and the state is rebuilt from the journal.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include <boost/json/object.hpp>

#include "drivers/clock.h"
#include "station/bench/decide.h"
#include "station/journal/journal.h"

namespace crimpgate {

// Whether a time server stands behind the wall clock.
bool clock_synchronised();

struct Ran {
    std::vector<Entry> entries;      // committed
    std::optional<Message> refusal;  // for whoever asked
};

class Desk {
  public:
    // Folds the journal into the bench's state (kept_state.h). `time_zone`: IANA name of the shop's zone.
    static Result<std::unique_ptr<Desk>> open(Journal& journal, BenchRules rules, const Clock& clock,
                                              std::string time_zone);

    Ran run(const Command& command, const std::string& who);
    // Signs out whoever is at the bench and for as long as the shop allows has neither measured nor asked for anything.
    // To be called now and then.
    Ran sign_out_idle();
    // An entry that the shell itself states (station.started, person.sign_in_refused); `who` asked for it, if somebody
    // did.
    Ran note(const EntryBody& body, const std::string& who = {});

    const BenchState& state() const { return state_; }
    const BenchRules& rules() const { return rules_; }
    const std::string& time_zone() const { return time_zone_; }
    Now now() const;
    // What the bench shows: the next step, the last reading, the order, the gauges (station/bench/show.h).
    boost::json::object show() const;

    // Told of every entry after it was committed, in order.
    void on_entry(std::function<void(const Entry&)> listener);

  private:
    Desk(Journal& journal, BenchRules rules, const Clock& clock, std::string time_zone);
    Result<void> fold();
    void watch_clock();
    Ran run_unwatched(const Command& command, const std::string& who);
    Ran commit(std::vector<Decided> decided, std::optional<Message> refusal);

    Journal& journal_;
    BenchRules rules_;
    const Clock& clock_;
    std::string time_zone_;
    std::string boot_id_;
    Arrival watched_;                // both clocks at the last command
    std::int64_t used_mono_ns_ = 0;  // when the person at the bench last showed that they are there
    BenchState state_;
    bool state_stale_ = false;  // ahead of the journal after a failed append
    std::vector<std::function<void(const Entry&)>> listeners_;
};

}  // namespace crimpgate

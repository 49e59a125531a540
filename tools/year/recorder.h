// The bench's core and its journal under a simulated clock: what the desk is in the station (station/daemon/desk.h),
// without a clock of its own.
//
// Every command goes through decide(), every entry through Journal::append. Refusals and failures to write are given
// back; what the year asks for is never refused, so its caller treats a refusal as the end.
#pragma once

#include <string>
#include <vector>

#include "station/bench/decide.h"
#include "station/journal/journal.h"

namespace crimpgate::year {

class Recorder {
  public:
    Recorder(Journal& journal, BenchRules rules, std::int64_t utc_ms);

    // The entries' bodies.
    Result<std::vector<EntryBody>> run(const Command& command, const std::string& who);
    Result<void> note(const EntryBody& body);

    void pass(double seconds);
    void pass_until(std::int64_t utc_ms);
    const Now& now() const { return now_; }
    const BenchState& state() const { return state_; }
    const BenchRules& rules() const { return rules_; }
    NextStep next() const { return next_step(state_, rules_, now_); }

  private:
    Result<void> append(const std::vector<Decided>& decided);

    Journal& journal_;
    BenchRules rules_;
    BenchState state_;
    Now now_;
};

}  // namespace crimpgate::year

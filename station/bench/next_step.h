// What the bench wants next: one thing at a time, in the order of the work, or what stands in its way.
#pragma once

#include <optional>
#include <string>

#include "station/bench/commands.h"
#include "station/bench/rules.h"
#include "station/bench/state.h"

namespace crimpgate {

enum class Ask {
    // what stands in the way
    clock,  // a lead must say that the clock is right
    sign_in,
    quarantine,  // the stopped part must go to its place first
    shift,
    proof_reading,  // measure the reference now
    proof,          // choose gauge and reference: none may be used as it is
    gauge,          // none is connected
    order,
    order_done,  // nothing more to start; holds may be open
    lots,
    die,
    // the work
    setup,       // measure across `flat` of the set-up piece
    measure,     // `what` (and `flat`) of `end`
    again,       // the same once more: the reading was uncertain
    confirm,     // `what` of `end`, by a person
    proof_test,  // both ends are good: the pressure test that the order asks for
    // instead of the work
    study,     // `person` measures `piece`, the turn `turn` of a gauge study
    sample,    // measure `flat` of `end` of `serial` again with another gauge
    returned,  // measure `what` (and `flat`) of `end` of a hose that came back; `turn` 0: everything is measured
};

struct NextStep {
    Ask ask = Ask::sign_in;
    std::string serial;   // in work, or the next to be given
    bool begins = false;  // the serial is given with the first reading or confirmation
    End end = End::a;
    Characteristic what = Characteristic::depth;
    std::int64_t flat = 0;
    std::optional<Band> band;  // expected; of a set-up piece the middle half
    std::string gauge;         // proof_reading, study: which
    std::int64_t turn = 0;     // study; returned: how many places are measured, from 1
    std::string piece;
    std::string person;
};

NextStep next_step(const BenchState& state, const BenchRules& rules, const Now& now);

inline const SpecRow* row_in_work(const BenchState& state, const NextStep&) {
    return row_in_work(state);
}

// A gauge may measure: connected, proved, the proof not run out, calibration in date. Otherwise the reason.
Result<void> gauge_ready(const GaugeState& gauge, const Now& now);

// Judged with what a lead has conceded left out; the findings themselves stay in the list.
EndJudgement judged(const AssemblyState& assembly, End end);

// Did a lead concede this very finding?
bool conceded(const EndState& end, const Finding& finding);

// The middle half of a band: a quarter of its width in from either limit, to the inside of the nanometre.
Band middle_half(const Band& band);

}  // namespace crimpgate

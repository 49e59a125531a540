// When inspection becomes stricter or lighter: the switching rules of MIL-STD-105E, as a fold over the lots.
//
//   normal -> tightened    2 of 5 or fewer lots in a row are rejected
//   tightened -> normal    5 lots in a row are accepted
//   tightened -> stopped   5 lots are rejected while on tightened (105D: 10 lots in a row on tightened)
//   stopped -> tightened   only when a person says that the cause is removed
//   normal -> reduced      may be granted by a person once 10 lots in a row were accepted on normal; the standard's
//                          further condition on the number of bad pieces (its table VIII) is that person's to look up
//   reduced -> normal      a lot is rejected, or falls between accept and reject, or a person says so (production
//                          irregular or delayed)
// From memory of the standard; lots given back and offered again do not count.
#pragma once

#include <span>

#include "reports/statistics/sampling_plan.h"

namespace crimpgate::statistics {

enum class SwitchingEvent { accepted, accepted_back_to_normal, rejected, reduced_granted, normal_ordered, resumed };

struct SwitchingState {
    Severity severity = Severity::normal;
    bool stopped = false;       // severity is then tightened
    int accepted_in_a_row = 0;  // on this severity
    int rejected_on_tightened = 0;
    unsigned last_rejected = 0;  // on normal: which of the last four lots were, bit 0 the latest
    bool operator==(const SwitchingState&) const = default;
};
bool reduced_may_be_granted(const SwitchingState& state);

// Refused with "sampling.stopped" (a lot while stopped), "sampling.not_stopped" (resumed without a stop),
// "sampling.reduced_too_early" or "sampling.not_reduced" (normal ordered on another severity).
Result<SwitchingState> next_state(const SwitchingState& state, SwitchingEvent event);
// From normal inspection on.
Result<SwitchingState> state_after(std::span<const SwitchingEvent> events);
SwitchingEvent event_of(LotVerdict verdict);

}  // namespace crimpgate::statistics

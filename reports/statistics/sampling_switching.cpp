#include "reports/statistics/sampling_switching.h"

#include <algorithm>
#include <bit>
#include <stdexcept>

namespace crimpgate::statistics {
namespace {

constexpr int lots_remembered = 4;  // with the newest they make five
constexpr int rejected_for_tightened = 2;
constexpr int accepted_for_normal = 5;
constexpr int rejected_for_a_stop = 5;
constexpr int accepted_for_reduced = 10;

// A change of severity forgets what came before it.
SwitchingState fresh(Severity severity) {
    SwitchingState state;
    state.severity = severity;
    return state;
}

SwitchingState lot_on_normal(SwitchingState state, bool rejected) {
    const unsigned lots = state.last_rejected << 1 | (rejected ? 1u : 0u);
    if (rejected && std::popcount(lots) >= rejected_for_tightened) return fresh(Severity::tightened);
    state.last_rejected = lots & ((1u << lots_remembered) - 1);
    state.accepted_in_a_row = rejected ? 0 : state.accepted_in_a_row + 1;
    return state;
}

SwitchingState lot_on_tightened(SwitchingState state, bool rejected) {
    state.accepted_in_a_row = rejected ? 0 : state.accepted_in_a_row + 1;
    if (state.accepted_in_a_row >= accepted_for_normal) return fresh(Severity::normal);
    if (rejected) ++state.rejected_on_tightened;
    state.stopped = state.rejected_on_tightened >= rejected_for_a_stop;
    return state;
}

SwitchingState lot_on_reduced(SwitchingState state, SwitchingEvent event) {
    if (event != SwitchingEvent::accepted) return fresh(Severity::normal);
    ++state.accepted_in_a_row;
    return state;
}

Result<SwitchingState> after_lot(const SwitchingState& state, SwitchingEvent event) {
    if (state.stopped) return refuse(message("sampling.stopped"));
    if (state.severity == Severity::reduced) return lot_on_reduced(state, event);
    if (event == SwitchingEvent::accepted_back_to_normal)
        throw std::logic_error("sampling: only a reduced plan has a gap between accept and reject");
    const bool rejected = event == SwitchingEvent::rejected;
    return state.severity == Severity::normal ? lot_on_normal(state, rejected) : lot_on_tightened(state, rejected);
}

}  // namespace

bool reduced_may_be_granted(const SwitchingState& state) {
    return state.severity == Severity::normal && state.accepted_in_a_row >= accepted_for_reduced;
}

Result<SwitchingState> next_state(const SwitchingState& state, SwitchingEvent event) {
    switch (event) {
        case SwitchingEvent::accepted:
        case SwitchingEvent::accepted_back_to_normal:
        case SwitchingEvent::rejected:
            return after_lot(state, event);
        case SwitchingEvent::reduced_granted:
            if (!reduced_may_be_granted(state))
                return refuse(message("sampling.reduced_too_early").with("lots", std::to_string(accepted_for_reduced)));
            return fresh(Severity::reduced);
        case SwitchingEvent::normal_ordered:
            if (state.severity != Severity::reduced) return refuse(message("sampling.not_reduced"));
            return fresh(Severity::normal);
        case SwitchingEvent::resumed:
            if (!state.stopped) return refuse(message("sampling.not_stopped"));
            return fresh(Severity::tightened);
    }
    throw std::domain_error("sampling: no such event");
}

Result<SwitchingState> state_after(std::span<const SwitchingEvent> events) {
    Result<SwitchingState> state = SwitchingState{};
    for (const auto event : events) {
        if (!state) break;
        state = next_state(*state, event);
    }
    return state;
}

SwitchingEvent event_of(LotVerdict verdict) {
    switch (verdict) {
        case LotVerdict::accepted:
            return SwitchingEvent::accepted;
        case LotVerdict::accepted_back_to_normal:
            return SwitchingEvent::accepted_back_to_normal;
        case LotVerdict::rejected:
            return SwitchingEvent::rejected;
    }
    throw std::domain_error("sampling: no such verdict");
}

}  // namespace crimpgate::statistics

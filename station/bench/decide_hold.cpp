// Holds: into quarantine, settled by someone who may, taken up again.
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

Result<void> Decider::operator()(const commands::PutInQuarantine& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.stopped.empty() || s_.stopped != c.serial)
        return refuse(message("bench.not_stopped").with("serial", c.serial));
    emit(PartQuarantined{c.serial});
    return {};
}

namespace {

// The depth of a mark cannot be measured again once the hose is in the shell. A depth that a failed gauge took may
// stay only if it lies further inside its band than the gauge was found to be off.
bool depth_may_stay(const AssemblyState& a) {
    for (const End end : {End::a, End::b}) {
        for (const auto& r : a.at(end).records) {
            if (r.gauge != a.hold->gauge || !r.measured) continue;
            if (r.what != Characteristic::depth && r.what != Characteristic::skive_outer &&
                r.what != Characteristic::skive_inner && r.what != Characteristic::mark_before)
                continue;
            const auto finding = judge_length(a.row(end), r.what, r.flat, *r.measured);
            if (!finding || !finding->margin) continue;
            if (*finding->margin - finding->guard.value_or(Length{}) < a.hold->gauge_error.abs()) return false;
        }
    }
    // A withdrawn gauge's error is not known: nothing that it measured may stand.
    return a.hold->gauge_error != Length{};
}

}  // namespace

Result<void> Decider::operator()(const commands::SettleHold& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    const auto found = s_.assemblies.find(c.serial);
    if (found == s_.assemblies.end() || found->second.stage != Stage::on_hold)
        return refuse(message("bench.not_on_hold").with("serial", c.serial));
    const auto& a = found->second;
    // R9: whoever measured does not settle, unless the shop's configuration says so.
    if (a.measured_by.contains(who_) && !rules_.own_hold_may_be_settled)
        return refuse(message("bench.own_hold").with("serial", c.serial));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    const auto& hold = *a.hold;
    switch (c.how) {
        case Settlement::scrap:
            break;
        case Settlement::recrimp:  // R7
            if (!hold.recrimp_possible) return refuse(message("bench.no_recrimp").with("serial", c.serial));
            break;
        case Settlement::remeasure:
            if (hold.cause == HoldCause::suspect && !depth_may_stay(a))
                return refuse(message("bench.depth_cannot_be_measured_again").with("serial", c.serial));
            break;
        case Settlement::concession:
            if (c.customer_reference.empty())
                return refuse(message("bench.field_empty").with("field", "customer_reference"));
            break;
    }
    HoldSettled settled;
    settled.serial = c.serial;
    settled.how = c.how;
    settled.reason = c.reason;
    if (c.how == Settlement::concession) settled.customer_reference = c.customer_reference;
    settled.held_seq = hold.seq;
    emit(settled);

    // A concession for the last thing that was open lets the assembly pass; what is still to be measured comes first.
    if (c.how != Settlement::concession) return {};
    for (const End end : {End::a, End::b}) {
        if (s_.assemblies.at(c.serial).at(end).done) continue;
        const auto judgement = judged(s_.assemblies.at(c.serial), end);
        if (judgement.complete() && judgement.verdict == Verdict::conforms) judge_and_write(c.serial, end, judgement);
    }
    pass_if_done(c.serial);
    return {};
}

Result<void> Decider::operator()(const commands::TakeUp& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.shift.empty()) return refuse(message("bench.no_shift"));
    if (!s_.stopped.empty()) return refuse(message("bench.quarantine_first").with("serial", s_.stopped));
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    const auto found = s_.assemblies.find(c.serial);
    if (found == s_.assemblies.end() || found->second.stage != Stage::to_be_taken_up)
        return refuse(message("bench.not_to_be_taken_up").with("serial", c.serial));
    emit(AssemblyTakenUp{c.serial});
    return {};
}

}  // namespace crimpgate

// Holds: into quarantine, settled by someone who may, taken up again.
#include "specs/what_may_follow.h"
#include "station/bench/decider.h"
#include "station/bench/holds.h"

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

bool before_the_push(Characteristic what) {
    return what == Characteristic::depth || what == Characteristic::skive_outer ||
           what == Characteristic::skive_inner || what == Characteristic::mark_before;
}

// The depth of a mark cannot be measured again once the hose is in the shell. A depth that a doubted gauge took may
// stay only if it lies further inside its band than the gauge was found to be off; that of a gauge that is gone, whose
// error nobody knows, never. Of several readings the last one counts.
bool depth_may_stay(const AssemblyState& a) {
    for (const End end : {End::a, End::b}) {
        const auto& records = a.at(end).records;
        if (!pushed_in(a.at(end))) continue;  // it is measured again
        for (auto at = records.begin(); at != records.end(); ++at) {
            const auto doubt = a.hold->doubted.find(at->gauge);
            if (doubt == a.hold->doubted.end() || !at->measured || !before_the_push(at->what)) continue;
            if (std::any_of(at + 1, records.end(), [&](const StepRecord& r) { return r.what == at->what; })) continue;
            if (doubt->second == Length{}) return false;
            const auto finding = judge_length(a.row(end), at->what, at->flat, *at->measured);
            if (!finding || !finding->margin) continue;
            if (*finding->margin - finding->guard.value_or(Length{}) < doubt->second.abs()) return false;
        }
    }
    return true;
}

// What failed by sight, by pin or by a missed step is no matter of the gauge (what_may_follow.h). What was conceded
// speaks against nothing.
bool only_lengths_fail(const AssemblyState& a) {
    for (const auto& end : a.ends)
        for (const auto& f : end.last_findings)
            if (f.verdict == Verdict::fails && !f.value && !conceded(end, f)) return false;
    return true;
}

}  // namespace

Result<void> may_be_settled(const AssemblyState& a, Settlement how) {
    const auto& serial = a.started.serial;
    if (a.proof_test && !a.proof_test->passed && how != Settlement::scrap)  // R1, R7: no concession for a leak
        return refuse(message("bench.proof_test_only_scrap").with("serial", serial));
    if (how == Settlement::recrimp && !a.hold->recrimp_possible)  // R7
        return refuse(message("bench.no_recrimp").with("serial", serial));
    if (how == Settlement::remeasure) {
        if (a.hold->cause == HoldCause::failed && !only_lengths_fail(a))
            return refuse(message("bench.no_remeasure").with("serial", serial));
        if (!depth_may_stay(a)) return refuse(message("bench.depth_cannot_be_measured_again").with("serial", serial));
    }
    return {};
}

Result<void> Decider::operator()(const commands::SettleHold& c) {
    const bool scraps_own_bench = c.how == Settlement::scrap && rules_.scrap_by_operator;
    if (auto ok = must_be(scraps_own_bench ? Role::operator_ : Role::lead); !ok) return ok;
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
    if (auto ok = may_be_settled(a, c.how); !ok) return ok;
    switch (c.how) {
        case Settlement::scrap:
        case Settlement::recrimp:
        case Settlement::remeasure:
            break;
        case Settlement::concession:
            if (c.customer_reference.empty())
                return refuse(message("bench.field_empty").with("field", "customer_reference"));
            if (rules_.concession_needs_second) {
                const auto second = s_.people.find(c.second);
                if (second == s_.people.end() || second->second.retired || c.second == who_ ||
                    (second->second.role != Role::lead && second->second.role != Role::setter))
                    return refuse(message("bench.second_signature").with("serial", c.serial));
            }
            break;
    }
    HoldSettled settled;
    settled.serial = c.serial;
    settled.how = c.how;
    settled.reason = c.reason;
    if (c.how == Settlement::concession) settled.customer_reference = c.customer_reference;
    if (c.how == Settlement::concession && rules_.concession_needs_second) settled.second = c.second;
    settled.held_seq = hold.seq;
    emit(settled);

    if (c.how == Settlement::concession || c.how == Settlement::remeasure) go_on_after_settling(c.serial);
    return {};
}

// What a concession completes passes; so does what needed no measuring again. What still speaks against an end, though
// the hold was about something else, puts it back on hold: no further step would bring it up.
void Decider::go_on_after_settling(const std::string& serial) {
    for (const End end : {End::a, End::b}) {
        const auto& a = s_.assemblies.at(serial);
        if (a.at(end).done) continue;
        const auto judgement = judged(a, end);
        // An oversize crimp with places still to measure goes on; any other failure is known well enough.
        const bool only_oversize = what_may_follow(judgement, 0, 1).recrimp;
        if (!judgement.complete() && (judgement.verdict != Verdict::fails || only_oversize)) continue;
        judge_and_write(serial, end, judgement);
        if (judgement.verdict == Verdict::conforms) continue;
        AssemblyHeld held;
        held.serial = serial;
        held.cause = judgement.verdict == Verdict::fails ? HoldCause::failed : HoldCause::uncertain;
        held.end = end;
        held.made_by = a.measured_by.empty() ? std::string() : *a.measured_by.begin();
        held.recrimp_possible = what_may_follow(judgement, a.recrimps, a.row(end).recrimps_allowed).recrimp;
        emit(held);
        return;
    }
    pass_if_done(serial);
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

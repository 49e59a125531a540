// The work at one assembly: readings, confirmations, voids, and what follows from each.
#include "specs/assembly.h"
#include "specs/serial.h"
#include "specs/what_may_follow.h"
#include "station/bench/application_steps.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

// The serial is given with the first thing that is known of the assembly, so that an unused one is never left over.
void Decider::begin_assembly(const NextStep& next) {
    if (!next.begins) return;
    const auto& order = s_.orders.at(s_.order).order;
    // A thousand million serials a prefix: running out is a lost resource, not an answer for the bench.
    const auto numbered = next_serial(rules_.serial_prefix, s_.serial_counter).value();
    AssemblyStarted started;
    started.serial = numbered.serial.text();
    started.counter = numbered.counter;
    started.order = order.order;
    started.customer = order.customer;
    started.customer_part = order.customer_part;
    started.hose_lot = s_.lots->hose;
    started.fitting_a_lot = s_.lots->fitting_a;
    started.fitting_b_lot = s_.lots->fitting_b;
    started.row_a = s_.rows.at(order.spec_a);
    started.row_b = s_.rows.at(order.spec_b);
    started.working_pressure = working_pressure(started.row_a, started.row_b).rating.pressure;
    started.overall_length = order.overall_length;
    // An order that would leave no hose was never opened, and rows that changed since were looked at again.
    started.cut_length =
        cut_length(order.overall_length, started.row_a.fitting.cut_off, started.row_b.fitting.cut_off).value();
    started.length_rule = order.length_rule;
    started.orientation_deg = order.orientation_deg;
    started.orientation_rule = order.orientation_rule;
    started.shift = s_.shift;
    started.proof_test = order.proof_test;
    emit(std::move(started));
}

void Decider::work_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& next) {
    begin_assembly(next);
    const std::string serial = s_.current;
    const auto& a = s_.assemblies.at(serial);
    const SpecRow& row = a.row(next.end);
    const Length uncertainty = s_.gauges.at(c.gauge).registered.uncertainty;
    const auto finding = judge_length(row, next.what, next.flat, Measured{reading.value, uncertainty});

    auto t = taken(c, reading);
    t.purpose = Purpose::assembly;
    t.serial = serial;
    t.end = next.end;
    t.what = next.what;
    t.flat = next.flat;
    t.attempt = a.at(next.end).attempt;
    t.uncertainty = uncertainty;
    t.guard = finding->guard;
    t.lower = finding->lower;
    t.upper = finding->upper;
    t.verdict = finding->verdict;
    t.side = finding->side;
    emit(t);
    after_step(serial, next.end);
}

Result<void> Decider::operator()(const commands::Confirm& c) {
    if (auto ok = may_work(); !ok) return ok;
    const auto next = step();
    const bool mark = next.what == Characteristic::mark_before || next.what == Characteristic::mark_after;
    // A mark that has vanished into the shell cannot be measured; saying so is an answer to a measuring step too.
    const bool hidden_instead = next.ask == Ask::measure && mark && c.seen == MarkSeen::hidden;
    if ((next.ask != Ask::confirm && !hidden_instead) || c.what != next.what) return refuse(message("bench.not_asked"));
    StepConfirmed confirmed;
    if (mark) {
        if (!c.seen) return refuse(message("bench.say_what_is_seen"));
        confirmed.seen = c.seen;
        confirmed.verdict = *c.seen == MarkSeen::at_edge ? Verdict::conforms : Verdict::fails;
    } else {
        if (!c.yes) return refuse(message("bench.say_yes_or_no"));
        confirmed.yes = c.yes;
        confirmed.verdict = *c.yes ? Verdict::conforms : Verdict::fails;
    }
    if (auto ok = may_begin(next); !ok) return ok;
    begin_assembly(next);
    confirmed.serial = s_.current;
    confirmed.end = next.end;
    confirmed.what = c.what;
    confirmed.attempt = s_.assemblies.at(s_.current).at(next.end).attempt;
    emit(confirmed);
    after_step(confirmed.serial, next.end);
    return {};
}

void Decider::after_step(const std::string& serial, End end) {
    const auto& a = s_.assemblies.at(serial);
    const auto judgement = judged(a, end);
    const StepRecord last = a.at(end).records.back();

    bool crimp_missing = false;
    for (const auto what : judgement.missing)
        crimp_missing = crimp_missing || what == Characteristic::crimp_diameter;

    const bool oversize = last.what == Characteristic::crimp_diameter && last.side == Side::above;
    if (judgement.verdict == Verdict::fails) {
        // An oversize crimp may be crimped again, but only if no other place is undersize: measure them all first.
        const bool learn_more = crimp_missing && (oversize || last.verdict != Verdict::fails);
        if (learn_more) return;
        const auto& row = a.row(end);
        const auto choices = what_may_follow(judgement, a.recrimps, row.recrimps_allowed);
        judge_and_write(serial, end, judgement);
        hold(serial, HoldCause::failed, end, choices.recrimp);
        return;
    }
    if (judgement.verdict == Verdict::uncertain) {
        if (step().ask == Ask::again) return;
        // Either the repeat was uncertain too, or it is the spread, which no single reading can settle.
        judge_and_write(serial, end, judgement);
        hold(serial, HoldCause::uncertain, end, false);
        return;
    }
    if (!judgement.complete()) return;
    judge_and_write(serial, end, judgement);
    pass_if_done(serial);
}

void Decider::judge_and_write(const std::string& serial, End end, const EndJudgement& judgement) {
    const auto& a = s_.assemblies.at(serial);
    EndJudged e;
    e.serial = serial;
    e.end = end;
    e.attempt = a.at(end).attempt;
    e.verdict = judgement.verdict;
    e.findings = judgement.findings;
    e.missing = judgement.missing;
    e.mean = judgement.mean;
    e.spread = judgement.spread;
    e.conformity_ppm = judgement.conformity_ppm;
    e.recrimp_possible = what_may_follow(judgement, a.recrimps, a.row(end).recrimps_allowed).recrimp;
    emit(std::move(e));
    watch_drift(serial, end);
}

void Decider::hold(const std::string& serial, HoldCause cause, std::optional<End> end, bool recrimp_possible) {
    AssemblyHeld held;
    held.serial = serial;
    held.cause = cause;
    held.end = end;
    held.made_by = s_.person;
    held.recrimp_possible = recrimp_possible;
    emit(held);
}

void Decider::pass_if_done(const std::string& serial) {
    const auto& a = s_.assemblies.at(serial);
    if (!a.at(End::a).done || !a.at(End::b).done || proof_test_due(a)) return;  // R1
    AssemblyPassed passed;
    passed.serial = serial;
    passed.order = a.started.order;
    passed.concession_reference = a.concession_reference;
    passed.recrimps = a.recrimps;
    emit(passed);
}

Result<void> Decider::operator()(const commands::VoidLast& c) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    const auto next = step();
    const std::vector<StepRecord>* records = nullptr;
    if (next.ask == Ask::setup && s_.setup) records = &s_.setup->records;
    if (next.ask != Ask::setup && !s_.current.empty()) records = &s_.assemblies.at(s_.current).at(next.end).records;
    if (records == nullptr || records->empty()) return refuse(message("bench.nothing_to_void"));
    const StepRecord last = records->back();
    // What fails stays, unless a lead who did not take it says that it was no reading of the part.
    if (last.verdict == Verdict::fails && next.ask != Ask::setup) {
        if (auto ok = must_be(Role::lead); !ok) return refuse(message("bench.void_needs_lead"));
        if (last.who == who_ && !rules_.own_hold_may_be_settled) return refuse(message("bench.own_reading"));
    } else if (s_.person != who_ && s_.people.at(who_).role != Role::lead) {
        return refuse(message("bench.not_signed_in"));
    }
    ReadingVoided voided;
    if (next.ask != Ask::setup) voided.serial = s_.current;
    voided.end = next.end;
    voided.what = last.what;
    voided.flat = last.flat;
    voided.voided_seq = last.seq;
    voided.reason = c.reason;
    emit(voided);
    return {};
}

Result<void> Decider::hold_by_serial(const commands::HoldAssembly& c) {
    const auto found = s_.assemblies.find(c.serial);
    if (found == s_.assemblies.end()) return refuse(message("bench.no_serial").with("serial", c.serial));
    const Stage stage = found->second.stage;
    if (stage == Stage::on_hold) return refuse(message("bench.on_hold_already").with("serial", c.serial));
    if (stage == Stage::scrapped) return refuse(message("bench.scrapped").with("serial", c.serial));
    AssemblyHeld held;
    held.serial = c.serial;
    held.cause = HoldCause::person;
    held.reason = c.reason;
    held.made_by = who_;
    emit(held);
    return {};
}

Result<void> Decider::operator()(const commands::HoldAssembly& c) {
    // What lies on the rack may be stopped by whoever sees that it should be, not only from the bench.
    const bool by_serial = !c.serial.empty() && c.serial != s_.current;
    if (auto ok = by_serial ? must_be(Role::operator_) : may_work(); !ok) return ok;
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    if (by_serial) return hold_by_serial(c);
    if (s_.current.empty()) return refuse(message("bench.nothing_in_work"));
    const std::string serial = s_.current;
    const auto& a = s_.assemblies.at(serial);
    const End end = end_in_work(s_);
    const auto judgement = judged(a, end);
    judge_and_write(serial, end, judgement);
    AssemblyHeld held;
    held.serial = serial;
    held.cause = judgement.verdict == Verdict::fails       ? HoldCause::failed
                 : judgement.verdict == Verdict::uncertain ? HoldCause::uncertain
                                                           : HoldCause::person;
    held.end = end;
    held.reason = c.reason;
    held.made_by = who_;
    held.recrimp_possible = false;  // not every place was measured
    emit(held);
    return {};
}

}  // namespace crimpgate

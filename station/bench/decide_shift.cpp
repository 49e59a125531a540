// The shift: who is at the bench, what is made, with which lots and which die set.
#include "specs/dates.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

Result<void> Decider::operator()(const commands::SignIn&) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    if (s_.person == who_) return {};
    // Taking over at a change of shift: the order in work stays as it is.
    if (!s_.person.empty()) emit(SignedOut{s_.person, "taken_over"});
    emit(SignedIn{who_});
    return {};
}

Result<void> Decider::operator()(const commands::SignOut&) {
    if (s_.person.empty() || s_.person != who_) return refuse(message("bench.not_signed_in"));
    emit(SignedOut{who_});
    return {};
}

// R9: what is measured while nobody has shown for a while that they are there would stand under the wrong name.
Result<void> Decider::operator()(const commands::SignOutIdle&) {
    if (!s_.person.empty()) emit_as({}, SignedOut{s_.person, "idle"});
    return {};
}

Result<void> Decider::operator()(const commands::StartShift&) {
    if (auto ok = may_work(); !ok) return ok;
    if (!s_.shift.empty()) return refuse(message("bench.shift_running").with("shift", s_.shift));
    ShiftStarted started;
    started.date = now_.local_date;
    started.number = s_.last_shift_date == now_.local_date ? s_.shifts_of_day + 1 : 1;
    started.shift = started.date + "/" + std::to_string(started.number);
    emit(started);
    return {};
}

Result<void> Decider::operator()(const commands::EndShift&) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.shift.empty()) return refuse(message("bench.no_shift"));
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    if (!s_.stopped.empty()) return refuse(message("bench.quarantine_first").with("serial", s_.stopped));
    for (const auto& [id, gauge] : s_.gauges)
        if (gauge.used_since_proof) return refuse(message("bench.prove_at_end").with("gauge", id));
    emit(ShiftEnded{s_.shift});
    return {};
}

Result<void> Decider::operator()(const commands::ClockMoved& c) {
    const std::int64_t moved = c.found_utc_ms - c.expected_utc_ms;
    if (moved >= -rules_.clock_tolerance_ms && moved <= rules_.clock_tolerance_ms) return {};
    if (s_.clock_doubted) return {};
    ClockStepped stepped;
    stepped.expected_utc_ms = c.expected_utc_ms;
    stepped.found_utc_ms = c.found_utc_ms;
    // Forward only lets proofs run out early; back would let them run on, and orders of time lie.
    stepped.stops_line = moved < 0;
    emit_as({}, stepped);
    return {};
}

Result<void> Decider::operator()(const commands::AcceptClock&) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (!s_.clock_doubted) return refuse(message("bench.clock_not_in_doubt"));
    emit(ClockAccepted{now_.utc_ms});
    return {};
}

Result<void> Decider::operator()(const commands::TakeOrder& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.shift.empty()) return refuse(message("bench.no_shift"));
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    const auto order = s_.orders.find(c.order);
    if (order == s_.orders.end()) return refuse(message("bench.no_order").with("order", c.order));
    if (order->second.complete()) return refuse(message("bench.order_complete").with("order", c.order));
    if (auto ok = order_fits(order->second.order); !ok) return ok;
    if (auto ok = application_allows(order->second.order); !ok) return ok;
    emit(OrderTaken{c.order});
    return {};
}

namespace {

Result<void> lot_of(const std::vector<LotIssued>& issued, const std::string& scanned, std::string_view part) {
    std::string wanted;
    for (const auto& lot : issued) {
        if (lot.lot == scanned) return {};
        if (!wanted.empty()) wanted += ", ";
        wanted += lot.lot;
    }
    return refuse(message("bench.wrong_lot").with("part", part).with("scanned", scanned).with("needed", wanted));
}

// The hose's age at assembly, where the lot says when it was made.
Result<void> young_enough(const std::vector<LotIssued>& issued, const std::string& scanned, const BenchRules& rules,
                          const Now& now) {
    for (const auto& lot : issued) {
        if (lot.lot != scanned || lot.made.empty()) continue;
        const auto made = HoseQuarter::parse(lot.made);
        if (!made) return refuse(made.error());
        const auto today = parse_date(now.local_date);
        if (!today) return refuse(today.error());
        return check_hose_age(*made, *today, rules.hose_age_years);
    }
    return {};
}

}  // namespace

Result<void> Decider::operator()(const commands::ConfirmLots& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.order.empty()) return refuse(message("bench.take_order_first"));
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    const auto& order = s_.orders.at(s_.order).order;
    if (auto ok = lot_of(order.hose_lots, c.hose_lot, "hose"); !ok) return ok;
    if (auto ok = lot_of(order.fitting_a_lots, c.fitting_a_lot, "fitting A"); !ok) return ok;
    if (auto ok = lot_of(order.fitting_b_lots, c.fitting_b_lot, "fitting B"); !ok) return ok;
    if (auto ok = young_enough(order.hose_lots, c.hose_lot, rules_, now_); !ok) return ok;
    LotsConfirmed confirmed;
    confirmed.order = s_.order;
    confirmed.hose_lot = c.hose_lot;
    confirmed.fitting_a_lot = c.fitting_a_lot;
    confirmed.fitting_b_lot = c.fitting_b_lot;
    emit(confirmed);
    return {};
}

Result<void> Decider::operator()(const commands::ConfirmDie& c) {
    if (auto ok = may_work(); !ok) return ok;
    const SpecRow* row = row_in_work(s_);
    if (row == nullptr) return refuse(message("bench.take_order_first"));
    if (c.die_set != row->die_set)
        return refuse(message("bench.wrong_die").with("scanned", c.die_set).with("needed", row->die_set));
    if (c.crimper != row->crimper)
        return refuse(message("bench.wrong_crimper").with("scanned", c.crimper).with("needed", row->crimper));
    if (c.setting.empty()) return refuse(message("bench.field_empty").with("field", "setting"));
    DieConfirmed confirmed;
    confirmed.die_set = c.die_set;
    confirmed.crimper = c.crimper;
    confirmed.setting = c.setting;
    emit(confirmed);
    return {};
}

}  // namespace crimpgate

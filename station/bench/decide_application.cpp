// A lead answers for what the application check stops; the proof test of the assembly in work.
#include "station/bench/application_steps.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

Result<void> Decider::application_allows(const OrderOpened& order) const {
    const auto stops = open_stops(s_, order, rules_, now_);
    if (stops.empty()) return {};
    return refuse(
        message("bench.application_stops").with("order", order.order).with("count", std::to_string(stops.size())));
}

Result<void> Decider::operator()(const commands::OverrideApplication& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    const auto order = s_.orders.find(c.order);
    if (order == s_.orders.end()) return refuse(message("bench.no_order").with("order", c.order));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    const auto stops = open_stops(s_, order->second.order, rules_, now_);
    if (stops.empty()) return refuse(message("bench.nothing_stops").with("order", c.order));
    emit(ApplicationOverridden{c.order, {stops.begin(), stops.end()}, c.reason});
    return {};
}

Result<void> Decider::operator()(const commands::TestProof& c) {
    if (auto ok = may_work(); !ok) return ok;
    const auto next = step();
    if (next.ask != Ask::proof_test) return refuse(message("bench.not_asked"));
    const std::string serial = s_.current;
    const auto asked = *s_.assemblies.at(serial).started.proof_test;
    if (c.seen != "nothing" && c.seen != "leak" && c.seen != "moved" && c.seen != "burst")
        return refuse(message("bench.proof_test_seen"));
    if (c.manometer.empty()) return refuse(message("bench.field_empty").with("field", "manometer"));
    if (!is_test_liquid(c.medium)) return refuse(message("bench.proof_test_medium").with("medium", c.medium));
    if (c.reached <= Pressure{}) return refuse(message("bench.must_be_positive").with("field", "reached_kpa"));
    if (c.held_s < 0) return refuse(message("bench.must_be_positive").with("field", "held_s"));
    // A quarter above what was asked is a slip of the pen, or a part that nobody should trust any more: the hold is
    // there for that. The figure is this bench's own.
    if (c.reached.kpa() * 4 > asked.pressure.kpa() * 5)
        return refuse(message("bench.proof_test_far_above")
                          .with("reached", c.reached.to_bar_text(0))
                          .with("asked", asked.pressure.to_bar_text(0)));
    const bool clean = c.seen == "nothing";
    // Nothing seen below the pressure or before the time is no test yet; what was seen is one at any pressure.
    if (clean && c.reached < asked.pressure)
        return refuse(message("bench.proof_test_too_low")
                          .with("reached", c.reached.to_bar_text(0))
                          .with("asked", asked.pressure.to_bar_text(0)));
    if (clean && c.held_s < asked.hold_s)
        return refuse(message("bench.proof_test_too_short")
                          .with("held", std::to_string(c.held_s))
                          .with("asked", std::to_string(asked.hold_s)));
    ProofTested tested;
    tested.serial = serial;
    tested.asked = asked;
    tested.reached = c.reached;
    tested.held_s = c.held_s;
    tested.medium = c.medium;
    tested.seen = c.seen;
    tested.manometer = c.manometer;
    tested.passed = clean;
    emit(tested);
    if (clean)
        pass_if_done(serial);
    else
        hold(serial, HoldCause::proof_test, std::nullopt, false);
    return {};
}

}  // namespace crimpgate

// A gauge that fails its proof, or goes for good: everything since its last good proof is held as suspect, and nothing
// that only it measured may stand (R1).
#include <set>

#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

void with_second_gauge(Bench& b) {
    b.ask(RegisterGauge{caliper("CAL-2")}, "SET");
    b.ask(GaugeReturned{"CAL-2"}, "");
    b.prove("CAL-2");
}

std::set<std::string> suspects(const Bench& b) {
    std::set<std::string> out;
    for (const auto& entry : b.log)
        if (const auto* held = std::get_if<entries::AssemblyHeld>(&entry.body);
            held && held->cause == HoldCause::suspect)
            out.insert(held->serial);
    return out;
}

}  // namespace

TEST_CASE("R1: a failed proof holds everything since the last good one: passed, in work, on hold, to be taken up") {
    Bench b = Bench::ready();
    b.ask(OpenOrder{[] {
              auto o = bench_order("A-300");
              o.quantity = 20;
              return o;
          }()},
          "SET");
    b.ask(TakeOrder{"A-300"});
    b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"});
    const auto before = b.good_assembly();
    b.prove();  // good: what came before stands
    const auto passed = b.good_assembly();
    b.work_to(Characteristic::crimp_diameter);
    const std::string waiting = b.serial();
    b.press_crimps({"25.75", "25.75", "25.75"});
    b.quarantine();
    b.settle_ok(waiting, Settlement::recrimp);
    b.work_to(Characteristic::crimp_diameter);
    const std::string on_hold = b.serial();
    b.press("25.20");
    b.quarantine();
    b.work_to(Characteristic::crimp_diameter);
    const std::string scrapped = b.serial();
    b.press("25.20");
    b.settle_ok(scrapped, Settlement::scrap);
    b.work_to(Characteristic::mark_after);
    const std::string in_work = b.serial();

    b.prove("CAL-1", "25.05");
    CHECK_FALSE(b.last<entries::GaugeProved>()->passed);
    CHECK(suspects(b) == std::set<std::string>{passed, waiting, on_hold, in_work});
    for (const auto& serial : suspects(b)) {
        CHECK(b.assembly(serial).stage == Stage::on_hold);
        CHECK(b.assembly(serial).hold->cause == HoldCause::suspect);
        CHECK(b.assembly(serial).hold->gauge_error == 50_um);
    }
    CHECK(b.assembly(before).stage == Stage::passed);
    CHECK(b.assembly(scrapped).stage == Stage::scrapped);
    CHECK(tags_due(b.state) == std::vector<std::string>{before});
    CHECK(b.state.stopped == in_work);
    CHECK(b.state.orders.at("A-300").passed == 1);
    CHECK(b.state.orders.at("A-300").open == 4);
    // The part in work goes to its place; then the gauge must prove itself before anything is measured.
    b.quarantine();
    CHECK(b.next().ask == Ask::proof);
    b.prove();
    CHECK(b.next().ask == Ask::setup);  // a set-up that was measured with it says nothing any more
    CHECK(suspects(b).size() == 4);
}

TEST_CASE("R1: what a failed gauge measured behind the crimp is measured again, with the gauge proved") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    b.prove("CAL-1", "25.05");  // off by 0.05; the depths lie 0.25 mm and more inside their band
    b.settle_ok(serial, Settlement::remeasure);
    CHECK(b.count<entries::AssemblyPassed>() == 1);
    b.prove();
    CHECK(b.ask(TakeUp{serial}).empty());
    CHECK(b.next().what == Characteristic::crimp_diameter);
    CHECK(b.next().end == End::a);
    b.finish();
    CHECK(b.count<entries::AssemblyPassed>() == 2);
    CHECK(b.assembly(serial).stage == Stage::passed);
    CHECK(b.assembly(serial).concession_reference.empty());
}

TEST_CASE(
    "R1: a depth that lies no further inside its band than the gauge was off cannot be saved by measuring again") {
    Bench b = Bench::ready();
    b.press("37.60");  // 0.10 inside, guard 0.0198: 0.0802 left
    b.finish();
    const std::string serial = b.state.assemblies.begin()->first;
    b.prove("CAL-1", "25.09");
    CHECK(b.ask(SettleHold{serial, Settlement::remeasure, "again", ""}, "LEA") ==
          "bench.depth_cannot_be_measured_again");
    b.settle_ok(serial, Settlement::concession);
    CHECK(b.assembly(serial).stage == Stage::passed);
    CHECK(b.last<entries::AssemblyPassed>()->concession_reference == "MQ-C-5");
}

TEST_CASE("R1: a withdrawn gauge holds what it measured, and its depths can never stand") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    CHECK(b.ask(WithdrawGauge{"CAL-1", "fell"}, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(WithdrawGauge{"CAL-1", ""}, "LEA") == "bench.field_empty");
    CHECK(b.ask(WithdrawGauge{"CAL-1", "fell"}, "LEA").empty());
    CHECK(b.assembly(serial).hold->cause == HoldCause::suspect);
    CHECK(b.press("38.00") == "bench.no_gauge");
    CHECK(b.ask(SettleHold{serial, Settlement::remeasure, "again", ""}, "LEA") ==
          "bench.depth_cannot_be_measured_again");
    CHECK(b.next().ask == Ask::gauge);
}

TEST_CASE("R1: a withdrawn gauge that measured only crimps leaves depths by another gauge in place") {
    Bench b = Bench::ready();
    with_second_gauge(b);
    for (const End end : {End::a, End::b}) {
        b.press("38.00", "CAL-2");
        b.work_to(Characteristic::crimp_diameter, end);
        b.press_crimps({"25.50", "25.50", "25.50"});
        b.see(Characteristic::mark_after, MarkSeen::at_edge);
        b.yes(Characteristic::bore_pin);
    }
    const std::string serial = b.state.assemblies.begin()->first;
    REQUIRE(b.was_passed(serial));
    b.ask(WithdrawGauge{"CAL-1", "fell"}, "LEA");
    CHECK(b.ask(SettleHold{serial, Settlement::remeasure, "with the other", ""}, "LEA").empty());
    b.ask(TakeUp{serial});
    CHECK(b.next().ask != Ask::setup);
    CHECK(b.next().what == Characteristic::crimp_diameter);
    b.finish();
    CHECK(b.count<entries::AssemblyPassed>() == 2);
}

TEST_CASE("R1: two gauges that fail one after the other are both doubted until what both measured is measured again") {
    Bench b = Bench::ready();
    with_second_gauge(b);
    for (const End end : {End::a, End::b}) {
        b.work_to(Characteristic::crimp_diameter, end);
        for (int i = 0; i < 3; ++i)
            b.press("25.50", end == End::a ? "CAL-1" : "CAL-2");
        b.see(Characteristic::mark_after, MarkSeen::at_edge);
        b.yes(Characteristic::bore_pin);
    }
    const std::string serial = b.state.assemblies.begin()->first;
    REQUIRE(b.was_passed(serial));
    b.prove("CAL-1", "25.05");
    b.prove("CAL-2", "25.05");
    b.settle_ok(serial, Settlement::remeasure);
    b.prove();
    b.ask(TakeUp{serial});
    CHECK(b.next().end == End::a);
    b.work_to(Characteristic::crimp_diameter, End::a);
    b.press_crimps({"25.50", "25.50", "25.50"});
    b.see(Characteristic::mark_after, MarkSeen::at_edge);
    CHECK(b.assembly(serial).stage == Stage::in_work);
    b.work_to(Characteristic::crimp_diameter, End::b);
    b.finish();
    CHECK(b.count<entries::AssemblyPassed>() == 2);
}

TEST_CASE(
    "R1: a gauge that measured only a depth, which may stay, leaves nothing to measure: the lead's word passes it") {
    Bench b = Bench::ready();
    with_second_gauge(b);
    b.press("38.00", "CAL-2");
    b.finish();
    const std::string serial = b.state.assemblies.begin()->first;
    REQUIRE(b.was_passed(serial));
    b.prove("CAL-2", "25.05");
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    b.settle_ok(serial, Settlement::remeasure);
    CHECK(b.assembly(serial).stage == Stage::passed);
}

TEST_CASE("R7: a suspicion on top of a failed pin does not wash the pin away") {
    Bench b = Bench::ready();
    with_second_gauge(b);
    b.press("38.00", "CAL-2");
    b.work_to(Characteristic::bore_pin);
    const std::string serial = b.serial();
    b.yes(Characteristic::bore_pin, false);
    b.quarantine();
    b.prove("CAL-2", "25.05");
    REQUIRE(b.assembly(serial).hold->cause == HoldCause::suspect);
    b.settle_ok(serial, Settlement::remeasure);
    // Nothing was left to measure, and the pin still speaks against it.
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    CHECK(b.assembly(serial).hold->cause == HoldCause::failed);
    CHECK_FALSE(b.assembly(serial).hold->recrimp_possible);
}

TEST_CASE("R1: a hose that is not yet in its shell can have its depth measured again after its gauge failed") {
    Bench b = Bench::ready();
    with_second_gauge(b);
    b.press("38.00", "CAL-2");
    const std::string serial = b.serial();
    b.ask(WithdrawGauge{"CAL-2", "fell"}, "LEA");
    b.quarantine();
    CHECK(b.ask(SettleHold{serial, Settlement::remeasure, "with the other", ""}, "LEA").empty());
    b.good_setup();
    b.ask(TakeUp{serial});
    b.good_setup();
    CHECK(b.next().what == Characteristic::depth);
    b.finish();
    CHECK(b.was_passed(serial));
}

TEST_CASE("R1: readings of the set-up are doubted with their gauge, but no assembly is held for them") {
    Bench b = Bench::ready();
    b.prove("CAL-1", "25.05");
    CHECK(b.count<entries::AssemblyHeld>() == 0);
    CHECK(b.state.setups.empty());
}

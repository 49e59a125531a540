// After a stop: R5 (uncertain is never a pass), R7 (what may be crimped again), R9 (who settles), concessions.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

// A bench at the first crimp reading of end A.
Bench at_the_crimp(const SpecRow& row = bench_row()) {
    Bench b = Bench::ready(row, row);
    b.work_to(Characteristic::crimp_diameter);
    return b;
}

}  // namespace

TEST_CASE("R5: a reading between guard and limit is uncertain, is asked for once more, and then stops the end") {
    Bench b = at_the_crimp();
    // Upper limit 25.70, guard 1.65 x 0.012 = 0.0198: 25.68 conforms, 25.69 is too close to call.
    CHECK(b.press("25.69").empty());
    CHECK(b.last<entries::ReadingTaken>()->verdict == Verdict::uncertain);
    CHECK(b.last<entries::ReadingTaken>()->guard == 19'800_nm);
    CHECK(b.next().ask == Ask::again);
    CHECK(b.next().flat == 1);
    const std::string serial = b.serial();
    b.press("25.69");
    CHECK(b.count<entries::AssemblyPassed>() == 0);
    REQUIRE(b.assembly(serial).hold);
    CHECK(b.assembly(serial).hold->cause == HoldCause::uncertain);
    CHECK(b.last<entries::EndJudged>()->verdict == Verdict::uncertain);
    b.quarantine();
    CHECK(b.ask(SettleHold{serial, Settlement::recrimp, "again", ""}, "LEA") == "bench.no_recrimp");
    b.settle_ok(serial, Settlement::remeasure);
    CHECK(b.ask(TakeUp{serial}).empty());
    CHECK(b.next().what == Characteristic::crimp_diameter);
    b.finish();
    CHECK(b.was_passed(serial));
}

TEST_CASE("R5: the repeat of an uncertain reading counts, whichever way it falls") {
    Bench good = at_the_crimp();
    good.press_crimps({"25.69", "25.67"});
    CHECK(good.next().ask == Ask::measure);
    CHECK(good.next().flat == 3);
    Bench bad = at_the_crimp();
    bad.press_crimps({"25.31", "25.29"});
    REQUIRE(bad.last<entries::AssemblyHeld>() != nullptr);
    CHECK(bad.last<entries::AssemblyHeld>()->cause == HoldCause::failed);
}

TEST_CASE("R5: a better gauge settles what the caliper could not") {
    Bench b = at_the_crimp();
    b.ask(RegisterGauge{caliper("MIC-1", 1_um)}, "SET");
    b.ask(GaugeReturned{"MIC-1"}, "");
    b.prove("MIC-1");
    b.press("25.69");
    CHECK(b.next().ask == Ask::again);
    b.press("25.69", "MIC-1");  // its guard is 0.00165 mm
    CHECK(b.last<entries::ReadingTaken>()->verdict == Verdict::conforms);
    CHECK(b.next().flat == 3);
}

TEST_CASE("R5: voiding an uncertain reading wins no further tries") {
    Bench b = at_the_crimp();
    b.press("25.69");
    CHECK(b.ask(VoidLast{"slipped"}).empty());
    CHECK(b.next().ask == Ask::measure);
    b.press("25.69");
    REQUIRE(b.last<entries::AssemblyHeld>() != nullptr);
    CHECK(b.last<entries::AssemblyHeld>()->cause == HoldCause::uncertain);
}

TEST_CASE("R5: a spread that is too close to call stops the end, since no single reading can settle it") {
    Bench b = at_the_crimp();
    // Limit 0.150; guard 1.65 x sqrt(2) x 0.012 = 0.028: 0.13 is uncertain.
    b.press_crimps({"25.44", "25.50", "25.57"});
    REQUIRE(b.last<entries::AssemblyHeld>() != nullptr);
    CHECK(b.last<entries::AssemblyHeld>()->cause == HoldCause::uncertain);
    const std::string serial = b.last<entries::AssemblyHeld>()->serial;
    b.quarantine();
    b.settle_ok(serial, Settlement::remeasure);
    b.ask(TakeUp{serial});
    CHECK(b.next().what == Characteristic::crimp_diameter);
    CHECK(b.next().flat == 1);
}

TEST_CASE("R7: an oversize crimp is measured at all places, may be crimped again, and all ends are measured anew") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter, End::b);
    const std::string serial = b.serial();
    b.press("25.75");
    CHECK(b.next().ask == Ask::measure);  // another place may be undersize
    CHECK(b.next().flat == 3);
    b.press_crimps({"25.74", "25.73"});
    REQUIRE(b.last<entries::AssemblyHeld>() != nullptr);
    CHECK(b.last<entries::AssemblyHeld>()->recrimp_possible);
    CHECK(b.last<entries::AssemblyHeld>()->end == End::b);
    b.quarantine(serial);
    b.settle_ok(serial, Settlement::recrimp);
    CHECK(b.ask(TakeUp{serial}).empty());
    // End A anew from its crimp on; its depth is behind the shell and stays.
    CHECK(b.next().end == End::a);
    CHECK(b.next().what == Characteristic::crimp_diameter);
    CHECK(b.assembly(serial).at(End::a).attempt == 2);
    b.work_to(Characteristic::crimp_diameter, End::b);
    CHECK(b.assembly(serial).at(End::b).attempt == 2);
    b.finish();
    REQUIRE(b.was_passed(serial));
    CHECK(b.last<entries::AssemblyPassed>()->recrimps == 1);
    // Both attempts stay in the journal.
    std::size_t first = 0;
    std::size_t second = 0;
    for (const auto& entry : b.log)
        if (const auto* r = std::get_if<entries::ReadingTaken>(&entry.body);
            r && r->serial == serial && r->what == Characteristic::crimp_diameter)
            ++(r->attempt == 1 ? first : second);
    CHECK(first == 6);
    CHECK(second == 6);
}

TEST_CASE("R7: no more re-crimps than the row allows") {
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    b.press_crimps({"25.75", "25.75", "25.75"});
    b.quarantine();
    b.settle_ok(serial, Settlement::recrimp);
    b.ask(TakeUp{serial});
    b.press_crimps({"25.75", "25.75", "25.75"});
    CHECK_FALSE(b.last<entries::AssemblyHeld>()->recrimp_possible);
    b.quarantine();
    CHECK(b.ask(SettleHold{serial, Settlement::recrimp, "once more", ""}, "LEA") == "bench.no_recrimp");
    b.settle_ok(serial, Settlement::scrap);
    CHECK(b.assembly(serial).stage == Stage::scrapped);
}

TEST_CASE("R7: undersize, oversize beside undersize, a wrong depth, a hidden mark and a pin never lead to a re-crimp") {
    struct Case {
        const char* what;
        Characteristic at;
        std::vector<std::string> presses;
        bool mark_hidden = false;
        bool pin = false;
    };
    const std::vector<Case> cases{{"undersize", Characteristic::crimp_diameter, {"25.29"}},
                                  {"oversize, then undersize", Characteristic::crimp_diameter, {"25.71", "25.29"}},
                                  {"depth short", Characteristic::depth, {"37.40"}},
                                  {"depth long", Characteristic::depth, {"39.10"}},
                                  {"mark hidden", Characteristic::mark_after, {}, true, false},
                                  {"pin", Characteristic::bore_pin, {}, false, true}};
    for (const auto& c : cases) {
        INFO(c.what);
        Bench b = Bench::ready();
        b.work_to(c.at);
        b.press_crimps(c.presses);
        if (c.mark_hidden) b.see(Characteristic::mark_after, MarkSeen::hidden);
        if (c.pin) b.yes(Characteristic::bore_pin, false);
        const auto* held = b.last<entries::AssemblyHeld>();
        REQUIRE(held != nullptr);
        CHECK_FALSE(held->recrimp_possible);
        const std::string serial = held->serial;
        b.quarantine();
        CHECK(b.ask(SettleHold{serial, Settlement::recrimp, "try", ""}, "LEA") == "bench.no_recrimp");
        CHECK(b.assembly(serial).stage == Stage::on_hold);
    }
}

TEST_CASE("R7: what failed by sight or by pin is not measured away: re-measuring is for lengths only") {
    for (const bool pin : {true, false}) {
        Bench b = Bench::ready();
        b.work_to(pin ? Characteristic::bore_pin : Characteristic::mark_after);
        const std::string serial = b.serial();
        if (pin)
            b.yes(Characteristic::bore_pin, false);
        else
            b.see(Characteristic::mark_after, MarkSeen::gap);
        b.quarantine();
        CHECK(b.ask(SettleHold{serial, Settlement::remeasure, "look again", ""}, "LEA") == "bench.no_remeasure");
        CHECK(b.assembly(serial).stage == Stage::on_hold);
    }
    // An undersize reading may have been taken on a ridge: the whole crimp is measured again.
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    b.press_crimps({"25.50", "25.20"});
    b.quarantine();
    b.settle_ok(serial, Settlement::remeasure);
    b.ask(TakeUp{serial});
    CHECK(b.next().flat == 1);
}

TEST_CASE("R9: holds are settled by a lead who did not measure, with a reason") {
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    b.press("25.20");
    b.quarantine();
    const SettleHold scrap{serial, Settlement::scrap, "too small", ""};
    CHECK(b.ask(scrap, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(scrap, "SET") == "bench.not_a_lead");
    CHECK(b.ask(scrap, "") == "bench.nobody");
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "", ""}, "LEA") == "bench.field_empty");
    CHECK(b.ask(SettleHold{serial, Settlement::concession, "may stay", ""}, "LEA") == "bench.field_empty");
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    CHECK(b.ask(scrap, "LEA").empty());
    CHECK(b.ask(scrap, "LEA") == "bench.not_on_hold");
    CHECK(b.log.back().facts.who == "LEA");
}

TEST_CASE("R9: a lead who measured does not settle their own hold, unless the shop says so") {
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    b.ask(SignIn{}, "LEA");  // takes over the bench
    b.press("25.20");
    b.quarantine(serial);
    const SettleHold scrap{serial, Settlement::scrap, "too small", ""};
    CHECK(b.ask(scrap, "LEA") == "bench.own_hold");
    b.rules.own_hold_may_be_settled = true;
    CHECK(b.ask(scrap, "LEA").empty());
}

TEST_CASE("R1: a concession passes what was conceded and nothing else, and the pass says its reference") {
    Bench b = Bench::ready();
    b.press("37.45");  // depth short by 0.05 mm, before anything else is known
    const std::string serial = b.last<entries::AssemblyHeld>()->serial;
    b.quarantine();
    b.settle_ok(serial, Settlement::concession);
    CHECK(b.assembly(serial).stage == Stage::to_be_taken_up);
    CHECK(b.count<entries::AssemblyPassed>() == 0);
    b.ask(TakeUp{serial});
    CHECK(b.next().what == Characteristic::lubricant);
    b.work_to(Characteristic::crimp_diameter);
    // The concession for the depth is none for the crimp.
    b.press("25.20");
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    b.quarantine();
    b.settle_ok(serial, Settlement::concession, "LEB");
    b.ask(TakeUp{serial});
    CHECK(b.next().flat == 3);
    b.press_crimps({"25.32", "25.32"});
    b.finish();
    REQUIRE(b.was_passed(serial));
    CHECK(b.last<entries::AssemblyPassed>()->concession_reference == "MQ-C-5");
    // Sixteen steps were taken all the same: nothing was skipped.
    CHECK(b.assembly(serial).at(End::a).records.size() == 8);
    CHECK(b.assembly(serial).at(End::b).records.size() == 8);
}

TEST_CASE("R1: a concession for the last thing that was open lets the assembly pass at once") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::bore_pin, End::b);
    const std::string serial = b.serial();
    b.yes(Characteristic::bore_pin, false);
    b.quarantine();
    b.settle_ok(serial, Settlement::concession);
    CHECK(b.was_passed(serial));
    CHECK(b.log.back().facts.who == "LEA");
    CHECK(b.assembly(serial).concession_by == "LEA");
}

TEST_CASE("R5: an uncertain reading that was conceded is not asked for again") {
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    b.press("25.69");
    b.ask(HoldAssembly{"customer waits"});
    CHECK(b.assembly(serial).hold->cause == HoldCause::uncertain);
    b.quarantine();
    b.settle_ok(serial, Settlement::concession);
    b.ask(TakeUp{serial});
    CHECK(b.next().ask == Ask::measure);
    CHECK(b.next().flat == 3);
}

TEST_CASE("R1: after a re-crimp an old concession says nothing about the new crimp") {
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    b.press_crimps({"25.72", "25.65", "25.65"});
    b.quarantine();
    b.settle_ok(serial, Settlement::concession);
    b.ask(TakeUp{serial});
    b.work_to(Characteristic::crimp_diameter, End::b);
    b.press_crimps({"25.75", "25.75", "25.75"});
    b.quarantine();
    b.settle_ok(serial, Settlement::recrimp, "LEB");
    b.ask(TakeUp{serial});
    CHECK(b.next().end == End::a);
    b.press_crimps({"25.72", "25.65", "25.65"});
    CHECK(b.assembly(serial).stage == Stage::on_hold);
}

TEST_CASE("R1: damage that no gauge sees is put on hold by hand, and comes back only through a lead") {
    Bench b = at_the_crimp();
    const std::string serial = b.serial();
    CHECK(b.ask(HoldAssembly{""}) == "bench.field_empty");
    CHECK(b.ask(HoldAssembly{"cover cut"}).empty());
    CHECK(b.assembly(serial).hold->cause == HoldCause::person);
    CHECK(b.next().ask == Ask::quarantine);
    CHECK(b.ask(TakeUp{serial}) == "bench.quarantine_first");
    b.quarantine();
    CHECK(b.ask(TakeUp{serial}) == "bench.not_to_be_taken_up");
    b.settle_ok(serial, Settlement::remeasure);
    CHECK(b.ask(TakeUp{serial}).empty());
    CHECK(b.next().what == Characteristic::crimp_diameter);
}

TEST_CASE("R1: a passed assembly in which somebody sees damage is put on hold by its serial, and loses its tag's due") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    CHECK(b.ask(HoldAssembly{"thread damaged", "K1NOSUCH"}) == "bench.no_serial");
    CHECK(b.ask(HoldAssembly{"thread damaged", serial}).empty());
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    CHECK(tags_due(b.state).empty());
    CHECK(b.ask(HoldAssembly{"thread damaged", serial}) == "bench.on_hold_already");
    b.settle_ok(serial, Settlement::scrap);
    CHECK(b.assembly(serial).stage == Stage::scrapped);
    CHECK(b.ask(HoldAssembly{"thread damaged", serial}) == "bench.scrapped");
}

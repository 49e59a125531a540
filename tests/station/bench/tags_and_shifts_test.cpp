// R11 (a reprint says that it is one), R10 (a clock that jumped), and the shift around the work.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

std::string printing(Bench& b, const std::string& serial, std::int64_t copy, const std::string& reason = "",
                     const std::string& who = "") {
    return b.ask(RecordTag{entries::TagPrinting{serial, copy, reason, "00", serial + ".pdf", ""}}, who);
}
std::string printed(Bench& b, const std::string& serial, std::int64_t copy) {
    return b.ask(RecordTag{entries::TagPrinted{serial, copy, ""}}, "");
}

}  // namespace

TEST_CASE("R11: the tag is printed once, and every reprint has the next number, a person and a reason") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    CHECK(printing(b, serial, 1, "why") == "bench.tag_known");  // no reprint before the tag
    CHECK(printing(b, serial, 0).empty());
    CHECK(printing(b, serial, 0) == "bench.tag_in_doubt");
    CHECK(printed(b, serial, 1) == "bench.no_tag_under_way");
    CHECK(printed(b, serial, 0).empty());
    CHECK(tags_due(b.state).empty());
    CHECK(printing(b, serial, 0) == "bench.tag_known");
    CHECK(printing(b, serial, 2, "torn", "OPA") == "bench.tag_known");
    CHECK(printing(b, serial, 1, "", "OPA") == "bench.field_empty");
    CHECK(printing(b, serial, 1, "torn") == "bench.nobody");
    CHECK(printing(b, serial, 1, "torn", "OPA").empty());
    CHECK(printed(b, serial, 1).empty());
    CHECK(printing(b, serial, 2, "torn again", "LEA").empty());
    CHECK(b.log.back().facts.who == "LEA");
}

TEST_CASE("R11: a tag that a crash left in doubt is never printed again before a person has looked") {
    for (const bool found : {true, false}) {
        Bench b = Bench::ready();
        const auto serial = b.good_assembly();
        printing(b, serial, 0);
        CHECK(b.ask(RecordTag{entries::TagInDoubt{serial, 0}}, "").empty());
        CHECK(tags_due(b.state).empty());
        CHECK(printing(b, serial, 0) == "bench.tag_in_doubt");
        CHECK(b.ask(SettleTagDoubt{serial, found}, "SET") == "bench.not_an_operator");
        CHECK(b.ask(SettleTagDoubt{serial, found}).empty());
        CHECK(b.ask(SettleTagDoubt{serial, found}) == "bench.no_tag_in_doubt");
        // Not there: the same number again, since nobody holds it. There: only a reprint, by the next number.
        CHECK(printing(b, serial, 0) == (found ? "bench.tag_known" : ""));
    }
}

TEST_CASE("R1: a tag printed before a concession is out of date and is due again as a reprint") {
    for (const bool in_doubt : {false, true}) {
        Bench b = Bench::ready();
        const auto serial = b.good_assembly();
        printing(b, serial, 0);
        if (!in_doubt) printed(b, serial, 0);
        b.prove("CAL-1", "25.05");
        if (in_doubt) b.ask(RecordTag{entries::TagInDoubt{serial, 0}}, "");
        CHECK(tags_due(b.state).empty());
        b.settle_ok(serial, Settlement::concession);
        // Found only afterwards, it still is the tag of before.
        if (in_doubt) b.ask(SettleTagDoubt{serial, true});
        CHECK(tags_due(b.state) == std::vector<std::string>{serial});
        CHECK(printing(b, serial, 1).empty());
        printed(b, serial, 1);
        CHECK(tags_due(b.state).empty());
    }
}

TEST_CASE("R1: a tag with readings of a gauge that then failed is out of date once the part was measured anew") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    printing(b, serial, 0);
    printed(b, serial, 0);
    b.prove("CAL-1", "25.05");
    b.settle_ok(serial, Settlement::remeasure);
    b.prove();
    b.ask(TakeUp{serial});
    b.finish();
    REQUIRE(b.assembly(serial).stage == Stage::passed);
    CHECK(tags_due(b.state) == std::vector<std::string>{serial});
}

TEST_CASE("R10: a clock that went back stops the line until a lead says that it is right") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    b.now.utc_ms -= 3600'000;
    CHECK(b.press("25.50") == "bench.clock_in_doubt");
    REQUIRE(b.last<entries::ClockStepped>() != nullptr);
    CHECK(b.last<entries::ClockStepped>()->stops_line);
    CHECK(b.next().ask == Ask::clock);
    CHECK(b.ask(HoldAssembly{"odd"}) == "bench.clock_in_doubt");
    CHECK(b.ask(AcceptClock{}, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(AcceptClock{}, "LEA").empty());
    CHECK(b.ask(AcceptClock{}, "LEA") == "bench.clock_not_in_doubt");
    // A proof that was good for four hours by the old clock would now be good for five.
    CHECK(b.next().ask == Ask::proof);
    CHECK(b.press("25.50") == "bench.gauge_not_proved");
    b.prove();
    CHECK(b.next().what == Characteristic::crimp_diameter);
}

TEST_CASE("R10: what the clock may drift by is no step, a jump forward is told, and a jump back stops the line") {
    Bench b = Bench::ready();
    b.now.utc_ms -= 3000;  // a second passes at each command: 2000 ms back in all
    CHECK(b.press("38.00").empty());
    CHECK(b.count<entries::ClockStepped>() == 0);
    b.run(ClockMoved{1000, 2900}, "");
    CHECK(b.count<entries::ClockStepped>() == 0);
    b.run(ClockMoved{1000, 9000}, "");
    CHECK_FALSE(b.last<entries::ClockStepped>()->stops_line);
    CHECK(b.next().ask == Ask::confirm);
    b.run(ClockMoved{9000, 1000}, "");
    CHECK(b.last<entries::ClockStepped>()->stops_line);
    CHECK(b.next().ask == Ask::clock);
}

TEST_CASE("R1: every gauge proves itself before its first reading of a shift, and again at the shift's end") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    CHECK(b.ask(EndShift{}) == "bench.prove_at_end");
    CHECK(b.refusal->detail("gauge") == "CAL-1");
    b.prove();
    CHECK(b.ask(EndShift{}).empty());
    CHECK(b.assembly(serial).stage == Stage::passed);
    CHECK(b.next().ask == Ask::shift);
    CHECK(b.ask(StartShift{}).empty());
    CHECK(b.last<entries::ShiftStarted>()->shift == "2026-11-25/2");
    CHECK(b.next().ask == Ask::proof);
}

TEST_CASE("R1: a gauge that fails at the end of a shift holds what the shift measured with it") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    b.prove("CAL-1", "24.95");
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    CHECK(b.ask(EndShift{}).empty());
}

TEST_CASE("R10: a shift does not end over an assembly in work or a stopped part that lies about") {
    Bench b = Bench::ready();
    b.press("38.00");
    CHECK(b.ask(EndShift{}) == "bench.assembly_in_work");
    b.ask(HoldAssembly{"put aside"});
    CHECK(b.ask(EndShift{}) == "bench.quarantine_first");
    CHECK(b.ask(PutInQuarantine{"K1000000X"}) == "bench.not_stopped");
    b.quarantine();
    b.prove();
    CHECK(b.ask(EndShift{}).empty());
}

TEST_CASE("R9: at a change of shift the next operator takes over the assembly in work, each entry under its own name") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    const std::string serial = b.serial();
    CHECK(b.ask(SignIn{}, "OPB").empty());
    CHECK(b.last<entries::SignedOut>()->person == "OPA");
    CHECK(b.see(Characteristic::mark_after, MarkSeen::at_edge, "OPA") == "bench.not_signed_in");
    b.press("25.50");
    CHECK(b.log.back().facts.who == "OPB");
    b.finish();
    CHECK(b.was_passed(serial));
    CHECK(b.assembly(serial).measured_by == std::set<std::string>{"OPA", "OPB"});
    CHECK(b.assembly(serial).passed_by == "OPB");
}

TEST_CASE("R9: who is not an operator does not sign in at the bench, and nobody acts without a name") {
    Bench b = Bench::set_up();
    CHECK(b.ask(SignIn{}, "SET") == "bench.not_an_operator");
    CHECK(b.ask(SignIn{}, "NOBODY") == "bench.nobody");
    CHECK(b.ask(StartShift{}, "OPA") == "bench.not_signed_in");
    CHECK(b.ask(AddPerson{"X", "X", Role::lead, "h"}, "LEA") == "bench.not_a_setter");
    CHECK(b.ask(AddPerson{"OPA", "Other", Role::lead, "h"}, "SET") == "bench.person_known");
    Bench empty;
    CHECK(empty.ask(AddPerson{"X", "X", Role::lead, "h"}, "") == "bench.first_person_sets_up");
}

TEST_CASE(
    "an order asks for no more than its quantity, a scrapped assembly frees its place, and numbers never repeat") {
    Bench b = Bench::ready();
    const auto first = b.good_assembly();
    b.press("20.00");
    const std::string scrapped = b.state.stopped;
    b.quarantine();
    const auto third = b.good_assembly();
    CHECK(b.next().ask == Ask::order_done);  // three begun: two passed, one on hold
    CHECK(b.press("38.00") == "bench.order_done");
    b.settle_ok(scrapped, Settlement::scrap);
    CHECK(b.next().begins);
    const auto fourth = b.good_assembly();
    CHECK(b.next().ask == Ask::order_done);
    CHECK(b.state.orders.at("A-100").complete());
    CHECK(b.state.orders.at("A-100").scrapped == 1);
    CHECK(b.ask(TakeOrder{"A-100"}) == "bench.order_complete");
    CHECK(b.assembly(first).number == 1);
    CHECK(b.assembly(third).number == 3);
    CHECK(b.assembly(fourth).number == 4);
    CHECK(std::set<std::string>{first, scrapped, third, fourth}.size() == 4);
}

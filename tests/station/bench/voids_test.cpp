// R3: a mistake is voided by a further entry that says who and why; the first stays readable.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

TEST_CASE("R3: voiding a reading is an entry of its own, and the reading is taken anew") {
    Bench b = Bench::ready();
    b.press("38.20");
    const auto taken_seq = b.log.back().facts.seq;
    CHECK(b.ask(VoidLast{""}) == "bench.field_empty");
    CHECK(b.ask(VoidLast{"held askew"}).empty());
    const auto* voided = b.last<entries::ReadingVoided>();
    REQUIRE(voided != nullptr);
    CHECK(voided->voided_seq == taken_seq);
    CHECK(voided->reason == "held askew");
    CHECK(voided->what == Characteristic::depth);
    CHECK(b.log.back().facts.who == "OPA");
    CHECK(b.last<entries::ReadingTaken>()->value == 38'200_um);  // still there
    CHECK(b.next().what == Characteristic::depth);
    CHECK(b.ask(VoidLast{"again"}) == "bench.nothing_to_void");
    b.finish();
    CHECK(b.count<entries::AssemblyPassed>() == 1);
}

TEST_CASE("R3: a confirmation can be voided like a reading") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::mark_before);
    CHECK(b.ask(VoidLast{"had none at hand"}).empty());
    CHECK(b.next().what == Characteristic::lubricant);
}

TEST_CASE("R9: a failing reading is voided only by a lead who did not take it") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    b.press("25.75");  // oversize: the other places come first, so the end is still in work
    CHECK(b.ask(VoidLast{"on a ridge"}, "OPA") == "bench.void_needs_lead");
    CHECK(b.ask(VoidLast{"on a ridge"}, "OPB") == "bench.void_needs_lead");
    CHECK(b.ask(VoidLast{"on a ridge"}, "LEA").empty());
    CHECK(b.next().flat == 1);
    b.ask(SignIn{}, "LEA");
    b.press("25.75");
    CHECK(b.ask(VoidLast{"on a ridge"}, "LEA") == "bench.own_reading");
    CHECK(b.ask(VoidLast{"on a ridge"}, "LEB").empty());
}

TEST_CASE("R9: somebody who is not at the bench voids nothing of it, unless they are a lead") {
    Bench b = Bench::ready();
    b.press("38.20");
    CHECK(b.ask(VoidLast{"no"}, "OPB") == "bench.not_signed_in");
    CHECK(b.ask(VoidLast{"no"}, "SET") == "bench.not_an_operator");
    CHECK(b.ask(VoidLast{"askew"}, "LEB").empty());
}

TEST_CASE("R1: while the bench waits for something else, a void never reaches back into a finished end") {
    // End A is done and end B begun when the proof runs out, the operator signs out, or the gauge goes.
    for (const int blocked : {0, 1, 2}) {
        INFO(blocked);
        Bench b = Bench::ready();
        b.work_to(Characteristic::lubricant, End::b);
        const std::string serial = b.serial();
        if (blocked == 0) b.now.utc_ms += b.rules.proof_interval_ms;
        if (blocked == 1) b.ask(SignOut{});
        if (blocked == 2) b.run(GaugeGone{"CAL-1", message("port.gone")}, "");
        CHECK(b.ask(VoidLast{"askew"}, "LEA").empty());
        CHECK(b.last<entries::ReadingVoided>()->end == End::b);
        CHECK(b.last<entries::ReadingVoided>()->what == Characteristic::depth);
        CHECK(b.ask(VoidLast{"and that"}, "LEA") == "bench.nothing_to_void");
        CHECK(b.assembly(serial).at(End::a).records.size() == 8);
    }
}

TEST_CASE("R3: a set-up reading can be voided while the set-up piece is measured") {
    Bench b = Bench::ready();
    b.ask(ConfirmLots{"H-2", "FA-1", "FB-1"});
    CHECK(b.next().ask == Ask::setup);
    CHECK(b.ask(VoidLast{"askew"}) == "bench.nothing_to_void");
    b.press("25.90");
    CHECK(b.next().flat == 3);
    CHECK(b.ask(VoidLast{"askew"}).empty());
    CHECK(b.last<entries::ReadingVoided>()->serial.empty());
    CHECK(b.next().flat == 1);
    b.good_setup();
    CHECK(b.last<entries::SetupJudged>()->passed);
    CHECK(b.last<entries::SetupJudged>()->readings.size() == 3);
}

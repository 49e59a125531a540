// R1: nothing passes unless everything that its rows ask for was measured, with a gauge that may be believed.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

entries::TagPrinting tag(const std::string& serial, std::int64_t copy = 0) {
    return {serial, copy, copy > 0 ? "torn off" : "", "00", serial + ".pdf", ""};
}

// Everything that both rows of the tests' assembly ask for, in the order of the work.
std::vector<NextStep> steps_of_an_assembly() {
    Bench b = Bench::ready();
    std::vector<NextStep> steps;
    do {
        steps.push_back(b.next());
        b.good_step();
    } while (!b.state.current.empty());
    return steps;
}

}  // namespace

TEST_CASE("R1: an assembly passes when everything at both ends was measured and conforms") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    CHECK(b.assembly(serial).stage == Stage::passed);
    REQUIRE(b.last<entries::AssemblyPassed>() != nullptr);
    CHECK(b.last<entries::AssemblyPassed>()->concession_reference.empty());
    CHECK(b.count<entries::EndJudged>() == 2);
    CHECK(tags_due(b.state) == std::vector<std::string>{serial});
    CHECK(b.ask(RecordTag{tag(serial)}, "").empty());
}

TEST_CASE("R1: with the work broken off before any one step, nothing passes and no tag may be printed") {
    const auto steps = steps_of_an_assembly();
    REQUIRE(steps.size() == 16);  // depth, lubricant, mark, three flats, mark, pin: at two ends
    for (std::size_t stop = 1; stop < steps.size(); ++stop) {
        Bench b = Bench::ready();
        for (std::size_t i = 0; i < stop; ++i)
            b.good_step();
        const std::string serial = b.serial();
        INFO("stopped before step " << stop << " of " << steps.size());
        REQUIRE(!serial.empty());
        CHECK(b.count<entries::AssemblyPassed>() == 0);
        CHECK(tags_due(b.state).empty());
        CHECK(b.ask(RecordTag{tag(serial)}, "") == "bench.no_tag");
        // And no other answer takes the missing one's place.
        CHECK(b.next().what == steps[stop].what);
        CHECK(b.next().end == steps[stop].end);
    }
}

TEST_CASE("R1: each characteristic is asked for in the order of the work, end A before end B") {
    const auto steps = steps_of_an_assembly();
    const std::vector<Characteristic> of_an_end{Characteristic::depth,          Characteristic::lubricant,
                                                Characteristic::mark_before,    Characteristic::crimp_diameter,
                                                Characteristic::crimp_diameter, Characteristic::crimp_diameter,
                                                Characteristic::mark_after,     Characteristic::bore_pin};
    for (std::size_t i = 0; i < steps.size(); ++i) {
        CHECK(steps[i].what == of_an_end[i % 8]);
        CHECK(steps[i].end == (i < 8 ? End::a : End::b));
    }
    CHECK(steps[3].flat == 1);
    CHECK(steps[4].flat == 3);
    CHECK(steps[5].flat == 4);
}

TEST_CASE("R1: each single characteristic that does not conform keeps the tag back") {
    const auto steps = steps_of_an_assembly();
    for (std::size_t bad = 0; bad < steps.size(); ++bad) {
        Bench b = Bench::ready();
        for (std::size_t i = 0; i < bad; ++i)
            b.good_step();
        const auto step = b.next();
        INFO("step " << bad);
        if (step.ask == Ask::measure)
            b.press("20.00");
        else if (step.what == Characteristic::lubricant || step.what == Characteristic::bore_pin)
            b.yes(step.what, false);
        else
            b.see(step.what, MarkSeen::gap);
        const auto* held = b.last<entries::AssemblyHeld>();
        REQUIRE(held != nullptr);
        CHECK(held->cause == HoldCause::failed);
        CHECK(held->end == step.end);
        CHECK(b.assembly(held->serial).stage == Stage::on_hold);
        CHECK(b.count<entries::AssemblyPassed>() == 0);
        CHECK(tags_due(b.state).empty());
        CHECK(b.ask(RecordTag{tag(held->serial)}, "") == "bench.no_tag");
        CHECK(b.next().ask == Ask::quarantine);
    }
}

TEST_CASE("R1: a row without lubricant and without a bore pin asks for neither, and passes without them") {
    auto row = bench_row();
    row.lubricant.clear();
    row.bore_pin.reset();
    Bench b = Bench::ready(row, row);
    const auto serial = b.good_assembly();
    CHECK(b.was_passed(serial));
    for (const auto& entry : b.log)
        if (const auto* c = std::get_if<entries::StepConfirmed>(&entry.body))
            CHECK((c->what == Characteristic::mark_before || c->what == Characteristic::mark_after));
}

TEST_CASE("R1: a skived row asks for both skive lengths first, and a wrong one stops the end") {
    auto row = bench_row();
    row.skive = Skive::inner_and_outer;
    row.skive_outer = Toleranced{40'000_um, 1'000_um, 1'000_um};
    row.skive_inner = Toleranced{12'000_um, 500_um, 500_um};
    Bench b = Bench::ready(row, row);
    CHECK(b.next().what == Characteristic::skive_outer);
    b.press("40.00");
    CHECK(b.next().what == Characteristic::skive_inner);
    b.press("12.00");
    CHECK(b.next().what == Characteristic::depth);
    b.finish();
    CHECK(b.count<entries::AssemblyPassed>() == 1);
    b.press("40.00");
    b.press("12.60");
    REQUIRE(b.last<entries::AssemblyHeld>() != nullptr);
    CHECK(b.last<entries::EndJudged>()->findings.back().what == Characteristic::skive_inner);
}

TEST_CASE("R1: a mark that the row wants measured is judged as a length, and one hidden in the shell fails") {
    auto row = bench_row();
    row.mark_check = MarkCheck::measured;
    Bench b = Bench::ready(row, row);
    b.work_to(Characteristic::mark_before);
    CHECK(b.next().ask == Ask::measure);
    REQUIRE(b.next().band);
    CHECK(b.next().band->upper == 1'000_um);
    CHECK(b.see(Characteristic::mark_before, MarkSeen::at_edge) == "bench.not_asked");
    b.press("0.90");
    CHECK(b.next().what == Characteristic::crimp_diameter);
    b.work_to(Characteristic::mark_after);
    CHECK(b.see(Characteristic::mark_after, MarkSeen::hidden).empty());
    REQUIRE(b.last<entries::AssemblyHeld>() != nullptr);
    CHECK(b.last<entries::AssemblyHeld>()->recrimp_possible == false);
}

TEST_CASE("R1: two ends of different rows are each judged by their own, and ask for their own die set and set-up") {
    auto row_b = bench_row("NH-2SN-08-ELBOW");
    row_b.die_set = "D-28";
    row_b.crimper = "C-2";
    row_b.crimp = {27'500_um, 150_um, 150_um};
    row_b.flats = {2, 4};
    row_b.lubricant.clear();
    Bench b = Bench::ready(bench_row(), row_b);
    b.work_to(Characteristic::bore_pin, End::a);
    CHECK(b.yes(Characteristic::bore_pin).empty());
    CHECK(b.next().ask == Ask::die);
    CHECK(b.press("38.00") == "bench.die_first");
    CHECK(b.ask(ConfirmDie{"D-26", "C-1", "4.2"}) == "bench.wrong_die");
    CHECK(b.ask(ConfirmDie{"D-28", "C-2", "3.9"}).empty());
    CHECK(b.next().ask == Ask::setup);
    CHECK(b.next().band == middle_half(row_b.crimp.band()));
    b.good_setup();
    CHECK(b.next().what == Characteristic::depth);
    CHECK(b.next().end == End::b);
    b.work_to(Characteristic::crimp_diameter, End::b);
    CHECK(b.next().band == row_b.crimp.band());
    CHECK(b.next().flat == 2);
    b.finish();
    CHECK(b.count<entries::AssemblyPassed>() == 1);
    // The other crimper keeps its die set: the second assembly needs no further set-up.
    const auto setups = b.count<entries::SetupJudged>();
    CHECK(!b.good_assembly().empty());
    CHECK(b.count<entries::SetupJudged>() == setups);
    CHECK(b.count<entries::AssemblyPassed>() == 2);
}

TEST_CASE("R4: a reading on the limit is inside it where the shop accepts simply, and one step beyond is not") {
    auto row = bench_row();
    row.rule = {RuleKind::simple, 0};
    row.spread_limit = 400_um;
    for (const char* on_limit : {"25.30", "25.70"}) {
        Bench b = Bench::ready(row, row);
        b.work_to(Characteristic::crimp_diameter);
        b.press(on_limit);
        CHECK(b.last<entries::ReadingTaken>()->verdict == Verdict::conforms);
        CHECK(b.count<entries::AssemblyHeld>() == 0);
    }
    for (const char* beyond : {"25.29", "25.71"}) {
        Bench b = Bench::ready(row, row);
        b.work_to(Characteristic::crimp_diameter);
        b.press(beyond);
        CHECK(b.last<entries::ReadingTaken>()->verdict == Verdict::fails);
    }
}

TEST_CASE("R6: an assembly keeps the row that it was begun with, whatever table comes later") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    auto newer = bench_row();
    newer.revision = "2";
    newer.crimp = {26'500_um, 200_um, 200_um};
    CHECK(b.adopt({newer}).empty());
    b.press_crimps({"25.50", "25.50", "25.50"});
    CHECK(b.count<entries::AssemblyHeld>() == 0);
    CHECK(b.last<entries::ReadingTaken>()->upper == 25'700_um);
    b.finish();
    REQUIRE(b.count<entries::AssemblyPassed>() == 1);
    const auto& kept = b.state.assemblies.begin()->second.started;
    CHECK(kept.row_a == bench_row());
    CHECK(kept.row_b == bench_row());
    // The next one is made to the new revision, after a set-up piece of its own.
    CHECK(b.next().ask == Ask::setup);
    CHECK(b.next().band == middle_half(newer.crimp.band()));
}

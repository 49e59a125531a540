// The drift watch at the bench: it asks for a new set-up piece and decides no pass.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

// An order long enough to drift in.
Bench long_order() {
    Bench b = Bench::set_up();
    auto order = bench_order("A-900");
    order.quantity = 60;
    b.ask(OpenOrder{order}, "SET");
    b.ask(SignIn{});
    b.ask(StartShift{});
    b.prove();
    b.ask(TakeOrder{"A-900"});
    b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"});
    while (b.next().ask == Ask::die || b.next().ask == Ask::setup)
        if (!b.good_step()) break;
    return b;
}

// One end whose three places are these, all else good. False when the bench asks for a set-up piece instead.
bool crimp_end(Bench& b, const std::vector<std::string>& mm) {
    for (;;) {
        const auto step = b.next();
        if (step.ask == Ask::setup) return false;
        if (step.ask == Ask::measure && step.what == Characteristic::crimp_diameter) break;
        if (!b.good_step()) throw std::logic_error("the bench stands: " + dump(step));
    }
    b.press_crimps(mm);
    // What follows the crimp at this end: mark and bore pin.
    while (b.next().ask == Ask::confirm && b.next().what != Characteristic::lubricant && b.good_step()) {
    }
    return true;
}

// Ends that conform, each of them (band 25.30 to 25.70, acceptance up to 25.68), but lie wide and scatter, until the
// bench asks for a set-up piece; how many it took, or `most`. Their means are 25.56 and 25.64 in turn: level 25.60,
// sigma 0.08 / 1.128 = 0.071, so that one reading in eight is to be expected beyond 25.68.
int drift(Bench& b, int most) {
    for (int i = 0; i < most; ++i) {
        const std::string mm = i % 2 == 0 ? "25.56" : "25.64";
        if (!crimp_end(b, {mm, mm, mm})) return i;
    }
    return most;
}

// Ends that stay where they are.
bool steady(Bench& b, int ends) {
    for (int i = 0; i < ends; ++i)
        if (!crimp_end(b, {i % 2 == 0 ? "25.49" : "25.50", i % 3 == 0 ? "25.51" : "25.50", "25.50"})) return false;
    return true;
}

}  // namespace

TEST_CASE(
    "R1: a set-up that drifts is asked for a new set-up piece before the next crimp, while its parts still pass") {
    Bench b = long_order();
    const int made = drift(b, 20);
    REQUIRE(made == 8);  // a share means nothing before eight ends
    CHECK(b.next().ask == Ask::setup);
    CHECK(b.count<entries::DriftWarned>() == 1);
    // Nothing failed: the watch asked for care and decided no pass.
    CHECK(b.count<entries::AssemblyHeld>() == 0);
    const auto& warned = *b.last<entries::DriftWarned>();
    CHECK(warned.spec_id == "NH-2SN-08");
    CHECK(warned.hose_lot == "H-1");
    CHECK(warned.points == made);
    CHECK(warned.correction < Length{});  // too wide: close
    CHECK((warned.level + warned.correction - 25'500_um).abs() <= Length::from_nm(1));
    CHECK(warned.signals.empty());  // no limits before twenty ends
    CHECK(warned.share_limit_ppm == 10'000);
    CHECK(warned.share_ppm > 50'000);
    // The station says it, not the operator.
    for (const auto& entry : b.log)
        if (std::holds_alternative<entries::DriftWarned>(entry.body)) CHECK(entry.facts.who.empty());
}

TEST_CASE("a drift is warned of once, and no reading counts as a crimp until the set-up piece sits well") {
    Bench b = long_order();
    drift(b, 20);
    REQUIRE(b.next().ask == Ask::setup);
    const auto ends = b.count<entries::EndJudged>();
    b.press_crimps({"25.65", "25.65", "25.65"});  // outside the middle half
    CHECK_FALSE(b.last<entries::SetupJudged>()->passed);
    CHECK(b.next().ask == Ask::setup);
    CHECK(b.count<entries::EndJudged>() == ends);
    CHECK(b.count<entries::DriftWarned>() == 1);
    b.good_setup();
    CHECK(b.last<entries::SetupJudged>()->passed);
    CHECK(b.state.drifted.empty());
    CHECK(b.next().ask != Ask::setup);
    // The chart begins anew: what drifted before is not held against the new setting.
    REQUIRE(steady(b, 10));
    CHECK(b.count<entries::DriftWarned>() == 1);
    CHECK(drift(b, 20) < 20);
    CHECK(b.count<entries::DriftWarned>() == 2);
}

TEST_CASE("R1: a diameter that grows a caliper's step an end, 25.50 to 25.69 in twenty, is warned of at the sixth") {
    Bench b = long_order();
    int made = 0;
    for (; made < 20; ++made) {
        const std::string mm = "25." + std::to_string(50 + made);
        if (!crimp_end(b, {mm, mm, mm})) break;
    }
    REQUIRE(made == 6);  // 25.55: a reading conforms up to 25.68
    CHECK(b.next().ask == Ask::setup);
    CHECK(b.count<entries::AssemblyHeld>() == 0);
    REQUIRE(b.count<entries::DriftWarned>() == 1);
    const auto& warned = *b.last<entries::DriftWarned>();
    REQUIRE(warned.signals.size() == 1);
    CHECK(warned.signals[0].rule == "six_steadily_moving");
    CHECK(warned.signals[0].seqs.size() == 6);
    CHECK(warned.share_ppm == 0);
    // Of each step of 0.01 a fifth from the first end on: 25.5231072.
    CHECK(warned.level == Length::from_nm(25'523'107));
    CHECK(warned.correction == Length::from_nm(-23'107));
}

TEST_CASE("equal ends in between are no steady move, and a lead who chose other rules is not asked by this one") {
    Bench b = long_order();
    for (const char* mm : {"25.45", "25.46", "25.47", "25.48", "25.48", "25.49", "25.50", "25.51", "25.51", "25.52"})
        REQUIRE(crimp_end(b, {mm, mm, mm}));
    CHECK(b.count<entries::DriftWarned>() == 0);
    Bench other = long_order();
    entries::WatchSet watch;
    watch.rules = {"beyond_three_sigma", "nine_on_one_side"};
    REQUIRE(other.ask(SetWatch{watch}, "LEA").empty());
    for (int i = 0; i < 10; ++i) {
        const std::string mm = "25." + std::to_string(45 + i);
        REQUIRE(crimp_end(other, {mm, mm, mm}));
    }
    CHECK(other.count<entries::DriftWarned>() == 0);
}

TEST_CASE("from the twenty-first end on one that lies off the others is a signal, named with its entry") {
    Bench b = long_order();
    REQUIRE(steady(b, 20));
    REQUIRE(crimp_end(b, {"25.55", "25.55", "25.55"}));
    REQUIRE(b.count<entries::DriftWarned>() == 1);
    const auto& warned = *b.last<entries::DriftWarned>();
    REQUIRE(warned.signals.size() == 1);
    CHECK(warned.signals[0].rule == "beyond_three_sigma");
    std::int64_t judged = 0;
    for (const auto& entry : b.log)
        if (std::holds_alternative<entries::EndJudged>(entry.body)) judged = entry.facts.seq;
    CHECK(warned.signals[0].seqs == std::vector<std::int64_t>{judged});
    CHECK(b.count<entries::AssemblyHeld>() == 0);
}

TEST_CASE("a set-up that stays where it is is left alone, and one end that lies off alone is no drift before eight") {
    Bench b = long_order();
    CHECK(steady(b, 40));
    CHECK(b.count<entries::DriftWarned>() == 0);
    Bench few = long_order();
    REQUIRE(steady(few, 4));
    CHECK(crimp_end(few, {"25.64", "25.64", "25.64"}));
    CHECK(few.count<entries::DriftWarned>() == 0);
}

TEST_CASE(
    "the watch switched off says nothing, and a lead or setter who switches it on has it watch from the next end") {
    Bench b = long_order();
    entries::WatchSet off;
    off.on = false;
    CHECK(b.ask(SetWatch{off}, "OPA") == "bench.not_a_lead_or_setter");
    REQUIRE(b.ask(SetWatch{off}, "SET").empty());
    CHECK(drift(b, 14) == 14);
    CHECK(b.count<entries::DriftWarned>() == 0);
    REQUIRE(b.ask(SetWatch{entries::WatchSet{}}, "LEA").empty());
    CHECK(b.next().ask != Ask::setup);  // switching it on stops nothing by itself
    REQUIRE(crimp_end(b, {"25.64", "25.64", "25.64"}));
    CHECK(b.count<entries::DriftWarned>() == 1);
}

TEST_CASE("the drift watch is set within its bounds and by names of rules that there are") {
    Bench b = Bench::set_up();
    const auto with = [](auto change) {
        entries::WatchSet watch;
        change(watch);
        return SetWatch{watch};
    };
    CHECK(b.ask(with([](auto& w) { w.points = 19; }), "LEA") == "bench.out_of_range");
    CHECK(b.ask(with([](auto& w) { w.points = 51; }), "LEA") == "bench.out_of_range");
    CHECK(b.ask(with([](auto& w) { w.points = 50; }), "LEA").empty());
    CHECK(b.ask(with([](auto& w) { w.weight_permille = 49; }), "LEA") == "bench.out_of_range");
    CHECK(b.ask(with([](auto& w) { w.share_ppm = 99; }), "LEA") == "bench.out_of_range");
    CHECK(b.ask(with([](auto& w) { w.rules = {"tuesdays"}; }), "LEA") == "bench.no_run_rule");
    CHECK(b.ask(with([](auto& w) { w.rules = {}; }), "SET").empty());
}

TEST_CASE("R2: the fold of a journal with a drift in it leads to the same bench") {
    Bench b = long_order();
    drift(b, 20);
    REQUIRE(b.count<entries::DriftWarned>() == 1);
    CHECK(dump(b.refolded()) == dump(b.state));
    b.good_setup();
    CHECK(dump(b.refolded()) == dump(b.state));
}

// A gauge study at the bench: turns drawn at random, each by its own person, with the study's own proved gauge; and
// what comes of it only with the approval of somebody who did not measure.
#include <set>

#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

entries::StudyPlanned plan_of(StudyKind kind = StudyKind::repeatability) {
    entries::StudyPlanned plan;
    plan.kind = kind;
    plan.gauge = "CAL-1";
    plan.pieces = {{"P1", {}}, {"P2", {}}, {"P3", {}}};
    plan.people = {"OPA", "OPB"};
    plan.trials = 2;
    plan.lower = 25'300_um;
    plan.upper = 25'700_um;
    plan.seed = "00000000000000c5";
    return plan;
}

// CAL-1 proved, OPA signed in, the study at the bench. No shift is running: a study is no part of one.
Bench at_study() {
    Bench b = Bench::set_up();
    b.ask(PlanStudy{plan_of()}, "LEA");
    b.ask(SignIn{}, "OPA");
    b.ask(BeginStudy{"GS-1"}, "OPA");
    b.prove();
    return b;
}

void take_turn(Bench& b, const std::string& mm = "25.50") {
    const auto step = b.next();
    if (b.state.person != step.person) b.ask(SignIn{}, step.person);
    b.press(mm);
}

}  // namespace

TEST_CASE("everybody measures every piece as often as planned, in an order that the seed alone decides") {
    Bench b = Bench::set_up();
    REQUIRE(b.ask(PlanStudy{plan_of()}, "LEA").empty());
    const auto turns = b.state.studies.at("GS-1").plan.turns;
    REQUIRE(turns.size() == 12);
    std::set<std::string> different;
    for (const auto& turn : turns)
        different.insert(turn.person + turn.piece + std::to_string(turn.trial));
    CHECK(different.size() == 12);
    // Round by round: nobody meets a piece again before everybody has had it.
    for (std::size_t i = 0; i < 12; ++i)
        CHECK(turns[i].trial == (i < 6 ? 1 : 2));
    REQUIRE(b.ask(PlanStudy{plan_of()}, "LEA").empty());
    CHECK(b.state.studies.at("GS-2").plan.turns == turns);
    auto other = plan_of();
    other.seed = "00000000000000c6";
    REQUIRE(b.ask(PlanStudy{other}, "LEA").empty());
    CHECK(b.state.studies.at("GS-3").plan.turns != turns);
}

TEST_CASE("a study that cannot say anything is refused by name") {
    Bench b = Bench::set_up();
    const auto code = [&](entries::StudyPlanned plan, const char* who = "LEA") { return b.ask(PlanStudy{plan}, who); };
    CHECK(code(plan_of(), "OPA") == "bench.not_a_lead");
    auto plan = plan_of();
    plan.gauge = "CAL-9";
    CHECK(code(plan) == "bench.no_gauge");
    plan = plan_of();
    plan.people = {"OPA"};
    CHECK(code(plan) == "bench.study_too_small");
    plan = plan_of();
    plan.trials = 1;
    CHECK(code(plan) == "bench.study_too_small");
    plan = plan_of();
    plan.pieces.push_back({"P1", {}});
    CHECK(code(plan) == "bench.study_piece_twice");
    plan = plan_of(StudyKind::type1);
    plan.pieces = {{"RING-25", 25'000_um}};
    plan.trials = 24;
    CHECK(code(plan) == "bench.study_too_small");
    plan.trials = 25;
    CHECK(code(plan).empty());
    plan.pieces = {{"RING-25", {}}};
    CHECK(code(plan) == "bench.study_piece_size");
    plan = plan_of();
    plan.people = {"OPA", "NOBODY"};
    CHECK(code(plan) == "bench.no_person");
    plan = plan_of();
    plan.seed = "chance";
    CHECK_FALSE(code(plan).empty());
}

TEST_CASE("R1: a study's readings count only with its own gauge, proved, and by whoever's turn it is (R9)") {
    Bench b = Bench::set_up();
    b.ask(RegisterGauge{caliper("CAL-2")}, "SET");
    b.ask(GaugeReturned{"CAL-2"}, "");
    b.ask(PlanStudy{plan_of()}, "LEA");
    b.ask(SignIn{}, "OPA");
    REQUIRE(b.ask(BeginStudy{"GS-1"}).empty());
    CHECK(b.next().ask == Ask::proof);
    CHECK(b.press("25.50") == "bench.gauge_not_proved");
    b.prove("CAL-2");
    CHECK(b.next().ask == Ask::proof);  // another gauge's proof does not do
    b.prove();
    REQUIRE(b.next().ask == Ask::study);
    CHECK(b.press("25.50", "CAL-2") == "bench.other_gauge_in_study");
    const auto whose = b.next().person;
    const std::string other = whose == "OPA" ? "OPB" : "OPA";
    b.ask(SignIn{}, other);
    CHECK(b.press("25.50") == "bench.study_other_person");
    b.ask(SignIn{}, whose);
    CHECK(b.press("25.50").empty());
    CHECK(b.count<entries::StudyMeasured>() == 1);
    CHECK(b.last<entries::StudyMeasured>()->piece == b.state.studies.at("GS-1").plan.turns[0].piece);
    CHECK_FALSE(b.last<entries::StudyMeasured>()->raw_hex.empty());
}

TEST_CASE("a slip is taken back by whoever made it, with a reason, and that turn is measured again") {
    Bench b = at_study();
    take_turn(b);
    take_turn(b, "25.99");
    const auto turn = b.last<entries::StudyMeasured>()->turn;
    const auto who = b.state.person;
    CHECK(b.ask(VoidTurn{""}, who) == "bench.field_empty");
    CHECK(b.ask(VoidTurn{"slipped off the flat"}, who).empty());
    CHECK(b.next().turn == turn);
    take_turn(b);
    b.ask(SignIn{}, who == "OPA" ? "OPB" : "OPA");
    CHECK(b.ask(VoidTurn{"not mine"}, b.state.person) == "bench.study_not_yours");
}

TEST_CASE("a study pauses for work and goes on where it was; complete, it gives the bench back") {
    Bench b = at_study();
    for (int i = 0; i < 5; ++i)
        take_turn(b);
    REQUIRE(b.ask(LeaveStudy{}, b.state.person).empty());
    CHECK(b.next().ask == Ask::shift);
    REQUIRE(b.ask(BeginStudy{"GS-1"}, b.state.person).empty());
    CHECK(b.next().turn == 6);
    for (int i = 5; i < 12; ++i)
        take_turn(b);
    CHECK(b.state.study.empty());
    CHECK(b.state.studies.at("GS-1").complete());
    CHECK(b.ask(BeginStudy{"GS-1"}, b.state.person) == "bench.study_complete");
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE("no study begins while an assembly is in work") {
    Bench b = Bench::ready();
    b.ask(PlanStudy{plan_of()}, "LEA");
    b.good_step();
    CHECK(b.ask(BeginStudy{"GS-1"}) == "bench.assembly_in_work");
}

TEST_CASE("R9: a gauge's uncertainty is set from a complete study by a lead who did not measure in it") {
    Bench b = Bench::set_up();
    auto plan = plan_of();
    plan.people = {"OPA", "LEB"};
    b.ask(PlanStudy{plan}, "LEA");
    entries::UncertaintySet set;
    set.study = "GS-1";
    set.uncertainty = 9_um;
    set.reason = "study of the week";
    CHECK(b.ask(ApproveUncertainty{set}, "LEA") == "bench.study_incomplete");
    b.ask(SignIn{}, "OPA");
    b.ask(BeginStudy{"GS-1"});
    b.prove();
    for (int i = 0; i < 12; ++i)
        take_turn(b);
    CHECK(b.ask(ApproveUncertainty{set}, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(ApproveUncertainty{set}, "LEB") == "bench.study_own");
    set.reason.clear();
    CHECK(b.ask(ApproveUncertainty{set}, "LEA") == "bench.field_empty");
    set.reason = "study of the week";
    REQUIRE(b.ask(ApproveUncertainty{set}, "LEA").empty());
    CHECK(b.last<entries::UncertaintySet>()->before == 12_um);
    CHECK(b.state.gauges.at("CAL-1").registered.uncertainty == 9_um);
    // R5: what is measured from here on is guarded by it: 1.65 x 9 um.
    b.ask(SignIn{}, "OPA");
    b.ask(StartShift{});
    b.prove();
    b.ask(TakeOrder{"A-100"});
    b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"});
    b.ask(ConfirmDie{"D-26", "C-1", "4.2"});
    b.good_setup();
    b.work_to(Characteristic::crimp_diameter);
    b.press("25.50");
    CHECK(b.last<entries::ReadingTaken>()->guard == 14'850_nm);
}

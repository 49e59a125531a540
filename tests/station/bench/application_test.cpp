// What the machine asks of an order, at the bench: findings with the order, a stop that a lead has to answer for, and
// the proof test between the last end and the pass.
#include "station/bench/application_steps.h"

#include <boost/json.hpp>

#include "station/bench/show.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

Bench opened(const entries::OrderOpened& order) {
    auto b = Bench::set_up();
    REQUIRE(b.ask(OpenOrder{order}, "SET").empty());
    b.ask(SignIn{}, "OPA");
    b.ask(StartShift{}, "OPA");
    b.prove();
    return b;
}

entries::OrderOpened with_fluid(Fluid fluid) {
    auto order = bench_order("A-300");
    order.application = Application{};
    order.application->fluid = fluid;
    return order;
}

// 2SN -8 of 275 bar: proof 550 bar (ISO 6605:2017 5.2: twice the working pressure, 30 to 60 s).
entries::OrderOpened with_proof() {
    auto order = bench_order("A-300");
    order.proof_test = entries::ProofTestAsked{Pressure::from_bar(550), 30, "oil"};
    return order;
}

Bench at_proof_test() {
    auto b = opened(with_proof());
    REQUIRE(b.ask(TakeOrder{"A-300"}).empty());
    REQUIRE(b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"}).empty());
    while (b.next().ask != Ask::proof_test)
        REQUIRE(b.good_step());
    return b;
}

TestProof good_test() {
    return {Pressure::from_bar(550), 30, "oil", "nothing", "M-7"};
}

std::vector<std::string> stops_of(const entries::OrderOpened& order) {
    std::vector<std::string> out;
    for (const auto& f : order.application_findings.value_or(std::vector<ApplicationFinding>{}))
        if (f.severity == FindingSeverity::stop) out.push_back(f.what.code);
    return out;
}

}  // namespace

TEST_CASE("R13: an order keeps what its application came to, reckoned by the bench and not by whoever sends it") {
    auto order = with_fluid(Fluid::ester);
    order.application_findings = std::vector<ApplicationFinding>{};  // somebody's own
    const auto b = opened(order);
    const auto* kept = b.last<entries::OrderOpened>();
    REQUIRE(kept != nullptr);
    CHECK(stops_of(*kept) == std::vector<std::string>{"application.fluid_excluded"});
    REQUIRE_FALSE(kept->application_findings->empty());
    // The needed pressure of the order is the highest that the machine reaches: 250 of 275 bar.
    CHECK(kept->application_findings->front().what.code == "application.pressure_holds");
    CHECK(kept->application_findings->front().what.detail("found") == "250");
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE("R13: an order that its application stops may be opened, and is taken only after a lead answered for it") {
    auto b = opened(with_fluid(Fluid::ester));
    CHECK(b.ask(TakeOrder{"A-300"}) == "bench.application_stops");
    CHECK(b.ask(OverrideApplication{"A-300", "asked the maker"}, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(OverrideApplication{"A-300", "asked the maker"}, "SET") == "bench.not_a_lead");
    CHECK(b.ask(OverrideApplication{"A-300", ""}, "LEA") == "bench.field_empty");
    CHECK(b.ask(OverrideApplication{"A-301", "asked the maker"}, "LEA") == "bench.no_order");
    CHECK(b.ask(TakeOrder{"A-300"}) == "bench.application_stops");
    CHECK(b.ask(OverrideApplication{"A-300", "asked the maker"}, "LEA").empty());
    const auto* answered = b.last<entries::ApplicationOverridden>();
    REQUIRE(answered != nullptr);
    CHECK(answered->findings == std::vector<std::string>{"application.fluid_excluded"});
    CHECK(answered->reason == "asked the maker");
    CHECK(b.ask(OverrideApplication{"A-300", "once more"}, "LEA") == "bench.nothing_stops");
    CHECK(b.ask(TakeOrder{"A-300"}).empty());
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE("An order whose application holds, or says nothing, is taken as ever") {
    auto b = opened(with_fluid(Fluid::mineral_oil));
    CHECK(b.ask(OverrideApplication{"A-300", "to be sure"}, "LEA") == "bench.nothing_stops");
    CHECK(b.ask(TakeOrder{"A-300"}).empty());
    CHECK(b.ask(TakeOrder{"A-100"}).empty());
}

TEST_CASE("R10: a new spec row that bears less stops an order that was fine when it was opened") {
    auto order = with_fluid(Fluid::mineral_oil);
    order.application->bend_radius = 180'000_um;
    auto b = opened(order);
    auto row = bench_row();
    row.revision = "2";
    row.hose.bend_radius = 200'000_um;
    REQUIRE(b.adopt({row}).empty());
    CHECK(b.ask(TakeOrder{"A-300"}) == "bench.application_stops");
    CHECK(b.ask(OverrideApplication{"A-300", "the maker agreed"}, "LEB").empty());
    CHECK(b.last<entries::ApplicationOverridden>()->findings == std::vector<std::string>{"application.bend_below_row"});
    CHECK(b.ask(TakeOrder{"A-300"}).empty());
    // What was answered for was the bend, not whatever comes next.
    row.revision = "3";
    row.hose.standard = "EN 853 2SN";
    row.hose.temperature_max_c = -50;
    REQUIRE(b.adopt({row}).empty());
    CHECK(b.ask(TakeOrder{"A-300"}).empty());  // no temperature was stated
}

TEST_CASE("R13: a proof test lies between once and twice the working pressure, lasts 30 s or more, and uses no gas") {
    auto b = Bench::set_up();
    const auto asked = [&](std::int64_t kpa, std::int64_t hold_s, const std::string& medium) {
        auto order = bench_order("A-" + std::to_string(b.log.size()));
        order.proof_test = entries::ProofTestAsked{Pressure::from_kpa(kpa), hold_s, medium};
        return b.ask(OpenOrder{order}, "SET");
    };
    CHECK(asked(55'000, 30, "oil").empty());
    CHECK(asked(27'500, 600, "water").empty());
    CHECK(asked(55'001, 30, "oil") == "bench.proof_test_pressure");
    CHECK(asked(27'499, 30, "oil") == "bench.proof_test_pressure");
    CHECK(asked(55'000, 29, "oil") == "bench.proof_test_hold");
    CHECK(asked(55'000, 601, "oil") == "bench.proof_test_hold");
    CHECK(asked(55'000, 30, "nitrogen") == "bench.proof_test_medium");
    CHECK(asked(55'000, 30, "air") == "bench.proof_test_medium");
}

TEST_CASE("R1: an assembly whose order asks for a proof test passes only with a good one") {
    auto b = at_proof_test();
    const auto serial = b.serial();
    CHECK(b.last<entries::AssemblyStarted>()->proof_test == with_proof().proof_test);
    CHECK_FALSE(b.was_passed(serial));
    const auto shown = show(b.state, b.rules, b.now);
    const auto& step = shown.at("step").as_object();
    CHECK(step.at("ask") == "proof_test");
    CHECK(step.at("asked").as_object().at("pressure_kpa") == 55'000);
    CHECK(step.at("asked").as_object().at("hold_s") == 30);
    CHECK(b.press("25.50") == "bench.proof_test_first");
    // Nothing seen, though not at the pressure or not for the time: no test, and no entry either.
    auto low = good_test();
    low.reached = Pressure::from_kpa(54'999);
    CHECK(b.ask(low) == "bench.proof_test_too_low");
    auto brief = good_test();
    brief.held_s = 29;
    CHECK(b.ask(brief) == "bench.proof_test_too_short");
    auto gas = good_test();
    gas.medium = "nitrogen";
    CHECK(b.ask(gas) == "bench.proof_test_medium");
    auto far = good_test();
    far.reached = Pressure::from_kpa(68'751);
    CHECK(b.ask(far) == "bench.proof_test_far_above");
    auto blind = good_test();
    blind.seen = "";
    CHECK(b.ask(blind) == "bench.proof_test_seen");
    auto nowhere = good_test();
    nowhere.manometer = "";
    CHECK(b.ask(nowhere) == "bench.field_empty");
    CHECK(b.count<entries::ProofTested>() == 0);
    CHECK_FALSE(b.was_passed(serial));

    CHECK(b.ask(good_test()).empty());
    CHECK(b.was_passed(serial));
    const auto* tested = b.last<entries::ProofTested>();
    CHECK(tested->passed);
    CHECK(tested->reached == Pressure::from_bar(550));
    CHECK(tested->asked == *with_proof().proof_test);
    CHECK(b.ask(good_test()) == "bench.not_asked");
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE("R1, R7: what leaks, moves or bursts at its proof test is held, and can only be scrapped") {
    for (const auto* seen : {"leak", "moved", "burst"}) {
        INFO(seen);
        auto b = at_proof_test();
        const auto serial = b.serial();
        auto bad = good_test();
        bad.seen = seen;
        bad.reached = Pressure::from_bar(300);  // it may show itself long before
        bad.held_s = 2;
        CHECK(b.ask(bad).empty());
        CHECK_FALSE(b.last<entries::ProofTested>()->passed);
        REQUIRE(b.assembly(serial).stage == Stage::on_hold);
        CHECK(b.assembly(serial).hold->cause == HoldCause::proof_test);
        b.quarantine(serial);
        for (const auto how : {Settlement::concession, Settlement::recrimp, Settlement::remeasure})
            CHECK(b.ask(SettleHold{serial, how, "looks fine", "MQ-C-9"}, "LEA") == "bench.proof_test_only_scrap");
        CHECK(b.ask(SettleHold{serial, Settlement::scrap, "leaked", ""}, "LEA").empty());
        CHECK(b.assembly(serial).stage == Stage::scrapped);
        CHECK_FALSE(b.was_passed(serial));
        CHECK(dump(b.refolded()) == dump(b.state));
    }
}

TEST_CASE("R9: whoever made the proof test does not settle what it found") {
    auto b = at_proof_test();
    const auto serial = b.serial();
    b.ask(SignIn{}, "LEA");
    auto bad = good_test();
    bad.seen = "leak";
    REQUIRE(b.ask(bad, "LEA").empty());
    b.quarantine(serial);
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "leaked", ""}, "LEA") == "bench.own_hold");
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "leaked", ""}, "LEB").empty());
}

TEST_CASE("R1: a proof test that was good still counts after a doubt about a gauge, and not after a re-crimp") {
    auto b = at_proof_test();
    const auto serial = b.serial();
    REQUIRE(b.ask(good_test()).empty());
    REQUIRE(b.was_passed(serial));
    CHECK_FALSE(proof_test_due(b.assembly(serial)));
    // An oversize end held it before its test: crimped again, it is tested after.
    auto c = opened(with_proof());
    c.ask(TakeOrder{"A-300"});
    c.ask(ConfirmLots{"H-1", "FA-1", "FB-1"});
    while (c.next().ask != Ask::measure || c.next().what != Characteristic::crimp_diameter)
        REQUIRE(c.good_step());
    const auto again = c.serial();
    c.press_crimps({"25.80", "25.80", "25.80"});
    REQUIRE(c.assembly(again).stage == Stage::on_hold);
    c.quarantine(again);
    c.settle_ok(again, Settlement::recrimp);
    REQUIRE(c.ask(TakeUp{again}).empty());
    while (c.next().ask != Ask::proof_test)
        REQUIRE(c.good_step());
    CHECK_FALSE(c.was_passed(again));
    CHECK(c.ask(good_test()).empty());
    CHECK(c.was_passed(again));
}

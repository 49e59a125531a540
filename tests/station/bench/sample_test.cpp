// A sample of a shift, measured again with another gauge.
#include <algorithm>

#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

entries::SampleDrawn sample_of(const Bench& b) {
    entries::SampleDrawn sample;
    sample.shift = b.state.shift;
    sample.plan = "zero_acceptance";
    sample.quality_ppm = 500'000;
    sample.confidence_permille = 900;
    sample.seed = "0000000000000007";
    return sample;
}

// Three assemblies made with CAL-1; CAL-2 lies beside it, proved.
Bench made() {
    Bench b = Bench::ready();
    b.ask(RegisterGauge{caliper("CAL-2")}, "SET");
    b.ask(GaugeReturned{"CAL-2"}, "");
    b.prove("CAL-2");
    for (int i = 0; i < 3; ++i)
        b.good_assembly();
    return b;
}

}  // namespace

TEST_CASE("a sample is drawn from what passed in the shift, by the plan, and anybody can draw it again from its seed") {
    Bench b = made();
    CHECK(b.ask(DrawSample{sample_of(b)}, "OPA") == "bench.not_a_lead");
    REQUIRE(b.ask(DrawSample{sample_of(b)}, "LEA").empty());
    const auto& drawn = b.state.samples.at("RM-1").drawn;
    CHECK(drawn.lot_size == 3);
    // At half of three defective (two pieces), one of three drawn misses both with 1/3 and two never do: c = 0, n = 2.
    CHECK(drawn.serials.size() == 2);
    CHECK(drawn.accept == 0);
    REQUIRE(b.ask(DrawSample{sample_of(b)}, "LEA").empty());
    CHECK(b.state.samples.at("RM-2").drawn.serials == drawn.serials);
    auto wrong = sample_of(b);
    wrong.shift = "2026-11-24/1";
    CHECK(b.ask(DrawSample{wrong}, "LEA") == "bench.no_such_shift");
    wrong = sample_of(b);
    wrong.plan = "mil_std_105e";
    wrong.level = "IV";
    CHECK(b.ask(DrawSample{wrong}, "LEA") == "bench.no_such_choice");
    wrong.level = "II";
    wrong.severity = "normal";
    wrong.quality_ppm = 10'000;  // AQL 1.0
    REQUIRE(b.ask(DrawSample{wrong}, "LEA").empty());
    // MIL-STD-105E: 2 to 8 pieces, level II: letter A; at AQL 1.0 its arrow leads to n = 13, more than the lot.
    CHECK(b.state.samples.at("RM-3").drawn.serials.size() == 3);
}

TEST_CASE("every place of every serial is measured again with another gauge, and agreement is reckoned") {
    Bench b = made();
    b.ask(DrawSample{sample_of(b)}, "LEA");
    REQUIRE(b.ask(BeginSample{"RM-1"}).empty());
    REQUIRE(b.next().ask == Ask::sample);
    CHECK(b.press("25.52", "CAL-1") == "bench.sample_same_gauge");
    std::size_t pressed = 0;
    while (b.next().ask == Ask::sample) {
        REQUIRE(b.press("25.52", "CAL-2").empty());
        REQUIRE(++pressed <= 12);
    }
    CHECK(pressed == 12);  // two serials, two ends, three flats
    const auto* judged = b.last<entries::SampleJudged>();
    REQUIRE(judged);
    CHECK(judged->compared == 12);
    CHECK(judged->accepted);
    CHECK(judged->overturned.empty());
    std::int64_t sum = 0;
    for (const auto& m : b.state.samples.at("RM-1").measured)
        sum += (m.value - m.first_value).nm();
    CHECK(judged->mean_difference.nm() == sum / 12);
    CHECK(b.state.sample.empty());
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE("R1: a verdict that the second gauge does not share puts the assembly on hold, to be measured again") {
    Bench b = made();
    b.ask(DrawSample{sample_of(b)}, "LEA");
    b.ask(BeginSample{"RM-1"});
    const auto bad = b.next().serial;
    b.press("25.75", "CAL-2");
    while (b.next().ask == Ask::sample)
        b.press("25.50", "CAL-2");
    const auto* judged = b.last<entries::SampleJudged>();
    REQUIRE(judged);
    CHECK(judged->overturned == std::vector<std::string>{bad});
    CHECK_FALSE(judged->accepted);
    const auto& a = b.assembly(bad);
    REQUIRE(a.stage == Stage::on_hold);
    CHECK(a.hold->cause == HoldCause::overturned);
    CHECK(a.hold->gauge == "CAL-1");
    // It does not pass on its old readings: what CAL-1 measured behind the crimp is measured anew.
    b.settle_ok(bad, Settlement::remeasure);
    CHECK(b.assembly(bad).stage != Stage::passed);
    REQUIRE(b.ask(TakeUp{bad}).empty());
    CHECK(b.next().what == Characteristic::crimp_diameter);
}

TEST_CASE("too close to call is not the same as wrong: it overturns nothing") {
    Bench b = made();
    b.ask(DrawSample{sample_of(b)}, "LEA");
    b.ask(BeginSample{"RM-1"});
    b.press("25.69", "CAL-2");  // within 0.0198 of the limit
    CHECK(b.last<entries::SampleMeasured>()->verdict == Verdict::uncertain);
    while (b.next().ask == Ask::sample)
        b.press("25.50", "CAL-2");
    CHECK(b.last<entries::SampleJudged>()->overturned.empty());
}

TEST_CASE("measuring a sample pauses for work and goes on where it was") {
    Bench b = made();
    b.ask(DrawSample{sample_of(b)}, "LEA");
    b.ask(BeginSample{"RM-1"});
    b.press("25.50", "CAL-2");
    const auto flat = b.next().flat;
    REQUIRE(b.ask(LeaveSample{}).empty());
    CHECK(b.next().ask == Ask::order_done);
    REQUIRE(b.ask(BeginSample{"RM-1"}).empty());
    CHECK(b.next().flat == flat);
    CHECK(b.ask(BeginSample{"RM-9"}) == "bench.no_sample");
}

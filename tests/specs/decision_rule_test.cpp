#include "specs/decision_rule.h"

#include <rapidcheck.h>

#include <cmath>

#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using cqt::Approx;
using crimpgate::test::sample_row;

namespace {

constexpr Band crimp_band{25'300_um, 25'700_um};  // trade vector 25.5 +-0.2 mm
constexpr DecisionRule guarded{RuleKind::guarded, 1650};
constexpr DecisionRule simple{RuleKind::simple, 0};
// A limit so far off that it takes no part: makes a one-sided tolerance of a band.
constexpr Length far_below = Length::from_nm(-4'000'000'000'000);
constexpr Length far_above = Length::from_nm(4'000'000'000'000);

// JCGM examples are in volts, kilopascals and square millimetres a second: a millionth of the unit stands as one nm.
Length millionths(double value) {
    return Length::from_nm(std::llround(value * 1e6));
}

}  // namespace

TEST_CASE("R4: a value on the limit is inside it") {
    // 25.5 +-0.2 mm with readings 25.30 and 25.70: both in, 25.29 and 25.71 out (trade convention: limits inclusive).
    CHECK(decide(crimp_band, {}, 25'300_um) == Verdict::conforms);
    CHECK(decide(crimp_band, {}, 25'700_um) == Verdict::conforms);
    CHECK(decide(crimp_band, {}, 25'299'999_nm) == Verdict::fails);
    CHECK(decide(crimp_band, {}, 25'700'001_nm) == Verdict::fails);
    CHECK(decide(crimp_band, {}, 25'290_um) == Verdict::fails);
    CHECK(decide(crimp_band, {}, 25'710_um) == Verdict::fails);
    // In binary floating point 25.5 + 0.2 is not 25.7; in nanometres it is.
    CHECK(Toleranced{25'500_um, 200_um, 200_um}.band().upper == 25'700_um);
}

TEST_CASE("R5: between guard and limit the answer is uncertain, and the guard itself still conforms") {
    const auto guard = guard_of(guarded, 12_um);
    CHECK(guard == 19'800_nm);
    CHECK(decide(crimp_band, guard, 25'319'800_nm) == Verdict::conforms);
    CHECK(decide(crimp_band, guard, 25'319'799_nm) == Verdict::uncertain);
    CHECK(decide(crimp_band, guard, 25'680'200_nm) == Verdict::conforms);
    CHECK(decide(crimp_band, guard, 25'680'201_nm) == Verdict::uncertain);
    CHECK(decide(crimp_band, guard, 25'700_um) == Verdict::uncertain);
    CHECK(decide(crimp_band, guard, 25'700'001_nm) == Verdict::fails);
}

TEST_CASE("R5: a one-sided limit is guarded on its one side only") {
    CHECK(decide_upper(150_um, 20_um, 0_um) == Verdict::conforms);
    CHECK(decide_upper(150_um, 20_um, 130_um) == Verdict::conforms);
    CHECK(decide_upper(150_um, 20_um, 130'001_nm) == Verdict::uncertain);
    CHECK(decide_upper(150_um, 20_um, 150_um) == Verdict::uncertain);
    CHECK(decide_upper(150_um, 20_um, 150'001_nm) == Verdict::fails);
    CHECK(decide_upper(150_um, 0_um, 150_um) == Verdict::conforms);
    CHECK(decide_upper(150_um, 0_um, -(1_nm)) == Verdict::fails);
}

TEST_CASE("R5: the guard is rounded outward to a whole nanometre, never inward") {
    CHECK(guard_of(guarded, 1_nm) == 2_nm);          // 1.65
    CHECK(guard_of(guarded, 20_nm) == 33_nm);        // 33 exactly
    CHECK(guard_of(guarded, 2'887_nm) == 4'764_nm);  // 4763.55
    CHECK(guard_of({RuleKind::guarded, 1000}, 7_nm) == 7_nm);
    CHECK(guard_of(guarded, 0_nm) == 0_nm);
    CHECK(guard_of(simple, 12_um) == 0_nm);
    CHECK(guard_of({RuleKind::simple, 1650}, 12_um) == 0_nm);
    // Far beyond any gauge: it stays large instead of wrapping round into a small guard.
    CHECK(guard_of(guarded, Length::from_nm(9'000'000'000'000'000'000)) >= Length::from_nm(9'000'000'000'000'000'000));
}

TEST_CASE("The difference of two readings is uncertain by the root of two times one of them, rounded up") {
    CHECK(uncertainty_of_difference(0_nm) == 0_nm);
    CHECK(uncertainty_of_difference(1_nm) == 2_nm);
    CHECK(uncertainty_of_difference(12_um) == 16'971_nm);  // 16970.56
    CHECK(rc::check("the smallest whole number whose square is at least twice u's", [](std::uint32_t u) {
        const auto d = uncertainty_of_difference(Length::from_nm(u)).nm();
        const auto twice = 2 * static_cast<__int128>(u) * u;
        RC_ASSERT(static_cast<__int128>(d) * d >= twice);
        RC_ASSERT(d == 0 || static_cast<__int128>(d - 1) * (d - 1) < twice);
    }));
}

TEST_CASE("R5: at the guard of ISO 14253-1:2017 at most 4.947 % of the probability lies outside the limit") {
    // Phi(-1.65) = 4.947 %: guard factor from ISO 14253-1:2017 as publicly quoted, value recomputed.
    const auto u = 12_um;
    const auto at_guard = crimp_band.upper - guard_of(guarded, u);
    CHECK(1.0 - conformity_probability({far_below, crimp_band.upper}, at_guard, u) == Approx(0.04947).margin(0.000005));
    // On the limit itself half of it does (ILAC-G8:09/2019: simple acceptance, up to 50 %).
    CHECK(conformity_probability({far_below, crimp_band.upper}, crimp_band.upper, u) == Approx(0.5).margin(1e-12));
    // ILAC-G8:09/2019, guard r U with U = 2 u (percentages from memory, recomputed): 0.83 < 5 %, 1 < 2.5 %, 1.5 < 0.16
    // %.
    const auto beyond = [&](std::int64_t factor) {
        const auto g = guard_of({RuleKind::guarded, factor}, u);
        return 1.0 - conformity_probability({far_below, crimp_band.upper}, crimp_band.upper - g, u);
    };
    CHECK(beyond(1660) == Approx(0.04846).margin(0.00001));
    CHECK(beyond(2000) == Approx(0.02275).margin(0.00001));
    CHECK(beyond(3000) == Approx(0.00135).margin(0.00001));
}

TEST_CASE("Conformity probability agrees with the worked examples of JCGM 106:2012") {
    // Inputs and two-digit answers of the examples from memory, further digits recomputed with another program.
    SECTION("7.4 example 1: breakdown voltage of a Zener diode, single upper limit, 0.92") {
        const double p = conformity_probability({far_below, millionths(-5.40)}, millionths(-5.47), millionths(0.05));
        CHECK(p == Approx(0.9192433408).margin(1e-9));
        CHECK(p == Approx(0.92).margin(0.005));
    }
    SECTION("7.4 example 2: bursting strength of a container, single lower limit, 0.99") {
        const double p = conformity_probability({millionths(490), far_above}, millionths(509.7), millionths(8.6));
        CHECK(p == Approx(0.9890095474).margin(1e-9));
        CHECK(p == Approx(0.99).margin(0.005));
    }
    SECTION("7.5: viscosity of motor oil, two limits, 0.66") {
        const double p =
            conformity_probability({millionths(12.5), millionths(16.3)}, millionths(13.6), millionths(1.8));
        CHECK(p == Approx(0.6626297865).margin(1e-9));
        CHECK(p == Approx(0.66).margin(0.005));
    }
    SECTION("8.3.3: speed limit of 100 km/h, 2 %, certain to 99.9 % from 107 km/h on") {
        const double v = 106.5876095;
        const double p = conformity_probability({millionths(100), far_above}, millionths(v), millionths(0.02 * v));
        CHECK(p == Approx(0.999).margin(1e-6));
    }
    SECTION("table 1: guard factors of one-sided conformance probabilities") {
        const std::vector<std::pair<double, double>> rows = {
            {0.80, 0.8416212336}, {0.90, 1.281551566}, {0.95, 1.644853627}, {0.99, 2.326347874}, {0.999, 3.090232306}};
        for (const auto& [p, z] : rows)
            CHECK(conformity_probability({far_below, 0_nm}, millionths(-z), millionths(1.0)) == Approx(p).margin(1e-6));
    }
}

TEST_CASE("Conformity probability of an exact reading is all or nothing") {
    CHECK(conformity_probability(crimp_band, 25'700_um, 0_nm) == 1.0);
    CHECK(conformity_probability(crimp_band, 25'700'001_nm, 0_nm) == 0.0);
    CHECK(conformity_probability(crimp_band, 99'000_um, 12_um) < 1e-300);
}

TEST_CASE("A gauge that leaves nothing to accept in is refused, and the refusal says which would do") {
    auto row = sample_row();
    row.crimp = {25'500_um, 50_um, 50_um};  // width 0.1 mm: guard at most 0.05 mm, u at most 30 303 nm
    row.spread_limit = 100_um;              // u at most 100/1.65/sqrt(2) = 42.85 um
    row.depth = {38'000_um, 500_um, 500_um};

    CHECK(gauge_suits(row, {"caliper 1", 30'303_nm}, {}).has_value());
    const auto refused =
        gauge_suits(row, {"caliper 1", 30'304_nm},
                    {{"caliper 1", 1_um}, {"micrometer", 2_um}, {"old one", 40_um}, {"caliper 2", 30'303_nm}});
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().code == "rule.gauge_too_coarse");
    CHECK(refused.error().detail("what") == "crimp_diameter");
    CHECK(refused.error().detail("largest") == "0.030303");
    CHECK(refused.error().detail("uncertainty") == "0.030304");
    CHECK(refused.error().detail("others") == "micrometer, caliper 2");
    const auto none = gauge_suits(row, {"caliper 1", 1'000_um}, {{"old one", 40_um}});
    REQUIRE_FALSE(none.has_value());
    CHECK(none.error().detail("others") == "-");
}

TEST_CASE("The spread and a measured mark take part in choosing the gauge, and only where they are asked for") {
    auto row = sample_row();
    row.spread_limit = 20_um;
    CHECK(gauge_suits(row, {"g", 8'570_nm}, {}).has_value());  // 20/1.65 = 12121 nm; / sqrt(2) = 8570.8
    const auto refused = gauge_suits(row, {"g", 8'571_nm}, {});
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().detail("what") == "spread");
    row.flats = {1};  // one place has no spread
    CHECK(gauge_suits(row, {"g", 8'571_nm}, {}).has_value());

    row.mark_edge_limit = 10_um;
    CHECK(gauge_suits(row, {"g", 8'571_nm}, {}).has_value());  // by sight: no gauge at work
    row.mark_check = MarkCheck::measured;
    const auto mark = gauge_suits(row, {"g", 8'571_nm}, {});
    REQUIRE_FALSE(mark.has_value());
    CHECK(mark.error().detail("what") == "mark_before");
    row.rule = simple;
    CHECK(gauge_suits(row, {"g", 8'571_nm}, {}).has_value());
}

TEST_CASE("A gauge that suits can accept the middle of the band, and one that does not can accept nothing") {
    CHECK(rc::check("two guards within the width, exactly", [] {
        auto row = sample_row();
        row.flats = {1};
        row.depth = {38'000_um, 10'000_um, 10'000_um};
        const auto half = *rc::gen::inRange<std::int64_t>(1, 1'000'000);
        row.crimp = {25'500_um, Length::from_nm(half), Length::from_nm(half)};
        row.rule.guard_factor_thousandths = *rc::gen::inRange<std::int64_t>(1, 5'000);
        const auto u = Length::from_nm(*rc::gen::inRange<std::int64_t>(0, 1'000'000));
        const bool middle = decide(row.crimp.band(), guard_of(row.rule, u), row.crimp.nominal) == Verdict::conforms;
        RC_ASSERT(gauge_suits(row, {"g", u}, {}).has_value() == middle);
    }));
}

#include "reports/statistics/uncertainty_budget.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

#include <rapidcheck.h>

#include "reports/statistics/distributions.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;
using cqt::Approx;

namespace {

Approx to(double digits, double value) {
    return Approx(value).epsilon(0).margin(digits);
}

// JCGM 100:2008 (GUM), H.1: an end gauge of 50 mm against a standard, in nanometres and degrees, with the standard
// uncertainties as the example prints them.
constexpr double l_s = 50e6, alpha_s = 11.5e-6, theta = -0.1;
std::vector<BudgetComponent> end_gauge() {
    return {
        expanded_component("l_s", 75, 3, 1, 18),   // 25
        standard_component("d", 5.8, 1, 24),       // mean of five, s = 13 from 24 degrees of freedom
        standard_component("d1", 3.9, 1, 5),       // comparator, random
        standard_component("d2", 6.7, 1, 8),       // comparator, systematic
        standard_component("alpha_s", 1.2e-6, 0),  // rectangular 2e-6; its c is 0
        standard_component("theta", 0.41, 0),      // 0.2 of the mean, 0.35 of the cycle; its c is 0
        standard_component("d_alpha", 0.58e-6, -l_s * theta, 50),
        standard_component("d_theta", 0.029, -l_s * alpha_s, 2),
    };
}

}  // namespace

TEST_CASE("GUM H.1: the end gauge's budget, its degrees of freedom and its expanded uncertainty") {
    const auto b = combine(end_gauge(), 0.99);
    CHECK(b.lines[0].contribution == Approx(25));
    CHECK(b.lines[6].contribution == to(0.05, 2.9));
    CHECK(b.lines[7].contribution == to(0.1, 16.6));
    CHECK(b.u == to(0.5, 32));                   // printed
    CHECK(b.u == Approx(31.705).epsilon(2e-5));  // recomputed
    CHECK(*b.effective_df == to(0.1, 16.7));     // printed, from u_c = 32
    CHECK(*b.effective_df == Approx(16.645).epsilon(5e-5));
    CHECK(b.whole_df == 16);
    CHECK(b.k == to(5e-3, 2.92));
    CHECK(b.k == Approx(2.92078).epsilon(2e-6));
    CHECK(b.expanded == to(0.5, 93));
    CHECK(b.expanded == Approx(92.60).epsilon(1e-4));
    // What share comes from where adds up.
    double shares = 0;
    for (const auto& line : b.lines)
        shares += line.share;
    CHECK(shares == Approx(1).epsilon(1e-12));
}

TEST_CASE("GUM H.1: the degrees of freedom are cut to a whole number before Student's t is looked up") {
    const auto b = combine(end_gauge(), 0.95);
    CHECK(b.k == Approx(2.1199).epsilon(1e-5));
    CHECK(student_quantile(0.975, *b.effective_df) == to(5e-4, 2.113));  // what looking it up uncut would have given
}

TEST_CASE("GUM H.1: the comparison alone has 25 degrees of freedom") {
    // u_d 9.7 printed; nu_d 25.6 printed from unrounded inputs, 25.45 from those above.
    auto parts = end_gauge();
    const auto d = combine({parts[1], parts[2], parts[3]});
    CHECK(d.u == Approx(9.682).epsilon(2e-5));
    CHECK(*d.effective_df == to(0.01, 25.45));
}

TEST_CASE("GUM H.1: terms of second order take 32 nm to 34 nm") {
    const auto b = combine(end_gauge(), 0.99, {{"d_alpha", "theta", -l_s}, {"alpha_s", "d_theta", -l_s}});
    CHECK(b.second_order[0] == to(0.2, 11.7));  // printed 11.7
    CHECK(b.second_order[1] == to(0.05, 1.7));  // printed 1.7
    CHECK(b.first_order_u == Approx(31.705).epsilon(2e-5));
    CHECK(b.u == to(0.5, 34));
    CHECK(b.u == Approx(33.906).epsilon(2e-5));
    CHECK(b.expanded == Approx(b.k * b.u));
    // The other of its two ways of counting: a term with itself counts half (GUM 5.1.2, note).
    const auto own = combine({rectangular_component("x", 3)}, 0.95, {{"x", "x", 2}});
    CHECK(own.second_order[0] == Approx(2 * 3 / std::numbers::sqrt2));
    CHECK_THROWS_AS(combine(end_gauge(), 0.99, {{"theta", "nobody", 1}}), std::logic_error);
}

TEST_CASE("GUM H.1: the same from the half-widths that the example starts with") {
    // 10 nm is 95 % with t of 5 degrees of freedom; 20 nm is three standard deviations; the temperature's cycle of
    // 0.5 degrees is u-shaped (0.35); the others are rectangular.
    const auto b = combine({expanded_component("l_s", 75, 3, 1, 18), mean_component("d", 13, 5, 24),
                            t_interval_component("d1", 10, 0.95, 5), expanded_component("d2", 20, 3, 1, 8),
                            rectangular_component("d_alpha", 1e-6, -l_s * theta, 50),
                            rectangular_component("d_theta", 0.05, -l_s * alpha_s, 2)},
                           0.99);
    CHECK(b.lines[1].contribution == to(0.05, 5.8));
    CHECK(b.lines[2].contribution == to(0.05, 3.9));
    CHECK(b.lines[3].contribution == to(0.05, 6.7));
    CHECK(b.lines[4].contribution == to(0.05, 2.9));
    CHECK(b.lines[5].contribution == to(0.05, 16.6));
    CHECK(b.u == to(0.5, 32));
    CHECK(b.whole_df == 16);
    CHECK(32 * b.k == to(0.5, 93));  // printed from u_c already rounded to 32; unrounded it is 92.5
    CHECK(b.expanded == to(0.05, 92.47));
    CHECK(u_shaped_component("cycle", 0.5).u() == to(5e-3, 0.35));
    CHECK(rectangular_component("alpha_s", 2e-6).u() == to(5e-8, 1.2e-6));
}

TEST_CASE("EA-4/02 S10: a vernier caliper at 150 mm, where two rectangles make a trapezoid") {
    // Figures from memory of EA-4/02, recomputed: u 33 um printed (32.34 before rounding its parts), k 1.83,
    // (0.10 +- 0.06) mm. Lengths in micrometres.
    const auto b =
        combine({rectangular_component("standard", 0.8, -1), rectangular_component("temperature", 2, 150e3 * 11.5e-6),
                 rectangular_component("resolution", 25), rectangular_component("mechanical", 50)});
    CHECK(b.lines[0].contribution == to(5e-3, 0.46));
    CHECK(b.lines[1].contribution == to(0.05, 2.0));
    CHECK(b.lines[2].contribution == to(0.05, 14.4));
    CHECK(b.lines[3].contribution == to(0.05, 28.9));
    CHECK(b.u == Approx(32.340).epsilon(2e-5));
    CHECK_FALSE(b.effective_df);
    CHECK(b.k == to(5e-4, 1.960));
    const auto k = trapezoid_factor(b);
    REQUIRE(k);
    CHECK(*k == to(5e-3, 1.83));
    CHECK(*k == Approx(1.83389).epsilon(5e-6));
    CHECK(*k == Approx(coverage_trapezoid(50, 25)).epsilon(1e-12));
    CHECK(*k * b.u == Approx(59.31).epsilon(1e-4));
    CHECK(std::ceil(*k * b.u / 10) / 100 == to(1e-9, 0.06));
    // Another part of some size, or another shape, and the trapezoid no longer holds.
    CHECK_FALSE(trapezoid_factor(combine({rectangular_component("resolution", 25), rectangular_component("mech", 50),
                                          standard_component("scatter", 12)})));
    CHECK_FALSE(trapezoid_factor(combine({rectangular_component("resolution", 25), standard_component("mech", 29)})));
}

TEST_CASE("the trapezoid's factor covers what it says, from the rectangle to the triangle") {
    CHECK(coverage_trapezoid(1, 0) == Approx(0.95 * std::numbers::sqrt3).epsilon(1e-12));  // EA-4/02 S9: 1.65
    CHECK(coverage_trapezoid(0, 7, 0.5) == Approx(0.5 * std::numbers::sqrt3).epsilon(1e-12));
    CHECK(coverage_trapezoid(1, 1) == Approx(std::sqrt(6.0) * (1 - std::sqrt(0.05))).epsilon(1e-12));
    CHECK(rc::check("area within k u is p", [] {
        const double a = *rc::gen::inRange(1, 1000), b = *rc::gen::inRange(0, 1000);
        const double p = *rc::gen::inRange(1, 1000) / 1000.0;
        const double y = coverage_trapezoid(a, b, p) * std::sqrt((a * a + b * b) / 3);
        // The share of the square [-a, a] x [-b, b] with |x + y'| <= y, by strips across the second.
        const int strips = 20'000;
        double share = 0;
        for (int i = 0; i < strips; ++i) {
            const double second = -b + (2.0 * i + 1) / strips * b;
            share += std::max(0.0, std::min(a, y - second) - std::max(-a, -y - second)) / (2 * a) / strips;
        }
        RC_ASSERT(std::abs(share - p) < 1e-3);
    }));
    CHECK_THROWS_AS(coverage_trapezoid(0, 0), std::domain_error);
}

TEST_CASE("resolution, zeroed reading and warmth of a caliper are the known figures") {
    // d / sqrt 12: 2.887 um for 0.01 mm, 14.43 um for 0.05 mm; a zeroed reading holds it twice. Growth with 11.5e-6 per
    // kelvin (GUM H.1, EA-4/02): 25 mm, +10 K 2.9 um; 50 mm 5.75 um; 100 mm 11.5 um.
    CHECK(rectangular_component("r", 10'000 / 2.0).u() == to(0.5, 2887));
    CHECK(rectangular_component("r", 50'000 / 2.0).u() == to(5, 14'430));
    const auto plain = caliper_budget({.resolution = 10'000, .zeroed = false});
    const auto zeroed = caliper_budget({.resolution = 10'000});
    REQUIRE(plain);
    REQUIRE(zeroed);
    CHECK(plain->standard_uncertainty_nm == 2887);   // 2886.75 rounded up
    CHECK(zeroed->standard_uncertainty_nm == 4083);  // 4082.48 rounded up
    CHECK(thermal_growth(25e6, 11.5e-6, 10) == to(50, 2900));
    CHECK(thermal_growth(50e6, 11.5e-6, 10) == Approx(5750));
    CHECK(thermal_growth(100e6, 11.5e-6, 10) == Approx(11'500));
}

TEST_CASE("R5: a caliper's uncertainty tells where it comes from and is rounded up to whole nanometres") {
    // Recomputed with mpmath.
    const auto c = caliper_budget({.resolution = 10'000,
                                   .calibration_expanded = 20'000,
                                   .calibration_k = 2,
                                   .repeatability_sd = 4'200,
                                   .repeatability_df = 60,
                                   .reproducibility_sd = 3'100,
                                   .reproducibility_df = 2,
                                   .temperature_half_width = 2,
                                   .length = 50e6});
    REQUIRE(c);
    const auto& lines = c->budget.lines;
    REQUIRE(lines.size() == 5);
    CHECK(lines[0].component.code == "uncertainty.resolution");
    CHECK(lines[0].contribution == Approx(4082.482905).epsilon(1e-9));
    CHECK(lines[1].component.code == "uncertainty.calibration");
    CHECK(lines[1].contribution == Approx(10'000));
    CHECK(lines[2].component.code == "uncertainty.repeatability");
    CHECK(lines[2].contribution == Approx(4'200));
    CHECK(lines[3].component.code == "uncertainty.reproducibility");
    CHECK(lines[3].contribution == Approx(3'100));
    CHECK(lines[4].component.code == "uncertainty.temperature");
    CHECK(lines[4].contribution == Approx(663.9528096).epsilon(1e-9));
    CHECK(c->budget.u == Approx(12014.8865995481).epsilon(1e-12));
    CHECK(*c->budget.effective_df == Approx(405.728020781).epsilon(1e-9));
    CHECK(c->standard_uncertainty_nm == 12015);

    const auto warm =
        caliper_budget({.resolution = 10'000, .length = 50e6, .alpha_half_width = 1e-6, .from_20_degrees = 10});
    REQUIRE(warm);
    CHECK(warm->budget.lines.back().component.code == "uncertainty.expansion");
    CHECK(warm->budget.lines.back().contribution == Approx(500 / std::numbers::sqrt3));
}

TEST_CASE("R5: rounding up never makes a gauge finer than its budget") {
    CHECK(rc::check("u <= whole nm < u + 1", [] {
        const auto c = caliper_budget({.resolution = static_cast<double>(*rc::gen::inRange(0, 50'000)),
                                       .calibration_expanded = static_cast<double>(*rc::gen::inRange(1, 50'000)),
                                       .repeatability_sd = *rc::gen::inRange(0, 100'000) / 7.0,
                                       .temperature_half_width = *rc::gen::inRange(0, 100) / 10.0,
                                       .length = 1e6 * *rc::gen::inRange(1, 150)});
        RC_ASSERT(c.has_value());
        const auto whole = static_cast<double>(c->standard_uncertainty_nm);
        RC_ASSERT(whole >= c->budget.u);
        RC_ASSERT(whole < c->budget.u + 1);
    }));
    // Exactly whole stays as it is: 3, 4 and 5 thousand.
    const auto whole = caliper_budget({.repeatability_sd = 3'000, .reproducibility_sd = 4'000});
    REQUIRE(whole);
    CHECK(whole->standard_uncertainty_nm == 5'000);
}

TEST_CASE("R8: a budget with a negative, missing or boundless input is refused by its name") {
    const auto refused = [](const CaliperInputs& in) {
        const auto c = caliper_budget(in);
        REQUIRE_FALSE(c);
        return c.error();
    };
    CHECK(refused({.resolution = -1}).detail("which") == "resolution");
    CHECK(
        refused({.resolution = 1, .calibration_expanded = std::numeric_limits<double>::quiet_NaN()}).detail("which") ==
        "calibration");
    CHECK(refused({.resolution = 1, .calibration_k = 0}).detail("which") == "calibration_k");
    CHECK(refused({.resolution = 1, .repeatability_df = 0}).detail("which") == "df");
    CHECK(
        refused({.resolution = 1, .temperature_half_width = std::numeric_limits<double>::infinity()}).detail("which") ==
        "temperature");
    CHECK(refused({.resolution = 1e200}).detail("which") == "sum");
    CHECK(refused({}).code == "uncertainty.nothing");
}

TEST_CASE("effective degrees of freedom lie between the fewest and the sum") {
    CHECK(rc::check("Welch-Satterthwaite's bounds", [] {
        const auto n = *rc::gen::inRange(1, 6);
        std::vector<BudgetComponent> parts;
        double fewest = 1e9, sum = 0;
        for (int i = 0; i < n; ++i) {
            const double df = *rc::gen::inRange(1, 40);
            parts.push_back(standard_component(std::to_string(i), *rc::gen::inRange(1, 1000), 1, df));
            fewest = std::min(fewest, df);
            sum += df;
        }
        const auto b = combine(parts);
        RC_ASSERT(*b.effective_df >= fewest * (1 - 1e-9));
        RC_ASSERT(*b.effective_df <= sum * (1 + 1e-9));
        RC_ASSERT(static_cast<double>(*b.whole_df) <= *b.effective_df * (1 + 1e-9));
        RC_ASSERT(*b.whole_df >= 1);
    }));
    // One component keeps its own, whole.
    for (int df = 1; df < 60; ++df)
        CHECK(combine({standard_component("one", 0.1, 3, df)}).whole_df == df);
    // Equal ones have their sum; rounding must not cut it to one less.
    for (int n = 2; n < 12; ++n)
        for (int df = 1; df < 30; ++df) {
            const std::vector<BudgetComponent> equal(static_cast<std::size_t>(n), standard_component("u", 0.7, 1, df));
            CHECK(combine(equal).whole_df == n * df);
        }
}

TEST_CASE("components that cannot be are bugs") {
    CHECK_THROWS_AS(standard_component("u", -1), std::domain_error);
    CHECK_THROWS_AS(expanded_component("u", 1, 0), std::domain_error);
    CHECK_THROWS_AS(standard_component("u", 1, 1, 0.5), std::domain_error);
    CHECK_THROWS_AS(mean_component("u", 1, 0, 5), std::domain_error);
    CHECK_THROWS_AS(t_interval_component("u", 1, 1.0, 5), std::domain_error);
    CHECK_THROWS_AS(combine({}, 1.0), std::domain_error);
    CHECK(triangular_component("u", 6).u() == Approx(std::sqrt(6.0)));
    CHECK(t_interval_component("u", 1.96, 0.95, infinitely_many).u() == to(1e-4, 1));
}

#include "reports/statistics/conformity.h"

#include <cmath>
#include <stdexcept>

#include <rapidcheck.h>

#include "reports/statistics/distributions.h"
#include "specs/decision_rule.h"
#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;
using cqt::Approx;

namespace {

Approx to(double digits, double value) {
    return Approx(value).epsilon(0).margin(digits);
}

// JCGM 106:2012, 9.5.4: ball bearings whose run-out follows a gamma distribution, shape 4, 4 to the micrometre.
ProcessPrior ball_bearings() {
    ProcessPrior prior;
    prior.density = [](double x) { return x <= 0 ? 0 : 256 * x * x * x * std::exp(-4 * x) / 6; };
    prior.lowest = 0;
    prior.highest = 15;
    prior.scale = 0.25;
    return prior;
}

}  // namespace

// The examples' inputs are in part from memory; every answer was recomputed by an independent quadrature. The printed
// answer is the first of each pair.
TEST_CASE("JCGM 106 clause 7: probability that one item conforms") {
    const double zener = conformance_probability(-5.47, 0.05, {{}, -5.40});
    CHECK(zener == to(5e-3, 0.92));
    CHECK(zener == Approx(0.9192433408).epsilon(1e-9));
    const double container = conformance_probability(509.7, 8.6, {490.0, {}});
    CHECK(container == to(5e-3, 0.99));
    CHECK(container == Approx(0.9890095474).epsilon(1e-9));
    const double oil = conformance_probability(13.6, 1.8, {12.5, 16.3});
    CHECK(oil == to(5e-3, 0.66));
    CHECK(oil == Approx(0.6626297865).epsilon(1e-9));
}

TEST_CASE("JCGM 106 8.3.3: a fine for speed only when it is 99.9 % sure") {
    // Limit 100 km/h, u 2 % of the speed: 107 km/h printed, 106.5876095 recomputed.
    const double v = 106.5876095;
    CHECK(conformance_probability(v, 0.02 * v, {{}, 100.0}) == Approx(0.001).epsilon(1e-6));
    const auto acceptance = acceptance_limits({{}, 100.0}, -normal_quantile(0.999) * 0.02 * v);
    REQUIRE(acceptance);
    CHECK(*acceptance->upper == to(0.5, 107));
    CHECK(*acceptance->upper == Approx(v).epsilon(1e-9));
}

TEST_CASE("JCGM 106 table 1: how many standard uncertainties a conformance probability asks for") {
    const double p[] = {0.80, 0.90, 0.95, 0.99, 0.999};
    const double z[] = {0.84, 1.28, 1.64, 2.33, 3.09};
    const double exact[] = {0.8416212336, 1.281551566, 1.644853627, 2.326347874, 3.090232306};
    for (int i = 0; i < 5; ++i) {
        CHECK(normal_quantile(p[i]) == to(5.1e-3, z[i]));
        CHECK(normal_quantile(p[i]) == Approx(exact[i]).epsilon(1e-9));
        CHECK(conformance_probability(10 - exact[i] * 2, 2, {{}, 10.0}) == Approx(p[i]).epsilon(1e-9));
    }
}

TEST_CASE("JCGM 106: global risks of a resistor process with and without a guard band") {
    const auto process = normal_prior(1500, 0.12);
    const ToleranceLimits tolerance{1499.8, 1500.2};
    const auto guarded = global_risks(process, 0.04, tolerance, {1499.82, 1500.18});
    CHECK(guarded.conforming == to(5e-3, 0.90));
    CHECK(guarded.conforming == Approx(0.9044192955).epsilon(1e-9));
    CHECK(guarded.consumer == to(5e-3, 0.01));
    CHECK(guarded.consumer == Approx(0.009878291522).epsilon(1e-8));
    CHECK(guarded.producer == to(5e-3, 0.07));
    CHECK(guarded.producer == Approx(0.06902651046).epsilon(1e-8));
    const auto simple = global_risks(process, 0.04, tolerance, tolerance);
    CHECK(simple.consumer == Approx(0.01894220672).epsilon(1e-8));
    CHECK(simple.producer == Approx(0.03720780018).epsilon(1e-8));
}

TEST_CASE("JCGM 106 9.5.4: ball bearings, where the process is no normal one") {
    const ToleranceLimits tolerance{{}, 2.0};
    const auto simple = global_risks(ball_bearings(), 0.25, tolerance, tolerance);
    CHECK(1 - simple.conforming == to(5e-4, 0.042));
    CHECK(1 - simple.conforming == Approx(0.04238011199).epsilon(1e-8));
    CHECK(simple.consumer == to(5e-4, 0.008));
    CHECK(simple.consumer == Approx(0.008019111884).epsilon(1e-8));
    CHECK(simple.producer == Approx(0.01744456923).epsilon(1e-8));
    const auto guard = guard_for_consumer_risk(ball_bearings(), 0.25, tolerance, 0.001);
    REQUIRE(guard);
    CHECK(2 - *guard == to(5e-3, 1.67));
    CHECK(2 - *guard == Approx(1.671828772).epsilon(1e-8));
    const auto risks = global_risks(ball_bearings(), 0.25, tolerance, *acceptance_limits(tolerance, *guard));
    CHECK(risks.consumer == Approx(0.001).epsilon(1e-9));
    CHECK(risks.producer == Approx(0.0754938761).epsilon(1e-8));
}

TEST_CASE("global risks for test uncertainty ratios from 1 to 10, with and without a guard of U") {
    // tests/data/risk_tur_global.csv, six decimals, recomputed by quadrature.
    int rows = 0;
    for (const auto& row : data_rows("risk_tur_global.csv")) {
        const double tur = number(row[0]), share = number(row[1]);
        const double u = 1 / (2 * tur);  // T = 1
        const auto acceptance = acceptance_limits({-1.0, 1.0}, guard_band(number(row[2]), 2 * u));
        REQUIRE(acceptance);
        const auto r = global_risks(normal_prior(0, 1 / normal_quantile((1 + share) / 2)), u, {-1.0, 1.0}, *acceptance);
        INFO(row[0] << " " << row[1] << " " << row[2]);
        CHECK(r.conforming == Approx(share).epsilon(1e-9));
        CHECK(r.consumer == to(5.1e-7, number(row[3])));
        CHECK(r.producer == to(5.1e-7, number(row[4])));
        CHECK(test_uncertainty_ratio(-1, 1, 2 * u) == Approx(tur));
        ++rows;
    }
    CHECK(rows == 52);
}

TEST_CASE("a ratio of 4.6 to 1 keeps false accepts under 2 % in every centred process, 4 to 1 does not") {
    // Worst over all centred processes: 2.24 % at 4, 1.96 % at 4.6 (recomputed; the saying is common practice).
    const auto worst = [](double tur) {
        double most = 0;
        for (double sd = 0.1; sd < 5; sd *= 1.02)
            most = std::max(most, global_risks(normal_prior(0, sd), 1 / (2 * tur), {-1.0, 1.0}, {-1.0, 1.0}).consumer);
        return most;
    };
    CHECK(worst(4) == to(5e-5, 0.0224));
    CHECK(worst(4.6) == to(5e-5, 0.0196));
}

TEST_CASE("R5: what the usual guard bands are worth") {
    // ISO 14253-1:2017: 1.65 u, 4.947 %. ILAC-G8:09/2019: w = r U; r 0.83 under 5 %, 1 under 2.5 %, 1.5 under 0.16 %,
    // 3 under one in a million.
    CHECK(false_accept_at_guard(0) == 0.5);
    CHECK(false_accept_at_guard(1.65 / 2) == Approx(0.04947).epsilon(1e-4));
    CHECK(false_accept_at_guard(0.83) == Approx(0.04846).epsilon(1e-3));
    CHECK(false_accept_at_guard(1) == Approx(0.02275).epsilon(1e-4));
    CHECK(false_accept_at_guard(1.5) == Approx(0.00135).epsilon(1e-3));
    CHECK(false_accept_at_guard(3) == Approx(9.87e-10).epsilon(1e-3));
    CHECK(guard_band(0.83, 0.02) == Approx(0.0166));
    CHECK_FALSE(acceptance_limits({1.0, 2.0}, 0.51));  // nothing left to accept in
    CHECK(acceptance_limits({1.0, 2.0}, 0.5));
}

TEST_CASE("the capability of a measurement and the risk of one item") {
    CHECK(measurement_capability(1499.8, 1500.2, 0.04) == Approx(2.5));
    CHECK(test_uncertainty_ratio(-1, 1, 0.25) == Approx(4));
    const ToleranceLimits tolerance{0.0, 10.0}, acceptance{1.0, 9.0};
    const auto in = specific_risk(9, 1, tolerance, acceptance);
    CHECK(in.accepted);
    CHECK(in.risk == Approx(normal_upper(1.0)).epsilon(1e-12));
    const auto out = specific_risk(9.5, 1, tolerance, acceptance);
    CHECK_FALSE(out.accepted);
    CHECK(out.risk == Approx(normal_cdf(0.5)).epsilon(1e-12));
    // A reading without any uncertainty carries no risk.
    CHECK(specific_risk(5, 0, tolerance, acceptance).risk == 0);
    CHECK_THROWS_AS(measurement_capability(1, 2, 0), std::domain_error);
    CHECK_THROWS_AS(conformance_probability(1, -1, tolerance), std::domain_error);
    CHECK_THROWS_AS(conformance_probability(1, 1, {2.0, 1.0}), std::domain_error);
    CHECK_THROWS_AS(normal_prior(0, 0), std::domain_error);
}

TEST_CASE("a small risk far outside the limits keeps its digits") {
    // Phi(-10) = 7.61985302416053e-24 (mpmath).
    CHECK(conformance_probability(11, 0.1, {8.0, 10.0}) == Approx(7.61985302416053e-24).epsilon(1e-10));
    CHECK(conformance_probability(7, 0.1, {8.0, 10.0}) == Approx(7.61985302416053e-24).epsilon(1e-10));
    CHECK(specific_risk(9, 0.1, {8.0, 10.0}, {8.1, 9.9}).risk == Approx(2 * 7.61985302416053e-24).epsilon(1e-10));
}

TEST_CASE("R5: the probability beside a judgement is the same one, in whole nanometres") {
    CHECK(rc::check("as specs/decision_rule.h says it", [] {
        const std::int64_t lower = *rc::gen::inRange(20'000'000, 30'000'000);
        const std::int64_t upper = lower + *rc::gen::inRange(1, 500'000);
        const std::int64_t value = lower + *rc::gen::inRange(-100'000, 600'000), u = *rc::gen::inRange(0, 60'000);
        const Band band{Length::from_nm(lower), Length::from_nm(upper)};
        const double there = conformity_probability(band, Length::from_nm(value), Length::from_nm(u));
        const double here = conformance_probability(static_cast<double>(value), static_cast<double>(u),
                                                    {static_cast<double>(lower), static_cast<double>(upper)});
        RC_ASSERT(std::abs(there - here) < 1e-12);
    }));
}

TEST_CASE("risks add up: what is rejected and good, accepted and good, accepted and bad") {
    CHECK(rc::check("producer's risk + accepted and conforming = conforming", [] {
        const double mean = *rc::gen::inRange(-20, 21) / 10.0, sd = *rc::gen::inRange(1, 40) / 10.0;
        const double u = *rc::gen::inRange(0, 100) / 40.0, guard = *rc::gen::inRange(-10, 10) / 10.0;
        const ToleranceLimits tolerance{-1.0, 1.0};
        const auto acceptance = *acceptance_limits(tolerance, guard);
        const auto r = global_risks(normal_prior(mean, sd), u, tolerance, acceptance);
        // All that is accepted, from the distribution of readings, which is normal with the sum of the variances.
        const double accepted = conformance_probability(mean, std::hypot(sd, u), acceptance);
        RC_ASSERT(std::abs(r.conforming - conformance_probability(mean, sd, tolerance)) < 1e-10);
        RC_ASSERT(std::abs(r.conforming - r.producer + r.consumer - accepted) < 1e-10);
        RC_ASSERT(r.consumer >= 0);
        RC_ASSERT(r.producer >= 0);
    }));
}

TEST_CASE("a guard for a risk that is met already, or that no guard reaches, is not invented") {
    const ToleranceLimits tolerance{-1.0, 1.0};
    CHECK_FALSE(guard_for_consumer_risk(normal_prior(0, 0.1), 0.1, tolerance, 0.01));
    const auto guard = guard_for_consumer_risk(normal_prior(0, 0.5), 0.1, tolerance, 0.001);
    REQUIRE(guard);
    CHECK(*guard > 0);
    CHECK(*guard < 1);
    CHECK_FALSE(guard_for_consumer_risk(normal_prior(0, 0.5), 0.1, tolerance, 0));
}

#include "reports/statistics/gauge_linearity.h"

#include <cmath>
#include <limits>

#include <rapidcheck.h>

#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;
using cqt::Approx;

namespace {

std::vector<LinearityReading> example() {
    std::vector<LinearityReading> out;
    for (const auto& row : data_rows("linearity_aiag.csv"))
        out.push_back({number(row[0]), number(row[1])});
    return out;
}

Approx to(double digits, double value) {
    return Approx(value).epsilon(0).margin(digits);
}

}  // namespace

TEST_CASE("linearity of the manual's worked example") {
    // AIAG MSA manual, chapter III-B (data and rounded results after public copies, one at scribd 414733344 with
    // intercept 0.737, slope -0.132, R2 71.43 %, s 0.240, standard errors 0.0725 and 0.0109, t 10.16 and -12.04, and
    // 13.17 % linearity, 2.177 at a process sigma of 2.756); further digits recomputed in exact fractions.
    const auto l = linearity_study(example());
    REQUIRE(l);
    CHECK(l->n == 60);
    CHECK(l->intercept == to(5e-4, 0.737));
    CHECK(l->slope == to(5e-4, -0.132));
    CHECK(100 * *l->r_squared == to(5e-3, 71.43));
    CHECK(l->s == to(5e-4, 0.240));
    CHECK(l->intercept_error == to(5e-5, 0.0725));
    CHECK(l->slope_error == to(5e-5, 0.0109));
    CHECK(*l->t_intercept == to(5e-3, 10.16));
    CHECK(*l->t_slope == to(5e-3, -12.04));
    CHECK(l->percent() == to(5e-3, 13.17));
    CHECK(l->linearity(6 * 2.756) == to(5e-4, 2.177));

    CHECK(l->intercept == Approx(0.736666666666667).epsilon(1e-12));
    CHECK(l->slope == Approx(-0.131666666666667).epsilon(1e-12));
    CHECK(*l->r_squared == Approx(0.714318415932242).epsilon(1e-12));
    CHECK(l->s == Approx(0.239539788646537).epsilon(1e-12));
    CHECK(*l->p_slope == Approx(2.03771558229e-17).epsilon(1e-8));
    CHECK(*l->p_intercept == Approx(1.73379959546e-14).epsilon(1e-8));
}

TEST_CASE("each reference of the worked example has its own bias and test") {
    // The same sources; the p of the third is printed 0.667.
    const auto l = linearity_study(example());
    REQUIRE(l);
    REQUIRE(l->at.size() == 5);
    const double bias[] = {0.492, 0.125, 0.0250, -0.292, -0.617};
    const double error[] = {0.0358, 0.129, 0.0566, 0.0288, 0.0423};
    const double t[] = {13.7341041122, 0.967696165297, 0.441889434349, -10.1421198681, -14.5636050327};
    const double p[] = {2.87233310444e-8, 0.353991325268, 0.667130710763, 6.41948050554e-7, 1.55444480038e-8};
    for (std::size_t i = 0; i < 5; ++i) {
        CHECK(l->at[i].reference == 2 * static_cast<double>(i + 1));
        CHECK(l->at[i].n == 12);
        CHECK(l->at[i].bias == to(5e-4, bias[i]));
        CHECK(*l->at[i].standard_error == to(5e-4, error[i]));
        CHECK(*l->at[i].t == Approx(t[i]).epsilon(1e-10));
        CHECK(*l->at[i].p == Approx(p[i]).epsilon(1e-9));
    }
}

TEST_CASE("the band around the line, and whether 'no bias' stays inside it") {
    // Recomputed in exact fractions with Student's t of mpmath.
    const auto l = linearity_study(example());
    REQUIRE(l);
    const double lower[] = {0.366115890056327, -0.115235353071136, -0.687217443277006};
    const double upper[] = {0.58055077661034, 0.00856868640446965, -0.472782556722994};
    const double at[] = {2, 6, 10};
    for (int i = 0; i < 3; ++i) {
        CHECK(l->band_at(at[i]).lower == Approx(lower[i]).epsilon(1e-10));
        CHECK(l->band_at(at[i]).upper == Approx(upper[i]).epsilon(1e-10));
    }
    // The manual: the line "bias = 0" leaves the band, so this gauge has a linearity problem.
    CHECK_FALSE(l->no_bias_within_band());
}

TEST_CASE("a caliper in nanometres with few readings keeps all digits") {
    // Recomputed in exact fractions with mpmath.
    const auto l = linearity_study({{25'000'000, 25'003'000},
                                    {25'000'000, 24'998'000},
                                    {50'000'000, 50'004'000},
                                    {100'000'000, 100'006'000},
                                    {100'000'000, 100'007'000}});
    REQUIRE(l);
    CHECK(l->slope == Approx(7.73913043478261e-5).epsilon(1e-12));
    CHECK(l->intercept == Approx(-1043.47826086957).epsilon(1e-12));
    CHECK(l->s == Approx(2218.17263869891).epsilon(1e-12));
    CHECK(*l->t_slope == Approx(2.64563997898051).epsilon(1e-12));
    CHECK(*l->p_slope == Approx(0.0772816560929).epsilon(1e-10));
    CHECK(*l->p_intercept == Approx(0.640498159883).epsilon(1e-10));
    CHECK(l->at[1].n == 1);
    CHECK_FALSE(l->at[1].standard_error);
}

TEST_CASE("whether 'no bias' stays inside the band is what trying every place would say") {
    CHECK(rc::check("exact answer = 4000 places tried", [] {
        std::vector<LinearityReading> readings;
        const int n = *rc::gen::inRange(3, 12);
        const int tilt = *rc::gen::inRange(-3, 4), lift = *rc::gen::inRange(-20, 21);
        for (int i = 0; i < n; ++i) {
            const double reference = 10.0 * (i % 4) + 5;
            const int noise = *rc::gen::inRange(-15, 16);
            readings.push_back({reference, reference + 0.1 * (tilt * (i % 4) + lift + noise)});
        }
        const auto l = linearity_study(readings);
        RC_PRE(l.has_value() && l->s > 0);
        bool inside = true;
        double nearest = 1e9;  // how near the line comes to the edge of the band
        for (int i = 0; i <= 4000; ++i) {
            const auto band = l->band_at(l->lowest + (l->highest - l->lowest) * i / 4000);
            inside = inside && band.lower <= 0 && 0 <= band.upper;
            nearest = std::min({nearest, std::abs(band.lower), std::abs(band.upper)});
        }
        RC_PRE(nearest > 1e-4 || !inside);
        if (!inside && l->no_bias_within_band()) RC_FAIL("it said inside");
        if (inside) RC_ASSERT(l->no_bias_within_band());
    }));
}

TEST_CASE("a gauge without any bias, and one whose bias is the same everywhere") {
    const auto none = linearity_study({{10, 10}, {20, 20}, {30, 30}});
    REQUIRE(none);
    CHECK(none->slope == 0);
    CHECK_FALSE(none->t_slope);
    CHECK_FALSE(none->r_squared);
    CHECK(none->no_bias_within_band());
    const auto shifted = linearity_study({{10, 10.5}, {20, 20.5}, {30, 30.5}});
    REQUIRE(shifted);
    CHECK(shifted->intercept == 0.5);
    CHECK_FALSE(shifted->no_bias_within_band());
    // Points on a slant: rounding of the readings must not pass for scatter.
    const auto slant = linearity_study({{10, 10.1}, {20, 20.2}, {30, 30.3}, {40, 40.4}});
    REQUIRE(slant);
    CHECK(slant->slope == Approx(0.01).epsilon(1e-10));
    CHECK(slant->s == 0);
    CHECK_FALSE(slant->p_slope);
}

TEST_CASE("R8: linearity over one reference or with two readings is refused") {
    CHECK(linearity_study({{1, 1}, {2, 2}}).error().code == "gauge_study.too_few_readings");
    CHECK(linearity_study({{1, 1}, {1, 2}, {1, 3}}).error().code == "gauge_study.one_reference");
    CHECK(linearity_study({{1, 1}, {2, 2}, {3, std::numeric_limits<double>::quiet_NaN()}}).error().code ==
          "gauge_study.not_a_number");
}

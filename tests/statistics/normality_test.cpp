#include "reports/statistics/normality.h"

#include <cmath>
#include <stdexcept>

#include "tests/statistics/published_data.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;
using cqt::Approx;
using Values = std::vector<double>;

namespace {

// Diameters of a coating in micrometres: Bhaumik and Bhargava 2005, table 1, as printed with their Anderson-Darling
// test by A. Trujillo-Ortiz and others, AnDartest (2007).
const Values coating{245.3, 245.6, 245.0, 244.7, 244.6, 244.6, 245.9, 245.2, 245.5, 246.1, 246.5,
                     246.7, 246.0, 245.8, 245.3, 245.3, 246.0, 245.5, 246.7, 245.3, 245.8, 245.8,
                     245.2, 245.7, 244.8, 246.7, 246.5, 245.5, 246.0, 244.8, 244.8, 244.4, 244.8,
                     245.6, 245.5, 244.0, 245.2, 244.8, 245.4, 246.1, 245.9, 245.6, 245.2};

}  // namespace

TEST_CASE("Anderson-Darling: a published example comes out in every printed place") {
    // Printed: n 43, A^2 0.2858, corrected 0.2912, p 0.6088.
    const auto t = anderson_darling(coating).value();
    CHECK(t.n == 43);
    CHECK(t.a_squared == Approx(0.2858).margin(5e-5));
    CHECK(t.corrected == Approx(0.2912).margin(5e-5));
    CHECK(t.p == Approx(0.6088).margin(5e-5));
}

TEST_CASE("Anderson-Darling: A^2 agrees to twelve digits with a computation at forty digits") {
    // By mpmath, from the definition: sum of (2i - 1)(ln Phi(y_i) + ln(1 - Phi(y_n+1-i))), y by mean and sd (n - 1).
    CHECK(anderson_darling(coating).value().a_squared == Approx(0.285833413592832736).epsilon(1e-12));
    CHECK(anderson_darling(coating).value().corrected == Approx(0.291166703354299869).epsilon(1e-12));
    const auto gears = anderson_darling(published::values("gear_diameters.txt")).value();
    CHECK(gears.a_squared == Approx(1.45795194084366907).epsilon(1e-12));
    CHECK(gears.corrected == Approx(1.46921461958668641).epsilon(1e-12));
    const auto lottery = anderson_darling(published::values("strd/lottery.txt")).value();
    CHECK(lottery.a_squared == Approx(2.57372647145081482).epsilon(1e-12));
    CHECK(anderson_darling(Values{0, 1, 2, 3, 4, 5, 6, 1000}).value().a_squared ==
          Approx(2.37038746220441607).epsilon(1e-12));
}

TEST_CASE("Anderson-Darling: p at published points of the corrected statistic") {
    // The worked example of the NAG library's g08ck (its data are not at hand): 0.171296 has p 0.931155.
    CHECK(anderson_darling_p(0.171296) == Approx(0.931155).margin(2e-6));
    // Percentage points of D'Agostino and Stephens, table 4.7 (figures from memory): the formulas are a fit to them.
    CHECK(anderson_darling_p(0.631) == Approx(0.10).epsilon(0.02));
    CHECK(anderson_darling_p(0.752) == Approx(0.05).epsilon(0.02));
    CHECK(anderson_darling_p(0.873) == Approx(0.025).epsilon(0.02));
    CHECK(anderson_darling_p(1.035) == Approx(0.01).epsilon(0.02));
}

TEST_CASE("Anderson-Darling: p falls as the statistic grows, with no step where one formula ends") {
    for (int i = 1; i < 11'000; ++i) {
        const double before = anderson_darling_p((i - 1) / 1000.0), after = anderson_darling_p(i / 1000.0);
        CAPTURE(i);
        REQUIRE(after <= before + 2e-3);
        REQUIRE(after > 0);
        REQUIRE(after <= 1);
        REQUIRE(before - after < 0.01);
    }
    // Beyond its fit the last formula would turn round and rise: at 400 above 1.
    CHECK(anderson_darling_p(400) == anderson_darling_p(10));
    CHECK_THROWS_AS(anderson_darling_p(-0.1), std::domain_error);
    CHECK_THROWS_AS(anderson_darling_p(std::nan("")), std::domain_error);
}

TEST_CASE("Anderson-Darling: unit and place of the values do not matter") {
    Values nanometres;
    for (const double v : coating)
        nanometres.push_back(std::round(v * 10) * 100 + 22'000'000);
    CHECK(anderson_darling(nanometres).value().a_squared == Approx(0.285833413592832736).epsilon(1e-12));
}

TEST_CASE("Anderson-Darling: one wild value among many does not break the logarithm") {
    Values values;
    for (int i = 0; i < 5000; ++i)
        values.push_back(i % 7);
    values.push_back(1e12);
    const auto t = anderson_darling(values).value();
    CHECK(std::isfinite(t.a_squared));
    CHECK(t.p < 1e-6);
}

TEST_CASE("Anderson-Darling: too few values, or no spread, are refused by name") {
    const auto few = anderson_darling(Values{1, 2, 3, 4, 5, 6, 7});
    REQUIRE_FALSE(few.has_value());
    CHECK(few.error().code == "statistics.too_few_for_normality");
    CHECK(few.error().detail("found") == "7");
    CHECK(few.error().detail("needed") == "8");
    CHECK(anderson_darling(Values{1, 2, 3, 4, 5, 6, 7, 8}).has_value());
    const auto stuck = anderson_darling(Values(20, 22.31));
    REQUIRE_FALSE(stuck.has_value());
    CHECK(stuck.error().code == "statistics.all_equal");
    CHECK(stuck.error().detail("found") == "20");
}

TEST_CASE("Normal plot: values in rising order, at Filliben's medians and their normal scores") {
    // Positions 1 - 0.5^(1/10), then (i - 0.3175) / 10.365; scores by mpmath.
    const auto points = normal_plot(Values{10, 9, 8, 7, 6, 5, 4, 3, 2, 1});
    REQUIRE(points.size() == 10);
    const double positions[] = {0.0669670084631926, 0.162325132657984, 0.258803666184274, 0.355282199710564,
                                0.451760733236855};
    const double scores[] = {-1.49876727535898, -0.984946674138949, -0.647038027364069, -0.371098189575024,
                             -0.121214087132299};
    for (std::size_t i = 0; i < 5; ++i) {
        CAPTURE(i);
        CHECK(points[i].value == static_cast<double>(i + 1));
        CHECK(points[i].position == Approx(positions[i]).epsilon(1e-13));
        CHECK(points[i].score == Approx(scores[i]).epsilon(1e-12));
        // The other half mirrors it.
        CHECK(points[9 - i].position == Approx(1 - positions[i]).epsilon(1e-13));
        CHECK(points[9 - i].score == Approx(-scores[i]).epsilon(1e-12));
    }
    CHECK(normal_plot(Values{}).empty());
    const auto one = normal_plot(Values{22.31});
    REQUIRE(one.size() == 1);
    CHECK(one[0].position == 0.5);
    CHECK(one[0].score == Approx(0).margin(1e-15));
}

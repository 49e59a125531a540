#include "reports/statistics/moments.h"

#include <cmath>
#include <stdexcept>

#include <rapidcheck.h>

#include "tests/support/catch.h"

using namespace crimpgate::statistics;
using Values = std::vector<double>;

TEST_CASE("A sum keeps what a plain one drops between two large terms") {
    CHECK(exact_sum(Values{1e300, 1, -1e300}) == 1);
    CHECK(exact_sum(Values{1, 1e300, 1, -1e300}) == 2);  // Neumaier's own example of what Kahan's sum gets wrong
    CHECK(exact_sum(Values{}) == 0);
    // 0.1 as a double is 0.1000000000000000055511151231257827: ten million of them make 1000000 and 5.55e-11.
    CHECK(exact_sum(Values(10'000'000, 0.1)) == 1'000'000);
}

TEST_CASE("Mean and spread of a few crimps in nanometres are those of the hand calculation") {
    // 22.31, 22.33, 22.35, 22.37 mm: mean 22.34, squared deviations 9 + 1 + 1 + 9 = 20 (0.01 mm)^2.
    const auto m = moments_of(Values{22'310'000, 22'330'000, 22'350'000, 22'370'000});
    CHECK(m.n == 4);
    CHECK(m.mean == 22'340'000);
    CHECK(m.squared_deviations == 20e8);
    CHECK(m.variance().value() == cqt::Approx(20e8 / 3).epsilon(1e-15));
    CHECK(m.sd().value() == cqt::Approx(std::sqrt(20e8 / 3)).epsilon(1e-15));
}

TEST_CASE("One value has a mean and no spread, none has neither") {
    const auto one = moments_of(Values{22'310'000});
    CHECK(one.mean == 22'310'000);
    CHECK_FALSE(one.variance().has_value());
    CHECK_FALSE(one.sd().has_value());
    const auto none = moments_of(Values{});
    CHECK(none.n == 0);
    CHECK(none.mean == 0);
    CHECK_FALSE(none.sd().has_value());
    CHECK_FALSE(lag1_autocorrelation(Values{}).has_value());
    CHECK_FALSE(lag1_autocorrelation(Values{1}).has_value());
}

TEST_CASE("A gauge that stands still has a spread of nothing at all, and no autocorrelation") {
    const Values stuck(5001, 22.31);
    CHECK(moments_of(stuck).mean == 22.31);
    CHECK(moments_of(stuck).sd().value() == 0);
    CHECK_FALSE(lag1_autocorrelation(stuck).has_value());
}

TEST_CASE("Lag-1 autocorrelation is that of the hand calculation") {
    // 1 2 3 4: deviations -1.5 -0.5 0.5 1.5; products 0.75 - 0.25 + 0.75 = 1.25; squares 5.
    CHECK(lag1_autocorrelation(Values{1, 2, 3, 4}).value() == 0.25);
    // 1 -1 1 -1: products -3, squares 4.
    CHECK(lag1_autocorrelation(Values{1, -1, 1, -1}).value() == -0.75);
}

TEST_CASE("Moving all values by whole nanometres moves the mean and leaves the spread to the last digit") {
    CHECK(rc::check("an offset costs no digits", [] {
        const auto steps = *rc::gen::container<std::vector<int>>(20, rc::gen::inRange(-50'000, 50'000));
        const auto offset = *rc::gen::inRange<std::int64_t>(0, 1'000'000'000'000);
        Values near, far;
        for (const int s : steps) {
            near.push_back(s);
            far.push_back(static_cast<double>(s + offset));
        }
        const auto a = moments_of(near), b = moments_of(far);
        RC_ASSERT(std::abs(b.squared_deviations - a.squared_deviations) <= 1e-15 * a.squared_deviations);
        RC_ASSERT(std::abs(b.mean - a.mean - static_cast<double>(offset)) <= 1e-4);
    }));
}

TEST_CASE("A quantile lies between its neighbours in proportion") {
    // Hyndman and Fan, definition 7: at place (n - 1) p, counted from 0. By hand:
    const Values five{50, 10, 40, 20, 30};                                 // sorted 10 20 30 40 50
    CHECK(quantile(five, 0.5).value() == 30);                              // place 2
    CHECK(quantile(five, 0.25).value() == 20);                             // place 1
    CHECK(quantile(five, 0.9).value() == cqt::Approx(46).epsilon(1e-15));  // place 3.6: 40 + 0.6 x 10
    CHECK(quantile(five, 0.0).value() == 10);
    CHECK(quantile(five, 1.0).value() == 50);
    const Values four{1, 2, 4, 8};
    CHECK(quantile(four, 0.5).value() == 3);   // place 1.5: 2 + 0.5 x 2
    CHECK(quantile(four, 0.75).value() == 5);  // place 2.25: 4 + 0.25 x 4
    CHECK(quantile(Values{7}, 0.3).value() == 7);
    CHECK_FALSE(quantile(Values{}, 0.5).has_value());
}

TEST_CASE("A share outside 0 to 1 is a mistake of the program and not of the data") {
    CHECK_THROWS_AS(quantile(Values{1, 2}, -0.01), std::domain_error);
    CHECK_THROWS_AS(quantile(Values{1, 2}, 1.01), std::domain_error);
    CHECK_THROWS_AS(quantile(Values{1, 2}, std::nan("")), std::domain_error);
}

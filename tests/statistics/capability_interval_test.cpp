#include "reports/statistics/capability_interval.h"

#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"
#include "reports/statistics/random_pick.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

TEST_CASE("The interval of Cp is that of Montgomery's example") {
    // Limits 38 and 62, s 1.75, n 20: chi-squared 8.907 and 32.852, 1.57 to 3.01 from the rounded 2.29;
    // recomputed 1.56494 to 3.00558. A reprint with 1.671 took the 5 % point 10.12 for the lower limit.
    const double cp = 24 / (6 * 1.75);
    CHECK(cp == cqt::Approx(2.285714).margin(5e-7));
    CHECK(chi_squared_quantile(0.025, 19) == cqt::Approx(8.906516).margin(5e-7));
    CHECK(chi_squared_quantile(0.975, 19) == cqt::Approx(32.852327).margin(5e-7));
    const auto interval = spread_index_interval(cp, 19, 0.95);
    CHECK(interval.lower == cqt::Approx(1.56494).margin(5e-6));
    CHECK(interval.upper == cqt::Approx(3.00558).margin(5e-6));
    const auto rounded = spread_index_interval(2.29, 19, 0.95);
    CHECK(rounded.lower == cqt::Approx(1.57).margin(0.005));
    CHECK(rounded.upper == cqt::Approx(3.01).margin(0.005));
    CHECK(spread_index_lower_bound(cp, 19, 0.95) == cqt::Approx(1.671).margin(0.005));  // what that reprint is
}

TEST_CASE("Bissell's interval of Cpk") {
    // 1.33 from n = 20: 0.8826 to 1.7774, recomputed from the formula. A textbook's 0.99 to 1.67 took the relative
    // half-width for an absolute one. The others recomputed too: limits, mean and s below.
    struct Line {
        double index, n, lower, upper;
    };
    for (const auto& line : {
             Line{1.33, 20, 0.8826, 1.7774}, Line{3 / (3 * 1.6), 30, 0.4248, 0.8252},  // 90..100, mean 97, s 1.6
             Line{4 / (3 * 1.2), 50, 0.8725, 1.3497},                                  // 10..20, mean 16, s 1.2
             Line{2.0 / 3, 100, 0.5531, 0.7802},                                       // NIST 6.1.6
         }) {
        const auto interval = nearer_index_interval(line.index, line.n, line.n - 1, 0.95);
        CHECK(interval.lower == cqt::Approx(line.lower).margin(5e-5));
        CHECK(interval.upper == cqt::Approx(line.upper).margin(5e-5));
    }
}

TEST_CASE("What an observed 1.33 is worth: the lower bound by the number of values") {
    // Recomputed one-sided 95 % bounds.
    struct Line {
        int n;
        double bound;
    };
    for (const auto& line : {Line{10, 0.786}, Line{20, 0.955}, Line{30, 1.026}, Line{50, 1.096}, Line{100, 1.165},
                             Line{125, 1.183}, Line{200, 1.214}})
        CHECK(nearer_index_lower_bound(1.33, line.n, line.n - 1, 0.95) == cqt::Approx(line.bound).margin(5e-4));
}

TEST_CASE("An interval out of range is a bug") {
    CHECK_THROWS_AS(spread_index_interval(1, 0, 0.95), std::domain_error);
    CHECK_THROWS_AS(spread_index_interval(1, 19, 1), std::domain_error);
    CHECK_THROWS_AS(nearer_index_interval(1, 0, 19, 0.95), std::domain_error);
    CHECK_THROWS_AS(nearer_index_lower_bound(1, 20, 19, 0), std::domain_error);
    CHECK_THROWS_AS(target_index_interval(1, 0, 0, 0.95), std::domain_error);
}

TEST_CASE("Intervals hold the true index as often as they say") {
    // 4000 invented processes of 40 values each, a fixed start; 95 % of 4000 with a standard error of 0.35 %. The
    // interval of Cp is exact; Bissell's and Boyles's are approximations, which the wider margins allow for.
    constexpr int processes = 4000, n = 40;
    constexpr double lower = -4, upper = 4, target = 0, mean = 0.8;  // sigma 1
    const double cp = 8.0 / 6, cpk = (upper - mean) / 3, cpm = 8 / (6 * std::hypot(1.0, mean - target));
    SplitMix64 random(20260701);
    const auto normal = [&] {
        return normal_quantile((static_cast<double>(random.draw() >> 11) + 0.5) / 9007199254740992.0);
    };
    int held_cp = 0, held_cpk = 0, held_cpm = 0, above_bound = 0;
    for (int process = 0; process < processes; ++process) {
        std::vector<double> values(n);
        for (auto& value : values)
            value = mean + normal();
        const auto moments = moments_of(values);
        const double s = *moments.sd();
        const auto holds = [](const Interval& i, double truth) { return i.lower <= truth && truth <= i.upper; };
        held_cp += holds(spread_index_interval((upper - lower) / (6 * s), n - 1, 0.95), cp);
        const double nearer = std::min(upper - moments.mean, moments.mean - lower) / (3 * s);
        held_cpk += holds(nearer_index_interval(nearer, n, n - 1, 0.95), cpk);
        above_bound += nearer_index_lower_bound(nearer, n, n - 1, 0.95) <= cpk;
        const double offset = moments.mean - target;
        held_cpm +=
            holds(target_index_interval((upper - lower) / (6 * std::hypot(s, offset)), n, offset / s, 0.95), cpm);
    }
    INFO("Cp " << held_cp << ", Cpk " << held_cpk << " and " << above_bound << ", Cpm " << held_cpm << " of "
               << processes);
    CHECK(std::abs(held_cp / double(processes) - 0.95) < 0.0105);
    CHECK(std::abs(held_cpk / double(processes) - 0.95) < 0.015);
    CHECK(std::abs(above_bound / double(processes) - 0.95) < 0.02);
    CHECK(std::abs(held_cpm / double(processes) - 0.95) < 0.015);
}

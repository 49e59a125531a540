// The drift watch: invented ends of a 25.5 +-0.2 mm crimp, in nanometres. The figures are worked out beside each case.
#include "reports/statistics/drift.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include "reports/statistics/distributions.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

// Ends that scatter by +-10 um about a middle, all places alike within 8 um.
Running ends(std::size_t count, double middle = 25'500'000) {
    Running r;
    const double swing[] = {10'000, -10'000, 5'000, -5'000};
    for (std::size_t i = 0; i < count; ++i) {
        r.means.push_back(middle + swing[i % 4]);
        r.spreads.push_back(8'000);
    }
    r.places = 3;
    r.accept_lower = 25'320'000;
    r.accept_upper = 25'680'000;
    r.middle = 25'500'000;
    r.resolution = 10'000;
    return r;
}

}  // namespace

TEST_CASE("a set-up that stays where it was set warns of nothing") {
    for (std::size_t count : {1U, 8U, 20U, 21U, 50U}) {
        const auto state = drift_state(ends(count));
        REQUIRE(state);
        INFO(count << " ends");
        CHECK_FALSE(state->warns);
        CHECK(state->limits.has_value() == (count > 20));
    }
    CHECK_FALSE(drift_state(ends(0)));
}

TEST_CASE("an end beyond three sigma of the first twenty warns, and says how far to go back") {
    auto r = ends(20);
    r.means.push_back(25'580'000);
    r.spreads.push_back(8'000);
    const auto state = drift_state(r);
    REQUIRE(state);
    // The moving ranges of 10, -10, 5, -5 are 20, 15, 10, 15 in turn: 19 of them, mean 285 / 19 = 15 um; / 1.12838.
    CHECK(state->sigma == Approx(15'000 / 1.1283791671).epsilon(1e-9));
    CHECK(state->limits->centre == Approx(25'500'000));
    REQUIRE(state->signals.size() == 1);
    CHECK(state->signals[0].rule == RunRule::beyond_three_sigma);
    CHECK(state->warns);
    CHECK(state->correction < 0);  // too wide: close
    CHECK(state->correction == Approx(25'500'000 - state->level));
}

TEST_CASE("nine ends on one side warn long before a part fails") {
    auto r = ends(20);
    for (int i = 0; i < 9; ++i) {
        r.means.push_back(25'512'000);
        r.spreads.push_back(8'000);
        const auto state = drift_state(r);
        CHECK(state->warns == (i == 8));
    }
}

TEST_CASE("a crimp that grows a caliper's step an end is warned of at the sixth end, far from the band's edge") {
    // 25.50 to 25.69 mm in twenty ends; a reading conforms up to 25.68.
    Running grows = ends(0);
    Running shrinks = ends(0);
    for (int i = 0; i < 20; ++i) {
        grows.means.push_back(25'500'000 + i * 10'000);
        shrinks.means.push_back(25'500'000 - i * 10'000);
        grows.spreads.push_back(8'000);
        shrinks.spreads.push_back(8'000);
        INFO("end " << i + 1);
        CHECK(drift_state(grows)->warns == (i >= 5));
        CHECK(drift_state(shrinks)->warns == (i >= 5));
        if (i != 5) continue;
        const auto state = drift_state(grows);
        CHECK_FALSE(state->limits);
        REQUIRE(state->signals.size() == 1);
        CHECK(state->signals[0].rule == RunRule::six_steadily_moving);
        CHECK(state->signals[0].side == Side::above);
        CHECK(state->signals[0].points == std::vector<std::size_t>{0, 1, 2, 3, 4, 5});
        // Level by hand, of each step's 10 um a fifth, from the first: 0, 2, 5.6, 10.48, 16.384, 23.1072 um.
        CHECK(state->correction == Approx(-23'107.2).epsilon(1e-9));
        CHECK(drift_state(shrinks)->signals[0].side == Side::below);
        CHECK(drift_state(shrinks)->correction == Approx(23'107.2).epsilon(1e-9));
    }
}

TEST_CASE("equal ends are no steady move, whatever a caliper's steps hide between them") {
    Running r = ends(0);
    for (const double step : {0, 10, 20, 20, 30, 40, 40, 50, 60, 60}) {
        r.means.push_back(25'500'000 + step * 1'000);
        r.spreads.push_back(8'000);
        CHECK_FALSE(drift_state(r)->warns);
    }
}

TEST_CASE("who switches the rule off is not asked by it, and no rule that needs limits is asked before there are any") {
    Running r = ends(0);
    for (int i = 0; i < 12; ++i) {
        r.means.push_back(25'500'000 + i * 10'000);
        r.spreads.push_back(8'000);
    }
    DriftChoice choice;
    choice.rules.set(RunRule::six_steadily_moving, false);
    CHECK_FALSE(drift_state(r, choice)->warns);
    choice.rules = nelson_rules();
    REQUIRE(drift_state(r, choice)->signals.size() == 1);
    CHECK(drift_state(r, choice)->signals[0].rule == RunRule::six_steadily_moving);
    r.means.back() = std::nan("");
    CHECK_THROWS_AS(drift_state(r), std::domain_error);
}

TEST_CASE("of the orders of six values two are steady, and a set-up of twenty has a false alarm in 3.6 of 100") {
    std::array order{1.0, 2.0, 3.0, 4.0, 5.0, 6.0};
    const RunRules steady{RunRule::six_steadily_moving};
    int orders = 0;
    int signals = 0;
    do {
        ++orders;
        signals += static_cast<int>(signals_at_last(order, steady).size());
    } while (std::next_permutation(order.begin(), order.end()));
    CHECK(orders == 720);
    CHECK(signals == 2);

    // 1 - (orders of 20 values without a steady six) / 20! = 0.035746, counted by ranks. Drawn here, four standard
    // errors of 20 000 set-ups: 0.0053. Only the order counts, so any continuous distribution will do.
    std::mt19937_64 dice(20'240'611);
    constexpr int setups = 20'000;
    int alarmed = 0;
    for (int setup = 0; setup < setups; ++setup) {
        std::vector<double> means;
        bool alarm = false;
        for (int end = 0; end < 20; ++end) {
            means.push_back(static_cast<double>(dice() >> 11U));
            alarm = alarm || !signals_at_last(means, steady).empty();
        }
        alarmed += alarm ? 1 : 0;
    }
    CHECK(static_cast<double>(alarmed) / setups == Approx(0.035746).epsilon(0).margin(0.0053));
}

TEST_CASE("frozen limits hold from the first end on") {
    auto r = ends(1, 25'560'000);
    CHECK_FALSE(drift_state(r)->warns);
    r.frozen = Limits{25'500'000, 25'455'000, 25'545'000, 15'000};
    CHECK(drift_state(r)->warns);
}

TEST_CASE("the expected share outside the acceptance zone warns without any rule") {
    auto r = ends(8, 25'660'000);
    const auto state = drift_state(r);
    REQUIRE(state);
    CHECK_FALSE(state->limits);
    CHECK(state->signals.empty());
    CHECK(state->warns);
    // Ranges 20, 15, 10, 15, 20, 15, 10 um: mean 15; within an end 8 um / d2(3) = 1.69257.
    const double sigma = 15'000 / 1.1283791671;
    const double single = std::hypot(sigma, 8'000 / 1.6925687506);
    CHECK(state->share == Approx(normal_upper((25'680'000 - state->level) / single) +
                                 normal_cdf((25'320'000 - state->level) / single)));
    CHECK(state->share > 0.01);
    r.means.resize(7);
    r.spreads.resize(7);
    CHECK_FALSE(drift_state(r)->warns);  // seven ends say too little
}

TEST_CASE("a caliper's steps are no drift: equal readings give limits as wide as its resolution") {
    auto r = ends(20);
    std::fill(r.means.begin(), r.means.end(), 25'500'000);
    r.means.push_back(25'505'000);  // half a step
    r.spreads.push_back(8'000);
    const auto state = drift_state(r);
    REQUIRE(state->limits);
    CHECK(state->limits->sigma == Approx(10'000 / std::sqrt(12.0)));
    CHECK_FALSE(state->warns);
}

TEST_CASE("what cannot be a running set-up is a bug") {
    auto r = ends(3);
    r.spreads.pop_back();
    CHECK_THROWS_AS(drift_state(r), std::domain_error);
}

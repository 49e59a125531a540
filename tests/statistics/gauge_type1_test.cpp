#include "reports/statistics/gauge_type1.h"

#include <algorithm>
#include <limits>
#include <string>

#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;
using cqt::Approx;

namespace {

// Example of a public statistics package (vignette): 25 readings of a 10.003 reference, tolerance 9.903 to 10.103.
const std::vector<double> example{9.991,  10.013, 10.001, 10.007, 10.010, 10.013, 10.008, 10.017, 10.005,
                                  10.005, 10.002, 10.017, 10.005, 10.002, 9.996,  10.011, 10.009, 10.006,
                                  10.008, 10.003, 10.002, 10.006, 10.010, 9.992,  10.013};

bool warns(const Type1Study& study, const std::string& code) {
    return std::ranges::any_of(study.warnings, [&](const Message& m) { return m.code == code; });
}

}  // namespace

TEST_CASE("a type 1 study of 25 readings gives the indices of the worked example") {
    // Recomputed in plain Python from the package's data.
    const auto s = type1_study(example, 10.003, 0.2, 0.001);
    REQUIRE(s);
    CHECK(s->n == 25);
    CHECK(s->mean == Approx(10.00608).epsilon(1e-12));
    CHECK(s->sd == Approx(0.00667658).epsilon(1e-6));
    CHECK(s->bias == Approx(0.00308).epsilon(1e-10));
    CHECK(*s->t == Approx(2.30657).epsilon(3e-6));
    CHECK(*s->p == Approx(0.03002).epsilon(2e-4));
    CHECK(*s->cg == Approx(0.998516).epsilon(1e-6));
    CHECK(*s->cgk == Approx(0.844744).epsilon(1e-6));
    CHECK_FALSE(s->capable);
    CHECK(warns(*s, "gauge_study.biased"));
    CHECK(warns(*s, "gauge_study.type1_under_recommended"));
    CHECK_FALSE(warns(*s, "gauge_study.type1_few"));
    CHECK_FALSE(warns(*s, "gauge_study.coarse_resolution"));
}

TEST_CASE("four standard deviations in place of six and 15 percent in place of 20 are the shop's choice") {
    const auto four = type1_study(example, 10.003, 0.2, 0.001, {.sigmas = 4});
    REQUIRE(four);
    CHECK(*four->cg == Approx(1.497774).epsilon(1e-6));
    CHECK(*four->cgk == Approx(1.267117).epsilon(1e-6));
    CHECK_FALSE(four->capable);  // Cg alone is not enough
    const auto narrow = type1_study(example, 10.003, 0.2, 0.001, {.tolerance_share = 0.15});
    CHECK(*narrow->cg == Approx(0.75 * 0.998516).epsilon(1e-6));
}

TEST_CASE("a gauge is capable when spread and bias both are small enough") {
    // https://hsc251.com/2020/11/13-msatypei/: mean 1.71351, s 0.002115, reference 1.708, tolerance 0.14; "both exceed
    // 1.33"; recomputed Cg 2.2065, Cgk 1.3381. Its readings are not published: two halves with that mean and s stand
    // in.
    std::vector<double> readings;
    const double half = 0.002115 * 0.98994949366116658;  // sqrt(49 / 50), since s has n - 1 in it
    for (int i = 0; i < 50; ++i)
        readings.push_back(1.71351 + (i % 2 ? half : -half));
    const auto s = type1_study(readings, 1.708, 0.14, 0.001);
    REQUIRE(s);
    CHECK(s->sd == Approx(0.002115).epsilon(1e-9));
    CHECK(*s->cg == Approx(2.2065).epsilon(3e-5));
    CHECK(*s->cgk == Approx(1.3381).epsilon(3e-5));
    CHECK(s->capable);
    CHECK_FALSE(warns(*s, "gauge_study.type1_under_recommended"));
    // The same gauge with steps of 6 % of the tolerance is not; at 5 % it still is.
    CHECK_FALSE(type1_study(readings, 1.708, 0.14, 0.0084)->capable);
    CHECK(warns(*type1_study(readings, 1.708, 0.14, 0.0084), "gauge_study.coarse_resolution"));
    CHECK(type1_study(readings, 1.708, 0.14, 0.007)->capable);
}

TEST_CASE("24 readings are few, 25 are allowed, 50 are recommended") {
    for (const std::size_t n : {24U, 25U, 49U, 50U}) {
        std::vector<double> readings;
        for (std::size_t i = 0; i < n; ++i)
            readings.push_back(i % 3 == 0 ? 25'400'010 : 25'400'000);
        const auto s = type1_study(readings, 25'400'000, 100'000, 10);
        REQUIRE(s);
        INFO(n);
        CHECK(warns(*s, "gauge_study.type1_few") == (n < 25));
        CHECK(warns(*s, "gauge_study.type1_under_recommended") == (n >= 25 && n < 50));
    }
}

TEST_CASE("readings that are all equal give no index, and say why") {
    const std::vector<double> same(50, 25'410'000.0);
    const auto s = type1_study(same, 25'400'000, 400'000, 10'000);
    REQUIRE(s);
    CHECK(s->bias == 10'000);
    CHECK_FALSE(s->cg);
    CHECK_FALSE(s->cgk);
    CHECK_FALSE(s->p);
    CHECK_FALSE(s->capable);
    CHECK(warns(*s, "gauge_study.all_equal"));
}

TEST_CASE("R8: a study without a tolerance, a reference or real readings is refused") {
    const std::vector<double> one{1.0}, bad{1.0, std::numeric_limits<double>::infinity()};
    CHECK(type1_study(one, 1, 1, 0).error().code == "gauge_study.too_few_readings");
    CHECK(type1_study(bad, 1, 1, 0).error().code == "gauge_study.not_a_number");
    CHECK(type1_study(bad, 1, 1, 0).error().detail("which") == "2");
    CHECK(type1_study(example, 10, 0, 0).error().code == "gauge_study.no_tolerance");
    CHECK(type1_study(example, std::numeric_limits<double>::quiet_NaN(), 1, 0).error().code ==
          "gauge_study.no_reference");
    CHECK(type1_study(example, 10, 1, -1).error().code == "gauge_study.no_reference");
}

TEST_CASE("a resolution of exactly 5 percent of the tolerance is fine enough, one nanometre more is not") {
    std::vector<double> readings;
    for (int i = 0; i < 50; ++i)
        readings.push_back(25'400'000 + 100 * (i % 3));
    for (const double tolerance : {100'000.0, 140'000.0, 300'000.0, 700'000.0}) {
        INFO(tolerance);
        CHECK(type1_study(readings, 25'400'100, tolerance, tolerance / 20)->capable);
        CHECK_FALSE(type1_study(readings, 25'400'100, tolerance, tolerance / 20 + 1)->capable);
    }
}

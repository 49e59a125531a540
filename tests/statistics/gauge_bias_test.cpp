#include "reports/statistics/gauge_bias.h"

#include <stdexcept>
#include <vector>

#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;
using cqt::Approx;

namespace {

// AIAG MSA manual, chapter III-B, independent sample method: 15 readings of a reference of 6.00 (from memory; what
// follows from them equals the published results).
const std::vector<double> example{5.8, 5.7, 5.9, 5.9, 6.0, 6.1, 6.0, 6.1, 6.4, 6.3, 6.0, 6.1, 6.2, 5.6, 6.0};

Approx to(double digits, double value) {
    return Approx(value).epsilon(0).margin(digits);
}

}  // namespace

TEST_CASE("bias by the range gives the manual's worked example") {
    const auto b = bias_by_range(example, 6.0);
    REQUIRE(b);
    CHECK(b->n == 15);
    CHECK(b->mean == to(5e-5, 6.0067));
    CHECK(b->bias == to(5e-5, 0.0067));
    CHECK(b->repeatability == to(1e-5, 0.22514));
    CHECK(b->standard_error == to(1e-5, 0.05813));
    CHECK(*b->t == Approx(0.11468).epsilon(5e-5));  // recomputed; 0.1153 is printed, from the bias rounded to 0.0067
    CHECK(0.0067 / b->standard_error == to(1e-4, 0.1153));
    CHECK(b->df == to(0.05, 10.8));  // the manual's appendix C; 10.7717 recomputed with mpmath
    CHECK(b->df == Approx(10.7717364).epsilon(1e-7));
    CHECK(b->lower == to(2e-4, -0.1185));  // printed, from nu 10.8 and t 2.206; recomputed half 0.125342
    CHECK(b->upper == to(2e-4, 0.1319));
    CHECK((b->upper - b->lower) / 2 == Approx(0.125342143603).epsilon(1e-8));
    CHECK(b->zero_inside());
}

TEST_CASE("bias by the standard deviation of the same readings") {
    // Recomputed in plain Python.
    const auto b = bias_by_sd(example, 6.0);
    REQUIRE(b);
    CHECK(b->mean == to(1e-6, 6.006667));
    CHECK(b->repeatability == to(1e-6, 0.212020));
    CHECK(*b->t == to(1e-6, 0.121781));
    CHECK(b->lower == to(1e-6, -0.110746));
    CHECK(b->upper == to(1e-6, 0.124079));
    CHECK(b->df == 14);
    CHECK(*b->p > 0.9);
}

TEST_CASE("a bias that is there is found, and a wider confidence makes a wider interval") {
    const auto b = bias_by_sd(example, 5.8);
    REQUIRE(b);
    CHECK_FALSE(b->zero_inside());
    CHECK(*b->p < 0.01);
    const auto sure = bias_by_sd(example, 5.8, 0.9999);
    CHECK(sure->upper - sure->lower > b->upper - b->lower);
}

TEST_CASE("the degrees of freedom of ranges are those of the manual's appendix") {
    // One range of two: exactly one, since |difference| / sqrt 2 is a standard deviation. (5, 1): 3.8, (15, 1): 10.8,
    // AIAG MSA manual, appendix C, from memory; 3.82651 recomputed with mpmath.
    CHECK(range_degrees_of_freedom(2, 1) == Approx(1).epsilon(1e-9));
    CHECK(range_degrees_of_freedom(5, 1) == Approx(3.82651338).epsilon(1e-7));
    CHECK(range_degrees_of_freedom(15, 1) == Approx(10.77173645).epsilon(1e-7));
    // Many ranges have many, and less than the standard deviations of the same readings would have.
    for (int m = 2; m <= 10; ++m)
        for (const int g : {2, 10, 90}) {
            INFO(m << ", " << g);
            CHECK(range_degrees_of_freedom(m, g) > range_degrees_of_freedom(m, g - 1));
            CHECK(range_degrees_of_freedom(m, g) < g * (m - 1) + 0.5);
            CHECK(range_degrees_of_freedom(m, g) > 0.75 * g * (m - 1));
        }
    CHECK_THROWS_AS(range_degrees_of_freedom(1, 1), std::domain_error);
}

TEST_CASE("readings that are all equal say how large the bias is and test nothing") {
    const std::vector<double> same(5, 25'410'000.0);
    for (const auto& b : {bias_by_sd(same, 25'400'000), bias_by_range(same, 25'400'000)}) {
        REQUIRE(b);
        CHECK(b->bias == 10'000);
        CHECK_FALSE(b->t);
        CHECK(b->lower == 10'000);
        CHECK_FALSE(b->zero_inside());
    }
}

TEST_CASE("one reading, or a range of more than 25, is refused") {
    CHECK(bias_by_sd(std::vector<double>{1.0}, 1).error().code == "gauge_study.too_few_readings");
    std::vector<double> many(26, 1.0);
    CHECK(bias_by_range(many, 1).error().code == "gauge_study.too_many_for_range");
    many.pop_back();
    CHECK(bias_by_range(many, 1));
}

#include "reports/statistics/cusum.h"

#include <rapidcheck.h>

#include <cmath>
#include <stdexcept>

#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

struct Row {
    double value, above, below, sum;
};

// NIST/SEMATECH e-Handbook 6.3.2.3: means of four, as printed: value, S_hi, S_lo, plain sum.
const std::vector<Row> nist{
    {324.925, 0.00, 0.00, -0.07},  {324.675, 0.00, 0.01, -0.40},  {324.725, 0.00, 0.00, -0.67},
    {324.350, 0.00, 0.33, -1.32},  {325.350, 0.03, 0.00, -0.97},  {325.225, 0.00, 0.00, -0.75},
    {324.125, 0.00, 0.56, -1.62},  {324.525, 0.00, 0.72, -2.10},  {325.225, 0.00, 0.17, -1.87},
    {324.600, 0.00, 0.25, -2.27},  {324.625, 0.00, 0.31, -2.65},  {325.150, 0.00, 0.00, -2.50},
    {328.325, 3.01, 0.00, 0.83},   {327.250, 4.94, 0.00, 3.08},   {327.825, 7.45, 0.00, 5.90},
    {328.500, 10.63, 0.00, 9.40},  {326.675, 11.99, 0.00, 11.08}, {327.775, 14.44, 0.00, 13.85},
    {326.875, 16.00, 0.00, 15.73}, {328.350, 19.04, 0.00, 19.08},
};
const double nist_off[] = {-0.07, -0.32, -0.27, -0.65, 0.35, 0.23, -0.88, -0.48, 0.23, -0.40,
                           -0.38, 0.15,  3.32,  2.25,  2.82, 3.50, 1.68,  2.77,  1.88, 3.35};

// D. C. Montgomery and G. C. Runger, Applied Statistics and Probability for Engineers, 3rd ed., table 16-8, as printed.
const std::vector<Row> concentration{
    {102.0, 2.0, 0.0, 0}, {94.8, 0.0, 3.2, 0},  {98.3, 0.0, 2.9, 0},  {98.4, 0.0, 2.5, 0},  {102.0, 2.0, 0.0, 0},
    {98.5, 0.5, 0.0, 0},  {99.0, 0.0, 0.0, 0},  {97.7, 0.0, 0.3, 0},  {100.0, 0.0, 0.0, 0}, {98.1, 0.0, 0.0, 0},
    {101.3, 1.3, 0.0, 0}, {98.7, 0.0, 0.0, 0},  {101.1, 1.1, 0.0, 0}, {98.4, 0.0, 0.0, 0},  {97.0, 0.0, 1.0, 0},
    {96.7, 0.0, 2.3, 0},  {100.3, 0.3, 0.0, 0}, {101.4, 1.7, 0.0, 0}, {97.2, 0.0, 0.8, 0},  {101.0, 1.0, 0.0, 0},
};

// D. C. Montgomery, Introduction to Statistical Quality Control, table 9.1: the values; the sums were recomputed apart.
struct Counted {
    double value, above;
    int run_above;
    double below;
    int run_below;
};
const std::vector<Counted> montgomery{
    {9.45, 0.00, 0, 0.05, 1},  {7.99, 0.00, 0, 1.56, 2},  {9.29, 0.00, 0, 1.77, 3},  {11.66, 1.16, 1, 0.00, 0},
    {12.16, 2.82, 2, 0.00, 0}, {10.18, 2.50, 3, 0.00, 0}, {8.04, 0.04, 4, 1.46, 1},  {11.46, 1.00, 5, 0.00, 0},
    {9.20, 0.00, 0, 0.30, 1},  {10.34, 0.00, 0, 0.00, 0}, {9.03, 0.00, 0, 0.47, 1},  {11.47, 0.97, 1, 0.00, 0},
    {10.51, 0.98, 2, 0.00, 0}, {9.40, 0.00, 0, 0.10, 1},  {10.08, 0.00, 0, 0.00, 0}, {9.37, 0.00, 0, 0.13, 1},
    {10.62, 0.12, 1, 0.00, 0}, {10.31, 0.00, 0, 0.00, 0}, {8.52, 0.00, 0, 0.98, 1},  {10.84, 0.34, 1, 0.00, 0},
    {10.90, 0.74, 2, 0.00, 0}, {9.33, 0.00, 0, 0.17, 1},  {12.29, 1.79, 1, 0.00, 0}, {11.50, 2.79, 2, 0.00, 0},
    {10.60, 2.89, 3, 0.00, 0}, {11.08, 3.47, 4, 0.00, 0}, {10.38, 3.35, 5, 0.00, 0}, {11.62, 4.47, 6, 0.00, 0},
    {11.31, 5.28, 7, 0.00, 0}, {10.52, 5.30, 8, 0.00, 0},
};

template <class Rows>
std::vector<double> values_of(const Rows& rows) {
    std::vector<double> values;
    for (const auto& row : rows)
        values.push_back(row.value);
    return values;
}

}  // namespace

TEST_CASE("All eighty printed values of the NIST handbook's cumulative sum, and the shift from group 14 on") {
    // k 0.3175 and h 4.1959 there are in units of the values; sigma of a mean is 0.635.
    const CusumChart chart = cusum(values_of(nist), 325, 0.635, {0.3175 / 0.635, 4.1959 / 0.635, false});
    const auto within = [](double printed) { return cqt::Approx(printed).epsilon(0).margin(0.005 + 1e-9); };
    for (std::size_t i = 0; i < nist.size(); ++i) {
        INFO("group " << i + 1);
        CHECK(chart.points[i].above == within(nist[i].above));
        CHECK(chart.points[i].below == within(nist[i].below));
        CHECK(chart.points[i].sum == within(nist[i].sum));
        CHECK(chart.points[i].sum - (i == 0 ? 0 : chart.points[i - 1].sum) == within(nist_off[i]));
    }
    REQUIRE(chart.signals.size() == 7);
    for (std::size_t i = 0; i < 7; ++i) {
        CHECK(chart.signals[i].last == 13 + i);
        CHECK(chart.signals[i].side == Side::above);
        CHECK(chart.signals[i].began == 12);  // group 13
    }
    CHECK(chart.limit == cqt::Approx(4.1959));
}

TEST_CASE("The forty printed sums of Montgomery and Runger's concentrations, and no signal") {
    const CusumChart chart = cusum(values_of(concentration), 99, 2, {0.5, 5, false});
    for (std::size_t i = 0; i < concentration.size(); ++i) {
        INFO("observation " << i + 1);
        CHECK(chart.points[i].above == cqt::Approx(concentration[i].above).epsilon(0).margin(1e-9));
        CHECK(chart.points[i].below == cqt::Approx(concentration[i].below).epsilon(0).margin(1e-9));
    }
    CHECK(chart.signals.empty());
    CHECK(chart.limit == 10);
}

// The book's result (second source): the upper sum is 5.28 at observation 29 and has been above nought for 7, so the
// shift began with observation 23; the process is then reckoned to run at 10 + 0.5 + 5.28 / 7 = 11.25.
TEST_CASE("Montgomery's table 9.1 signals at observation 29 with a count of seven, and tells where the process went") {
    const CusumChart chart = cusum(values_of(montgomery), 10, 1, {0.5, 5, false});
    for (std::size_t i = 0; i < montgomery.size(); ++i) {
        INFO("observation " << i + 1);
        CHECK(chart.points[i].above == cqt::Approx(montgomery[i].above).epsilon(0).margin(1e-9));
        CHECK(chart.points[i].below == cqt::Approx(montgomery[i].below).epsilon(0).margin(1e-9));
        CHECK(chart.points[i].run_above == montgomery[i].run_above);
        CHECK(chart.points[i].run_below == montgomery[i].run_below);
    }
    REQUIRE(chart.signals.size() == 2);
    CHECK(chart.signals[0].last == 28);
    CHECK(chart.signals[0].began == 22);
    CHECK(chart.signals[0].mean == cqt::Approx(11.2543).epsilon(1e-5));
}

TEST_CASE("The sum on its limit is no signal, and what is over it is") {
    const double on[] = {1, 1, 1, 1}, over[] = {1, 1, 1, 1.0009765625};
    CHECK(cusum(on, 0, 1, {0.5, 2, false}).signals.empty());
    REQUIRE(cusum(over, 0, 1, {0.5, 2, false}).signals.size() == 1);
    CHECK(cusum(over, 0, 1, {0.5, 2, false}).signals[0].last == 3);
}

TEST_CASE(
    "With the fast start a process that was set up wrong shows sooner, and the headstart is not taken for a shift") {
    const double wrong[] = {1.5, 1.5, 1.5, 1.5, 1.5, 1.5};
    const CusumChart plain = cusum(wrong, 0, 1, {0.5, 4, false});
    const CusumChart fast = cusum(wrong, 0, 1, {0.5, 4, true});
    REQUIRE_FALSE(plain.signals.empty());
    REQUIRE_FALSE(fast.signals.empty());
    CHECK(plain.signals[0].last == 4);  // 5 > 4
    CHECK(fast.signals[0].last == 2);   // 2 + 3 > 4
    CHECK(fast.signals[0].mean == cqt::Approx(1.5));
    CHECK(plain.signals[0].mean == cqt::Approx(1.5));
    CHECK(fast.points[0].below == 0);
    // On target both headstarts melt away by k a point and leave the plain chart.
    const double right[] = {0, 0, 0, 0, 0, 3, 3};
    const CusumChart settled = cusum(right, 0, 1, {0.5, 4, true});
    CHECK(settled.points[0].above == 1.5);
    CHECK(settled.points[0].below == 1.5);
    CHECK(settled.points[4].above == 0);
    CHECK(settled.points[4].run_above == 0);
    CHECK(settled.points[6].above == 5);
    REQUIRE(settled.signals.size() == 1);
    CHECK(settled.signals[0].began == 5);
    CHECK(settled.signals[0].mean == cqt::Approx(3));
}

TEST_CASE("After a restart the sums begin anew, with the headstart if that is on") {
    const double values[] = {2, 2, 0, 2};
    const std::size_t restart[] = {2};
    const CusumChart plain = cusum(values, 0, 1, {0.5, 4, false}, restart);
    CHECK(plain.points[1].above == 3);
    CHECK(plain.points[2].above == 0);
    CHECK(plain.points[3].sum == 2);
    CHECK(cusum(values, 0, 1, {0.5, 4, true}, restart).points[2].above == 1.5);
    const std::size_t outside[] = {5};
    CHECK_THROWS_AS(cusum(values, 0, 1, {}, outside), std::domain_error);
    CHECK_THROWS_AS(cusum(values, 0, 0, {}), std::domain_error);
}

TEST_CASE("The mirror image of the points exchanges the two sums") {
    CHECK(rc::check([](std::vector<std::int8_t> raw, bool fast) {
        std::vector<double> values, mirrored;
        for (const std::int8_t value : raw) {
            values.push_back(value / 32.0);
            mirrored.push_back(-value / 32.0);
        }
        const CusumOptions options{0.5, 4, fast};
        const CusumChart one = cusum(values, 0, 1, options), other = cusum(mirrored, 0, 1, options);
        RC_ASSERT(one.signals.size() == other.signals.size());
        for (std::size_t i = 0; i < values.size(); ++i) {
            RC_ASSERT(one.points[i].above == other.points[i].below);
            RC_ASSERT(one.points[i].run_above == other.points[i].run_below);
            RC_ASSERT(one.points[i].sum == -other.points[i].sum);
        }
    }));
}

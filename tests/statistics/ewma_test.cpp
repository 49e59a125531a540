#include "reports/statistics/ewma.h"

#include <cmath>
#include <stdexcept>

#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

struct Row {
    double value, level;
};
// NIST/SEMATECH e-Handbook 6.3.2.4, as printed.
const std::vector<Row> nist{
    {52.0, 50.60}, {47.0, 49.52}, {53.0, 50.56}, {49.3, 50.18}, {50.1, 50.16}, {47.0, 49.21}, {51.0, 49.75},
    {50.1, 49.85}, {51.2, 50.26}, {50.5, 50.33}, {49.6, 50.11}, {47.6, 49.36}, {49.9, 49.52}, {51.3, 50.05},
    {47.8, 49.38}, {51.2, 49.92}, {52.6, 50.73}, {52.4, 51.23}, {53.6, 51.94}, {52.1, 51.99},
};

// D. C. Montgomery, Introduction to Statistical Quality Control, table 9.1: the values. Levels and limits for lambda
// 0.1 and width 2.7 were recomputed apart.
struct Exact {
    double value, level, lower, upper;
};
const std::vector<Exact> montgomery{
    {9.45, 9.94500, 9.7300, 10.2700},   {7.99, 9.74950, 9.6368, 10.3632},   {9.29, 9.70355, 9.5760, 10.4240},
    {11.66, 9.89920, 9.5325, 10.4675},  {12.16, 10.12528, 9.5001, 10.4999}, {10.18, 10.13075, 9.4753, 10.5247},
    {8.04, 9.92167, 9.4560, 10.5440},   {11.46, 10.07551, 9.4409, 10.5591}, {9.20, 9.98796, 9.4290, 10.5710},
    {10.34, 10.02316, 9.4195, 10.5805}, {9.03, 9.92384, 9.4119, 10.5881},   {11.47, 10.07846, 9.4058, 10.5942},
    {10.51, 10.12161, 9.4009, 10.5991}, {9.40, 10.04945, 9.3970, 10.6030},  {10.08, 10.05251, 9.3938, 10.6062},
    {9.37, 9.98426, 9.3913, 10.6087},   {10.62, 10.04783, 9.3893, 10.6107}, {10.31, 10.07405, 9.3876, 10.6124},
    {8.52, 9.91864, 9.3863, 10.6137},   {10.84, 10.01078, 9.3852, 10.6148}, {10.90, 10.09970, 9.3843, 10.6157},
    {9.33, 10.02273, 9.3836, 10.6164},  {12.29, 10.24946, 9.3830, 10.6170}, {11.50, 10.37451, 9.3826, 10.6174},
    {10.60, 10.39706, 9.3822, 10.6178}, {11.08, 10.46535, 9.3819, 10.6181}, {10.38, 10.45682, 9.3816, 10.6184},
    {11.62, 10.57314, 9.3814, 10.6186}, {11.31, 10.64682, 9.3813, 10.6187}, {10.52, 10.63414, 9.3811, 10.6189},
};

template <class Rows>
std::vector<double> values_of(const Rows& rows) {
    std::vector<double> values;
    for (const auto& row : rows)
        values.push_back(row.value);
    return values;
}

auto printed(double value, double half_unit) {
    return cqt::Approx(value).epsilon(0).margin(half_unit * (1 + 1e-6));
}

}  // namespace

TEST_CASE("The twenty printed levels and the limits of the NIST handbook's moving average, and no signal") {
    const EwmaChart chart = ewma(values_of(nist), 50, 2.0539, {0.3, 3, true});
    for (std::size_t i = 0; i < nist.size(); ++i) {
        INFO("point " << i + 1);
        CHECK(chart.levels[i] == printed(nist[i].level, 0.005));
        CHECK(chart.limits[i] == chart.steady);
    }
    CHECK(chart.steady.upper == printed(52.5884, 0.00005));
    // The page prints 47.4115, reckoned with 0.4201 for sqrt(0.3 / 1.7); unrounded it is 47.411568.
    CHECK(chart.steady.lower == printed(47.4115, 0.0001));
    CHECK(chart.steady.lower == printed(47.411568, 5e-7));
    CHECK(chart.signals.empty());
}

TEST_CASE("Montgomery's table 9.1 with limits that open with time signals at observation 29") {
    const EwmaChart chart = ewma(values_of(montgomery), 10, 1, {0.1, 2.7, false});
    for (std::size_t i = 0; i < montgomery.size(); ++i) {
        INFO("observation " << i + 1);
        CHECK(chart.levels[i] == printed(montgomery[i].level, 0.000005));
        CHECK(chart.limits[i].lower == printed(montgomery[i].lower, 0.00005));
        CHECK(chart.limits[i].upper == printed(montgomery[i].upper, 0.00005));
    }
    CHECK(chart.signals == std::vector<std::size_t>{28, 29});
    // Closed form of the first: width times lambda times sigma.
    CHECK(chart.limits[0].upper == cqt::Approx(10.27));
    CHECK(chart.limits[0].sigma == cqt::Approx(0.1));
    CHECK(chart.steady.sigma == cqt::Approx(std::sqrt(0.1 / 1.9)));
}

TEST_CASE("With lambda one the moving average is the chart of the points themselves") {
    const double values[] = {1, -3, 3, 3.0009765625, -4};
    const EwmaChart chart = ewma(values, 0, 1, {1, 3, false});
    CHECK(chart.levels == std::vector<double>{1, -3, 3, 3.0009765625, -4});
    CHECK(chart.limits[0] == Limits{0, -3, 3, 1});
    CHECK(chart.signals == std::vector<std::size_t>{3, 4});  // on the limit is not beyond it
}

TEST_CASE("The level for a setting correction is the last one of the chart, and the aim where nothing was measured") {
    const auto values = values_of(nist);
    CHECK(ewma_level(values, 50, 0.3) == ewma(values, 50, 2, {0.3, 3, false}).levels.back());
    CHECK(ewma_level(values, 50, 0.3) == printed(51.988243, 5e-7));
    CHECK(ewma_level({}, 50, 0.3) == 50);
    // After a lasting shift of 1 the level has made up 1 - (1 - lambda)^t of it.
    const std::vector<double> shifted(10, 51);
    CHECK(ewma_level(shifted, 50, 0.2) - 50 == cqt::Approx(1 - std::pow(0.8, 10)));
}

TEST_CASE("After a restart the average and its limits begin anew") {
    const double values[] = {4, 4, 0, 1};
    const std::size_t restart[] = {2};
    const EwmaChart chart = ewma(values, 0, 1, {0.5, 3, false}, restart);
    CHECK(chart.levels == std::vector<double>{2, 3, 0, 0.5});
    CHECK(chart.limits[2] == chart.limits[0]);
    CHECK(chart.limits[3] == chart.limits[1]);
    CHECK(chart.limits[1].upper > chart.limits[0].upper);
    CHECK(chart.signals == std::vector<std::size_t>{0, 1});
    CHECK_THROWS_AS(ewma(values, 0, 1, {0, 3, false}), std::domain_error);
    CHECK_THROWS_AS(ewma(values, 0, 1, {1.5, 3, false}), std::domain_error);
    CHECK_THROWS_AS(ewma(values, 0, 0, {0.2, 3, false}), std::domain_error);
}

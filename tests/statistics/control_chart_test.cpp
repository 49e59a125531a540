#include "reports/statistics/control_chart.h"

#include <rapidcheck.h>

#include <charconv>
#include <cmath>
#include <fstream>
#include <random>
#include <stdexcept>
#include <string>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/run_rules.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;

namespace {

// Within half a unit of the last printed decimal.
auto printed(double value, int decimals) {
    return cqt::Approx(value).epsilon(0).margin(0.5 * std::pow(10, -decimals) * (1 + 1e-6));
}
// As printed by a book that used constants of three decimals: besides its own rounding it is off by up to five parts in
// ten thousand of what was multiplied by the constant, or of the whole product where it was divided by 1.128.
auto from_rounded(double value, int decimals, double multiplied) {
    return cqt::Approx(value).epsilon(0).margin(5e-4 * multiplied + 0.5 * std::pow(10, -decimals));
}

std::vector<std::size_t> lasts(const std::vector<Signal>& found) {
    std::vector<std::size_t> all;
    for (const Signal& signal : found)
        all.push_back(signal.last);
    return all;
}

const RunRules only_limits{RunRule::beyond_three_sigma};

// ISO 7870-2:2013, worked example on pages 25 to 28: external radius of a plug in mm, 25 subgroups of 5 (read in a
// second source that cites those pages).
const std::vector<ChartPoint> plug{
    {5, 14.0764, 0.010}, {5, 14.0726, 0.012}, {5, 14.0754, 0.008}, {5, 14.0770, 0.007}, {5, 14.0708, 0.025},
    {5, 14.0698, 0.025}, {5, 14.0770, 0.009}, {5, 14.0744, 0.025}, {5, 14.0704, 0.009}, {5, 14.0744, 0.022},
    {5, 14.0766, 0.009}, {5, 14.0568, 0.011}, {5, 14.0768, 0.023}, {5, 14.0692, 0.012}, {5, 14.0716, 0.019},
    {5, 14.0748, 0.021}, {5, 14.0754, 0.017}, {5, 14.0734, 0.017}, {5, 14.0748, 0.035}, {5, 14.0754, 0.033},
    {5, 14.0732, 0.017}, {5, 14.0740, 0.025}, {5, 14.0708, 0.017}, {5, 14.0760, 0.017}, {5, 14.0722, 0.018},
};

// Vane opening, coded: D. C. Montgomery and G. C. Runger, Applied Statistics and Probability for Engineers, 3rd ed.,
// table 16-1. The data are from memory and give every published summary.
const std::vector<std::vector<double>> vanes{
    {33, 29, 31, 32, 33}, {33, 31, 35, 37, 31}, {35, 37, 33, 34, 36}, {30, 31, 33, 34, 33}, {33, 34, 35, 33, 34},
    {38, 37, 39, 40, 38}, {30, 31, 32, 34, 31}, {29, 39, 38, 39, 39}, {28, 33, 35, 36, 43}, {38, 33, 32, 35, 32},
    {28, 30, 28, 32, 31}, {31, 35, 35, 35, 34}, {27, 32, 34, 35, 37}, {33, 33, 35, 37, 36}, {35, 37, 32, 35, 39},
    {33, 33, 27, 31, 30}, {35, 34, 34, 30, 32}, {32, 33, 30, 30, 33}, {25, 27, 34, 27, 28}, {35, 35, 36, 33, 30},
};

std::vector<std::vector<double>> gears() {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/tests/data/gear_diameters.txt");
    std::vector<std::vector<double>> batches;
    for (std::string line; std::getline(file, line);) {
        if (line.starts_with('#')) continue;
        batches.emplace_back();
        const char* at = line.data();
        const char* const end = at + line.size();
        while (at < end) {
            double value = 0;
            const auto read = std::from_chars(at, end, value);
            if (read.ec == std::errc()) batches.back().push_back(value);
            at = read.ec == std::errc() ? read.ptr : at + 1;
        }
    }
    return batches;
}

}  // namespace

TEST_CASE("The plug of ISO 7870-2 has its printed limits, and subgroup 12 is out") {
    const auto limits = limits_from(ChartKind::mean_and_range, plug);
    REQUIRE(limits);
    CHECK(limits->used == 25);
    CHECK(limits->size == 5);
    CHECK(limits->location.centre == printed(14.0732, 4));
    CHECK(limits->location.upper == printed(14.0834, 4));
    CHECK(limits->location.lower == printed(14.0629, 4));
    CHECK(limits->spread.centre == printed(0.0177, 4));
    CHECK(limits->spread.upper == printed(0.0375, 4));
    CHECK(limits->spread.lower == 0);
    const ChartSignals found = signals_of(plug, *limits, only_limits);
    CHECK(lasts(found.location) == std::vector<std::size_t>{11});
    CHECK(found.location.at(0).side == Side::below);
    CHECK(found.spread.empty());
}

TEST_CASE(
    "Without subgroup 12 the plug of ISO 7870-2 has the limits printed for the second round, and nothing is out") {
    const std::size_t twelve[] = {11};
    const auto limits = limits_from(ChartKind::mean_and_range, plug, twelve);
    REQUIRE(limits);
    CHECK(limits->used == 24);
    CHECK(limits->location.centre == printed(14.07385, 5));
    CHECK(limits->location.upper == printed(14.0842, 4));
    CHECK(limits->location.lower == printed(14.0635, 4));
    CHECK(limits->spread.centre == printed(0.0180, 4));
    CHECK(limits->spread.upper == printed(0.0381, 4));
    // The same limits held against all: the one left out still shows.
    CHECK(lasts(signals_of(plug, *limits, only_limits).location) == std::vector<std::size_t>{11});
}

TEST_CASE(
    "The vane openings of Montgomery and Runger have their limits of means and ranges, and the printed points out") {
    const auto points = chart_points(ChartKind::mean_and_range, vanes);
    REQUIRE(points);
    const auto limits = limits_from(ChartKind::mean_and_range, *points);
    REQUIRE(limits);
    CHECK(limits->location.centre == printed(33.32, 2));
    CHECK(limits->spread.centre == printed(5.80, 2));
    CHECK(limits->location.upper == from_rounded(36.67, 2, 5.8));
    CHECK(limits->location.lower == from_rounded(29.97, 2, 5.8));
    CHECK(limits->spread.upper == from_rounded(12.27, 2, 5.8));
    const ChartSignals found = signals_of(*points, *limits, only_limits);
    CHECK(lasts(found.location) == std::vector<std::size_t>{5, 7, 10, 18});
    CHECK(lasts(found.spread) == std::vector<std::size_t>{8});

    const std::size_t out[] = {5, 7, 8, 10, 18};
    const auto revised = limits_from(ChartKind::mean_and_range, *points, out);
    REQUIRE(revised);
    CHECK(revised->location.centre == printed(33.21, 2));
    CHECK(revised->spread.centre == printed(5.0, 2));
    CHECK(revised->location.upper == printed(36.10, 2));
    CHECK(revised->location.lower == printed(30.33, 2));
    CHECK(revised->spread.upper == printed(10.57, 2));
}

TEST_CASE("The vane openings have the printed mean s and its limit") {
    const auto points = chart_points(ChartKind::mean_and_s, vanes);
    REQUIRE(points);
    const auto limits = limits_from(ChartKind::mean_and_s, *points);
    REQUIRE(limits);
    CHECK(limits->spread.centre == printed(2.345, 3));
    CHECK(limits->spread.upper == printed(4.899, 3));
    CHECK(limits->spread.lower == 0);
    CHECK(limits->sigma_within == cqt::Approx(limits->spread.centre / chart_constants(5).c4));
}

// NIST/SEMATECH e-Handbook 6.3.2.2; the page divides by 1.128.
TEST_CASE("The flow rates of the NIST handbook have their limits of individuals, and none is out") {
    const double flow[] = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const double printed_ranges[] = {2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5};
    const auto points = individual_points(flow);
    CHECK_FALSE(points.front().spread);
    for (std::size_t i = 1; i < points.size(); ++i)
        CHECK(*points[i].spread == cqt::Approx(printed_ranges[i - 1]));
    const auto limits = limits_from(ChartKind::individuals, points);
    REQUIRE(limits);
    CHECK(limits->location.centre == cqt::Approx(50.81));
    CHECK(limits->spread.centre == printed(1.8778, 4));
    // With the page's constant in place of the exact one, to its last decimal; with the exact one near it.
    const double page = limits->sigma_within * chart_constants(2).d2 / 1.128;
    CHECK(limits->centre + 3 * page == printed(55.8041, 4));
    CHECK(limits->centre - 3 * page == printed(45.8159, 4));
    CHECK(limits->location.upper == from_rounded(55.8041, 4, 4.99));
    CHECK(limits->location.upper == cqt::Approx(55.80241).epsilon(1e-7));  // recomputed apart, with the exact constant
    CHECK(limits->location.lower == cqt::Approx(45.81759).epsilon(1e-7));
    CHECK(limits->spread.upper == from_rounded(6.1347, 4, 1.8778));  // 3.267 times the mean moving range
    const ChartSignals found = signals_of(points, *limits, only_limits);
    CHECK(found.location.empty());
    CHECK(found.spread.empty());
}

// Montgomery and Runger, 3rd ed., table 16-3. The book goes on with 99.1 and 2.59, rounded, and 1.128: 0.005 from the
// mean and 0.0055 from the rest.
TEST_CASE("The concentrations of Montgomery and Runger have their limits of individuals") {
    const double concentration[] = {102.0, 94.8, 98.3,  98.4, 102.0, 98.5, 99.0,  97.7,  100.0, 98.1,
                                    101.3, 98.7, 101.1, 98.4, 97.0,  96.7, 100.3, 101.4, 97.2,  101.0};
    const auto limits = limits_from(ChartKind::individuals, individual_points(concentration));
    REQUIRE(limits);
    CHECK(limits->location.centre == cqt::Approx(99.1).epsilon(0).margin(0.0051));
    CHECK(limits->spread.centre == printed(2.59, 2));
    CHECK(limits->location.upper == cqt::Approx(105.99).epsilon(0).margin(0.0106));
    CHECK(limits->location.lower == cqt::Approx(92.21).epsilon(0).margin(0.0051));
}

// Montgomery, Introduction to Statistical Quality Control: viscosity of primer, 15 batches (results from memory).
TEST_CASE("The viscosities of Montgomery have their limits of individuals and moving ranges") {
    const double viscosity[] = {33.75, 33.05, 34.00, 33.81, 33.46, 34.02, 33.68, 33.27,
                                33.49, 33.20, 33.62, 33.00, 33.54, 33.12, 33.84};
    const auto limits = limits_from(ChartKind::individuals, individual_points(viscosity));
    REQUIRE(limits);
    CHECK(limits->location.centre == printed(33.52, 2));
    CHECK(limits->spread.centre == printed(0.48, 2));
    CHECK(limits->location.upper == printed(34.80, 2));
    CHECK(limits->location.lower ==
          cqt::Approx(32.24).epsilon(0).margin(0.0055));  // 32.2453; the book's 1.128: 32.2448
    CHECK(limits->spread.upper == printed(1.57, 2));
}

// GEAR.DAT of the NIST/SEMATECH e-Handbook; limits recomputed apart from the definitions.
TEST_CASE("The gears of the NIST handbook have the recomputed limits with ranges and with s, ten in a subgroup") {
    const auto batches = gears();
    REQUIRE(batches.size() == 10);
    const auto ranges = limits_from(ChartKind::mean_and_range, *chart_points(ChartKind::mean_and_range, batches));
    REQUIRE(ranges);
    CHECK(ranges->location.centre == cqt::Approx(0.99764).epsilon(1e-9));
    CHECK(ranges->spread.centre == cqt::Approx(0.0181).epsilon(1e-9));
    CHECK(ranges->location.upper == printed(1.0032196, 7));
    CHECK(ranges->location.lower == printed(0.9920604, 7));
    CHECK(ranges->spread.lower == printed(0.0040367, 7));
    CHECK(ranges->spread.upper == printed(0.0321633, 7));
    const auto deviations = limits_from(ChartKind::mean_and_s, *chart_points(ChartKind::mean_and_s, batches));
    REQUIRE(deviations);
    CHECK(deviations->spread.centre == printed(0.00558293, 8));
    CHECK(deviations->location.upper == printed(1.0030853, 7));
    CHECK(deviations->location.lower == printed(0.9921947, 7));
    CHECK(deviations->spread.lower == printed(0.0015839, 7));
    CHECK(deviations->spread.upper == printed(0.0095819, 7));
}

TEST_CASE("The sigma beside the limits is that of the plotted figure: a third of the way from the centre to a limit") {
    const auto limits = limits_from(ChartKind::mean_and_s, *chart_points(ChartKind::mean_and_s, gears()));
    REQUIRE(limits);
    CHECK(limits->location.sigma * 3 == cqt::Approx(limits->location.upper - limits->location.centre));
    CHECK(limits->location.sigma == cqt::Approx(limits->sigma_within / std::sqrt(10)));
    CHECK(limits->spread.sigma * 3 == cqt::Approx(limits->spread.upper - limits->spread.centre));
}

TEST_CASE("A left-out individual takes both its moving ranges with it") {
    const double values[] = {10, 12, 50, 13, 14};
    const auto points = individual_points(values);
    const std::size_t bad[] = {2};
    const auto limits = limits_from(ChartKind::individuals, points, bad);
    REQUIRE(limits);
    CHECK(limits->centre == cqt::Approx(12.25));
    CHECK(limits->spread.centre == cqt::Approx(1.5));  // of 2 and 1; never 1 from 12 to 13 over the gap
    CHECK(limits->used == 4);
}

TEST_CASE("No moving range is formed across a new die set") {
    const double values[] = {10, 12, 50, 51, 49};
    const std::size_t new_die[] = {2};
    const auto points = individual_points(values, new_die);
    CHECK_FALSE(points[2].spread);
    CHECK(points[3].spread == 1.0);
    CHECK(limits_from(ChartKind::individuals, points)->spread.centre == cqt::Approx(5.0 / 3));
    const std::size_t late[] = {5};
    CHECK(individual_points(values, late).size() == 5);  // begins with the next end
    const std::size_t wrong[] = {6};
    CHECK_THROWS_AS(individual_points(values, wrong), std::domain_error);
}

TEST_CASE("Frozen limits come back from their centre and sigma") {
    for (const ChartKind kind : {ChartKind::mean_and_range, ChartKind::mean_and_s}) {
        const auto made = limits_from(kind, *chart_points(kind, vanes));
        REQUIRE(made);
        const ChartLimits back = chart_limits(kind, made->size, made->centre, made->sigma_within);
        CHECK(back.location == made->location);
        CHECK(back.spread == made->spread);
    }
    CHECK(chart_limits(ChartKind::individuals, 1, 5, 2).location == Limits{5, -1, 11, 2});
    CHECK_THROWS_AS(chart_limits(ChartKind::individuals, 2, 5, 2), std::domain_error);
    CHECK_THROWS_AS(chart_limits(ChartKind::mean_and_s, 1, 5, 2), std::domain_error);
    CHECK_THROWS_AS(chart_limits(ChartKind::mean_and_s, 4, 5, 0), std::domain_error);
}

TEST_CASE("Ends with two and with three places: s is weighted by what it tells, limits fit each size") {
    const std::vector<std::vector<double>> ends{{0, 2}, {0, 3, 6}, {1, 3}, {1, 5, 9}, {2, 3, 4}};
    const auto points = chart_points(ChartKind::mean_and_s, ends);
    REQUIRE(points);
    const auto limits = limits_from(ChartKind::mean_and_s, *points);
    REQUIRE(limits);
    CHECK(limits->size == 3);
    CHECK(limits->centre == cqt::Approx(39.0 / 13));
    // c4(2)^2 = 2 / pi, c4(3)^2 = pi / 4; s are sqrt 2 (twice) and 3, 4, 1.
    const double pi = std::acos(-1), w2 = (2 / pi) / (1 - 2 / pi), w3 = (pi / 4) / (1 - pi / 4);
    const double by_hand = (2 * w2 * std::sqrt(2) / std::sqrt(2 / pi) + w3 * 8 / std::sqrt(pi / 4)) / (2 * w2 + 3 * w3);
    CHECK(limits->sigma_within == cqt::Approx(by_hand));
    CHECK(limits->location_at(2).upper == cqt::Approx(3 + 3 * by_hand / std::sqrt(2)));
    CHECK(limits->spread_at(2).centre == cqt::Approx(std::sqrt(2 / pi) * by_hand));
    CHECK(limits->spread_at(3) == limits->spread);
}

TEST_CASE("Sigma from subgroups of differing sizes is right on average, and closer than when all weigh the same") {
    std::mt19937_64 random(20260401);
    std::normal_distribution<double> normal(25, 2);
    const int sizes[] = {2, 2, 3, 8, 12};
    double sum = 0, squares = 0, plain_sum = 0, plain_squares = 0;
    constexpr int trials = 5000;
    for (int trial = 0; trial < trials; ++trial) {
        std::vector<std::vector<double>> subgroups;
        for (const int size : sizes) {
            subgroups.emplace_back();
            for (int i = 0; i < size; ++i)
                subgroups.back().push_back(normal(random));
        }
        const auto points = *chart_points(ChartKind::mean_and_s, subgroups);
        const double sigma = limits_from(ChartKind::mean_and_s, points)->sigma_within;
        double plain = 0;
        for (const ChartPoint& point : points)
            plain += *point.spread / chart_constants(point.size).c4 / 5;
        sum += sigma;
        squares += (sigma - 2) * (sigma - 2);
        plain_sum += plain;
        plain_squares += (plain - 2) * (plain - 2);
    }
    const double error = std::sqrt(squares / trials / trials);  // of the mean
    CHECK(sum / trials == cqt::Approx(2).epsilon(0).margin(4 * error));
    CHECK(plain_sum / trials == cqt::Approx(2).epsilon(0).margin(4 * std::sqrt(plain_squares / trials / trials)));
    CHECK(squares < 0.6 * plain_squares);
}

TEST_CASE("What allows no limits is refused by name") {
    const std::vector<std::vector<double>> lone{{1, 2}, {3}};
    const auto small = chart_points(ChartKind::mean_and_s, lone);
    REQUIRE_FALSE(small);
    CHECK(small.error() == message("chart.subgroup_too_small").with("subgroup", "2").with("count", "1"));
    const std::vector<std::vector<double>> mixed{{1, 2}, {3, 4, 5}};
    CHECK(chart_points(ChartKind::mean_and_range, mixed).error().code == "chart.sizes_differ");
    CHECK(chart_points(ChartKind::mean_and_s, mixed));
    const std::vector<ChartPoint> ranges_mixed{{2, 1.5, 1.0}, {3, 4.0, 2.0}};
    CHECK(limits_from(ChartKind::mean_and_range, ranges_mixed).error().code == "chart.sizes_differ");

    CHECK(limits_from(ChartKind::individuals, {}).error().code == "chart.too_few");
    const double one[] = {5}, two[] = {5, 6}, same[] = {5, 5, 5};
    CHECK(limits_from(ChartKind::individuals, individual_points(one)).error().code == "chart.too_few");
    CHECK(limits_from(ChartKind::individuals, individual_points(two)));
    const std::size_t apart[] = {1};  // two values, but no moving range between them
    CHECK(limits_from(ChartKind::individuals, individual_points(two, apart)).error().code == "chart.too_few");
    CHECK(limits_from(ChartKind::individuals, individual_points(two), apart).error().code == "chart.too_few");
    CHECK(limits_from(ChartKind::individuals, individual_points(same)).error().code == "chart.no_spread");
}

TEST_CASE("A bug of the caller is thrown: a value that is none, an index outside, points of another kind") {
    const double bad[] = {1, std::nan("")};
    CHECK_THROWS_AS(individual_points(bad), std::domain_error);
    const std::vector<std::vector<double>> bad_subgroup{{1, INFINITY}};
    CHECK_THROWS_AS(chart_points(ChartKind::mean_and_s, bad_subgroup), std::domain_error);
    CHECK_THROWS_AS(chart_points(ChartKind::individuals, bad_subgroup), std::domain_error);
    const std::size_t outside[] = {25};
    CHECK_THROWS_AS(limits_from(ChartKind::mean_and_range, plug, outside), std::domain_error);
    CHECK_THROWS_AS(limits_from(ChartKind::individuals, plug), std::domain_error);
}

TEST_CASE("Limits move and stretch with the values: in nanometres at twenty-five millimetres as near nought") {
    CHECK(rc::check([](std::vector<std::int16_t> raw) {
        RC_PRE(raw.size() >= 2);
        std::vector<double> small, large;
        for (const std::int16_t value : raw) {
            small.push_back(value);
            large.push_back(25'000'000.0 + 10'000.0 * value);
        }
        const auto a = limits_from(ChartKind::individuals, individual_points(small));
        const auto b = limits_from(ChartKind::individuals, individual_points(large));
        RC_ASSERT(a.has_value() == b.has_value());
        if (!a) return;
        const double scale = 10'000.0 * (1 + std::abs(a->centre) + a->sigma_within);
        RC_ASSERT(std::abs(b->centre - 25e6 - 1e4 * a->centre) < 1e-9 * scale + 1e-7);
        RC_ASSERT(std::abs(b->sigma_within - 1e4 * a->sigma_within) < 1e-9 * scale);
        RC_ASSERT(b->location.lower < b->location.centre);
        RC_ASSERT(b->location.centre < b->location.upper);
    }));
}

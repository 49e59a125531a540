#include "reports/statistics/process_spread.h"

#include <cmath>
#include <stdexcept>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/distributions.h"
#include "reports/statistics/random_pick.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

// Places around one end, one of them missing at the second.
const std::vector<std::vector<double>> subgroups{
    {22.31, 22.35, 22.33}, {22.40, 22.36}, {22.30}, {}, {22.38, 22.32, 22.34}};

}  // namespace

TEST_CASE("The spread within ends, with a place missing here and there, by hand") {
    // Ranges 0.04, 0.04, 0.06 of 3, 2 and 3 places; one place alone says nothing.
    const double by_range =
        (0.04 / chart_constants(3).d2 + 0.04 / chart_constants(2).d2 + 0.06 / chart_constants(3).d2) / 3;
    CHECK(spread_within(subgroups, SpreadFrom::mean_range)->sigma == cqt::Approx(by_range).epsilon(1e-10));
    // Squared deviations 0.0008, 0.0008 and 0.001867 with 2, 1 and 2 degrees of freedom.
    const auto pooled = *spread_within(subgroups, SpreadFrom::pooled);
    CHECK(pooled.sigma == cqt::Approx(std::sqrt((0.0008 + 0.0008 + 0.0056 / 3) / 5)).epsilon(1e-10));
    CHECK(pooled.degrees_of_freedom == 5);
    const double by_s = (std::sqrt(0.0008 / 2) / chart_constants(3).c4 + std::sqrt(0.0008) / chart_constants(2).c4 +
                         std::sqrt(0.0056 / 6) / chart_constants(3).c4) /
                        3;
    CHECK(spread_within(subgroups, SpreadFrom::mean_s)->sigma == cqt::Approx(by_s).epsilon(1e-10));
}

TEST_CASE("Nothing is said about a spread that nothing shows") {
    const std::vector<std::vector<double>> singles{{1}, {2}, {}};
    CHECK_FALSE(spread_within(singles, SpreadFrom::pooled));
    CHECK_FALSE(spread_within({}, SpreadFrom::mean_range));
    CHECK_FALSE(spread_of_neighbours(std::vector<double>{1}));
    CHECK_FALSE(spread_overall(std::vector<double>{1}));
    CHECK_THROWS_AS(spread_within(singles, SpreadFrom::overall), std::domain_error);
    CHECK_THROWS_AS(spread_within(singles, SpreadFrom::mean_moving_range), std::domain_error);
}

TEST_CASE("The moving ranges of NIST's flow rates") {
    // e-Handbook 6.3.2.2: mean moving range 1.8778.
    const std::vector<double> flow{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const auto spread = *spread_of_neighbours(flow);
    CHECK(spread.sigma * chart_constants(2).d2 == cqt::Approx(1.8778).margin(5e-5));
    CHECK(spread.from == SpreadFrom::mean_moving_range);
}

TEST_CASE("Degrees of freedom of a mean range are those of the gauge study tables") {
    // Duncan's table, widely reprinted beside d2* (from memory): one subgroup of 2: 1.0, of 5: 3.8, of 10: 7.7; ten of
    // 5: 36.5.
    struct Line {
        std::size_t size, count;
        double df;
    };
    for (const auto& line :
         {Line{2, 1, 1.0}, Line{5, 1, 3.8}, Line{10, 1, 7.7}, Line{5, 10, 36.5}, Line{3, 10, 18.4}}) {
        std::vector<double> subgroup(line.size, 0.0);
        subgroup[0] = 1;
        const std::vector<std::vector<double>> all(line.count, subgroup);
        CHECK(spread_within(all, SpreadFrom::mean_range)->degrees_of_freedom == cqt::Approx(line.df).margin(0.15));
    }
}

TEST_CASE("Degrees of freedom describe how much an estimate really varies") {
    // Invented processes of 20 subgroups of 4, a fixed start: 1 / (2 df) is about the squared coefficient of variation.
    SplitMix64 random(31);
    const auto normal = [&] {
        return normal_quantile((static_cast<double>(random.draw() >> 11) + 0.5) / 9007199254740992.0);
    };
    constexpr int processes = 4000;
    double squares[4] = {}, df[4] = {};
    for (int process = 0; process < processes; ++process) {
        std::vector<std::vector<double>> sample(20, std::vector<double>(4));
        std::vector<double> values;
        for (auto& subgroup : sample)
            for (auto& value : subgroup) {
                value = normal();
                values.push_back(value);
            }
        const Spread spreads[4] = {*spread_within(sample, SpreadFrom::mean_range),
                                   *spread_within(sample, SpreadFrom::mean_s),
                                   *spread_within(sample, SpreadFrom::pooled), *spread_of_neighbours(values)};
        for (int i = 0; i < 4; ++i) {
            squares[i] += std::pow(spreads[i].sigma - 1, 2) / processes;
            df[i] = spreads[i].degrees_of_freedom;
        }
    }
    for (int i = 0; i < 4; ++i) {
        INFO("estimate " << i << ": squared variation " << squares[i] << ", degrees of freedom " << df[i]);
        CHECK(2 * df[i] * squares[i] == cqt::Approx(1).margin(0.09));
    }
    CHECK(df[2] == 60);
    CHECK(df[0] < df[1]);
    CHECK(df[1] < df[2]);
}

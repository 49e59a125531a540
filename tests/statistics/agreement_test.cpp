#include "reports/statistics/agreement.h"

#include <stdexcept>

#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

// First readings of 17 people on two flow meters, Bland and Altman 1986, table 1 (from memory; they give every
// published figure below).
const std::vector<double> large{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427};
const std::vector<double> mini{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451};

std::vector<MeasuredTwice> peak_flows() {
    std::vector<MeasuredTwice> pairs;
    for (std::size_t i = 0; i < large.size(); ++i)
        pairs.push_back({mini[i], large[i]});
    return pairs;
}

}  // namespace

TEST_CASE("Limits of agreement of the peak flow meters") {
    // The Lancet 327 (1986) 307-310: mean difference -2.1, s 38.8, limits (2 s) -79.7 and 75.5; standard errors 9.4
    // and 16.3; intervals -22.0 to 17.8, -114.3 to -45.1, 40.9 to 110.1 (from rounded figures, so within 0.2).
    const auto agreement = *agreement_of(peak_flows(), 2);
    CHECK(agreement.pairs == 17);
    CHECK(agreement.mean_difference == cqt::Approx(-2.1).margin(0.05));
    CHECK(agreement.sd_of_differences == cqt::Approx(38.8).margin(0.05));
    CHECK(agreement.lower_limit == cqt::Approx(-79.7).margin(0.1));
    CHECK(agreement.upper_limit == cqt::Approx(75.5).margin(0.1));
    CHECK(agreement.mean_interval.lower == cqt::Approx(-22.0).margin(0.2));
    CHECK(agreement.mean_interval.upper == cqt::Approx(17.8).margin(0.2));
    CHECK(agreement.lower_limit_interval.lower == cqt::Approx(-114.3).margin(0.2));
    CHECK(agreement.lower_limit_interval.upper == cqt::Approx(-45.1).margin(0.2));
    CHECK(agreement.upper_limit_interval.lower == cqt::Approx(40.9).margin(0.2));
    CHECK(agreement.upper_limit_interval.upper == cqt::Approx(110.1).margin(0.2));
    // The same from the unrounded data with another program.
    CHECK(agreement.mean_difference == cqt::Approx(-36.0 / 17).epsilon(1e-12));
    CHECK(agreement.sd_of_differences == cqt::Approx(38.76512987360738).epsilon(1e-12));
    CHECK(agreement.lower_limit_interval.lower == cqt::Approx(-114.16974164574).epsilon(1e-9));
    CHECK(agreement.upper_limit_interval.upper == cqt::Approx(109.93444752809).epsilon(1e-9));
    CHECK(*agreement.trend_correlation == cqt::Approx(0.08367972168069939).epsilon(1e-10));
    CHECK(*agreement.trend_p == cqt::Approx(0.7494985336492940).epsilon(1e-9));
    CHECK(agreement.outside_limits == 1);  // 178 and 259

    const auto at_1_96 = *agreement_of(peak_flows());
    CHECK(at_1_96.lower_limit == cqt::Approx(-78.097301611094).epsilon(1e-10));
    CHECK(at_1_96.upper_limit == cqt::Approx(73.862007493447).epsilon(1e-10));
}

TEST_CASE("A difference is what the second measurement says more than the first") {
    const std::vector<MeasuredTwice> pairs{{10, 11}, {20, 21}, {30, 31}};
    const auto agreement = *agreement_of(pairs);
    CHECK(agreement.mean_difference == 1);
    CHECK(agreement.sd_of_differences == 0);
    CHECK(agreement.lower_limit == 1);
    CHECK(agreement.outside_limits == 0);
    CHECK_FALSE(agreement.trend_correlation);  // every difference is the same
}

TEST_CASE("A difference that grows with the size shows as a trend") {
    const std::vector<MeasuredTwice> pairs{{10, 10}, {20, 21}, {30, 32}, {40, 43}};
    const auto agreement = *agreement_of(pairs);
    CHECK(*agreement.trend_correlation == cqt::Approx(1).epsilon(1e-12));
    CHECK(*agreement.trend_p < 1e-6);
}

TEST_CASE("One pair shows no agreement") {
    CHECK_FALSE(agreement_of({}));
    CHECK_FALSE(agreement_of(std::vector<MeasuredTwice>{{1, 2}}));
    CHECK(agreement_of(std::vector<MeasuredTwice>{{1, 2}, {3, 4}}));
    CHECK_THROWS_AS(agreement_of(peak_flows(), 0), std::domain_error);
    CHECK_THROWS_AS(agreement_of(peak_flows(), 2, 1), std::domain_error);
}

TEST_CASE("Kappa of an attribute study, between appraisers and to the reference") {
    // From memory of a measurement systems manual: 0.86 0.78 0.79 between pairs, 0.88 0.92 0.77 to the reference.
    const auto rows = data_rows("attribute_agreement_kappa.csv");
    REQUIRE(rows.size() == 6);
    for (const auto& row : rows) {
        const auto count = [&](std::size_t i) { return static_cast<std::int64_t>(number(row[i])); };
        const auto kappa = *cohen_kappa({{count(1), count(2)}, {count(3), count(4)}});
        INFO(row[0]);
        CHECK(kappa.pieces == 150);
        CHECK(kappa.kappa == cqt::Approx(number(row[5])).margin(0.005));
        CHECK(kappa.kappa == cqt::Approx(number(row[6])).margin(5e-7));
    }
}

TEST_CASE("Kappa of Cohen's own example with three kinds") {
    // Cohen 1960 (from memory): 0.70 observed, 0.41 by chance, 0.492.
    const auto kappa = *cohen_kappa({{88, 14, 18}, {10, 40, 10}, {2, 6, 12}});
    CHECK(kappa.observed == cqt::Approx(0.70).epsilon(1e-12));
    CHECK(kappa.by_chance == cqt::Approx(0.41).epsilon(1e-12));
    CHECK(kappa.kappa == cqt::Approx(0.491525).margin(5e-7));
    CHECK(kappa.standard_error == cqt::Approx(std::sqrt(0.7 * 0.3 / 200) / 0.59).epsilon(1e-12));
}

TEST_CASE("Kappa at its ends") {
    CHECK(cohen_kappa({{5, 0}, {0, 5}})->kappa == 1);
    CHECK(cohen_kappa({{0, 5}, {5, 0}})->kappa == -1);
    CHECK(cohen_kappa({{4, 4}, {4, 4}})->kappa == 0);
    CHECK_FALSE(cohen_kappa({{9, 0}, {0, 0}}));  // both called every piece good
    CHECK_FALSE(cohen_kappa({{0, 0}, {0, 0}}));
    CHECK_FALSE(cohen_kappa({}));
    CHECK_THROWS_AS(cohen_kappa({{1, 2}}), std::domain_error);
    CHECK_THROWS_AS(cohen_kappa({{1, -2}, {0, 3}}), std::domain_error);
}

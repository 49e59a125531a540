#include "reports/statistics/operating_characteristic.h"

#include <cmath>
#include <stdexcept>

#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

TEST_CASE("Sample sizes with no bad piece allowed: every line of the table") {
    const auto rows = data_rows("c0_sample_sizes.csv");
    REQUIRE(rows.size() == 90);
    int from_lots = 0;
    for (const auto& row : rows) {
        const auto share = std::llround(number(row[1]) * 1e6), confidence = std::llround(number(row[2]) * 1e6);
        const auto expected = static_cast<std::int64_t>(number(row[3]));
        INFO("lot " << row[0] << ", share " << row[1] << ", confidence " << row[2]);
        if (row[0] == "inf") {
            CHECK(zero_acceptance_size(share, confidence) == expected);
        } else {
            CHECK(zero_acceptance_size_in_lot(static_cast<std::int64_t>(number(row[0])), share, confidence) ==
                  expected);
            ++from_lots;
        }
    }
    CHECK(from_lots == 75);
}

TEST_CASE("The sample sizes that everybody knows") {
    // Standard textbook values: confidence / reliability 95/90 29, 95/95 59, 95/99 299, 90/90 22, 90/95 45, 90/99 230,
    // 99/95 90.
    CHECK(zero_acceptance_size(100'000, 950'000) == 29);
    CHECK(zero_acceptance_size(50'000, 950'000) == 59);
    CHECK(zero_acceptance_size(10'000, 950'000) == 299);
    CHECK(zero_acceptance_size(100'000, 900'000) == 22);
    CHECK(zero_acceptance_size(50'000, 900'000) == 45);
    CHECK(zero_acceptance_size(10'000, 900'000) == 230);
    CHECK(zero_acceptance_size(50'000, 990'000) == 90);
}

TEST_CASE("A sample size that comes out whole is not one more") {
    CHECK(zero_acceptance_size(500'000, 750'000) == 2);  // (1/2)^2 = 1/4
    CHECK(zero_acceptance_size(500'000, 875'000) == 3);
    CHECK(zero_acceptance_size(900'000, 999'000) == 3);  // (1/10)^3
    CHECK(zero_acceptance_size(100'000, 190'000) == 2);  // 0.9^2 = 0.81
    CHECK(zero_acceptance_size(100'000, 190'001) == 3);
    CHECK(zero_acceptance_size(100'000, 100'000) == 1);
    // Here the logarithms of doubles say a little more than the whole number.
    CHECK(zero_acceptance_size(10'000, 10'000) == 1);
    CHECK(zero_acceptance_size(10'000, 19'900) == 2);
    CHECK(zero_acceptance_size(40'000, 115'264) == 3);
    CHECK(zero_acceptance_size(300'000, 882'351) == 6);
    // 7 % of 100 pieces are 7: 93/100 92/99 = 0.8642..; one bad piece more would need fewer.
    CHECK(zero_acceptance_size_in_lot(100, 70'000, 70'000) == 1);
    CHECK(zero_acceptance_size_in_lot(100, 70'000, 70'001) == 2);
    CHECK(zero_acceptance_size_in_lot(100, 70'001, 80'000) == 1);  // 8 bad pieces
    CHECK(zero_acceptance_size_in_lot(1, 10'000, 950'000) == 1);
    // One bad piece of 25 is missed by n with 1 - n/25, a whole number of percent; products of doubles say a little
    // more.
    CHECK(zero_acceptance_size_in_lot(25, 40'000, 120'000) == 3);
    CHECK(zero_acceptance_size_in_lot(25, 40'000, 520'000) == 13);
}

TEST_CASE("Points of operating characteristics") {
    // Binomial, in percent, recomputed: accepted with 95, 50 and 10 %.
    struct Line {
        std::int64_t n, accept;
        double at_95, at_50, at_10;
    };
    for (const auto& line : {Line{80, 2, 1.030, 3.329, 6.516}, Line{125, 3, 1.100, 2.930, 5.266},
                             Line{50, 1, 0.715, 3.334, 7.558}, Line{32, 0, 0.160, 2.143, 6.943}}) {
        CHECK(100 * share_accepted_with(0.95, line.n, line.accept) == cqt::Approx(line.at_95).margin(5e-4));
        CHECK(100 * share_accepted_with(0.50, line.n, line.accept) == cqt::Approx(line.at_50).margin(5e-4));
        CHECK(100 * share_accepted_with(0.10, line.n, line.accept) == cqt::Approx(line.at_10).margin(5e-4));
        const double share = share_accepted_with(0.10, line.n, line.accept);
        CHECK(acceptance_from_process(line.n, line.accept, share) == cqt::Approx(0.10).epsilon(1e-9));
    }
    CHECK(share_accepted_with(0.5, 1, 0) == cqt::Approx(0.5).epsilon(1e-12));
}

TEST_CASE("A lot is not a process: what its few bad pieces make of the chance") {
    // By hand: 2 bad of 10, none among 3: 8/10 7/9 6/8 = 7/15.
    CHECK(acceptance_from_lot(3, 0, 2, 10) == cqt::Approx(7.0 / 15).epsilon(1e-12));
    CHECK(acceptance_from_lot(3, 1, 2, 10) ==
          cqt::Approx(1 - 1.0 / 15).epsilon(1e-12));  // both: 2 1 8 / (10 9 8) times 3
    CHECK(acceptance_from_lot(3, 2, 2, 10) == 1);
    CHECK(acceptance_from_lot(10, 1, 2, 10) == cqt::Approx(0).margin(1e-12));
    CHECK(acceptance_from_lot(5, 0, 0, 10) == 1);
    // A large lot is nearly a process.
    CHECK(acceptance_from_lot(80, 2, 20'000, 1'000'000) ==
          cqt::Approx(acceptance_from_process(80, 2, 0.02)).epsilon(1e-3));
    // The size for a lot keeps its promise, and one piece fewer does not.
    for (const std::int64_t lot : {30, 180, 777}) {
        const auto n = zero_acceptance_size_in_lot(lot, 30'000, 950'000);
        const auto bad = (lot * 3 + 99) / 100;
        CHECK(acceptance_from_lot(n, 0, bad, lot) <= 0.05 + 1e-12);
        CHECK(acceptance_from_lot(n - 1, 0, bad, lot) > 0.05);
    }
}

TEST_CASE("Numbers out of range are a bug") {
    CHECK_THROWS_AS(zero_acceptance_size(0, 950'000), std::domain_error);
    CHECK_THROWS_AS(zero_acceptance_size(10'000, 1'000'000), std::domain_error);
    CHECK_THROWS_AS(zero_acceptance_size_in_lot(0, 10'000, 950'000), std::domain_error);
    CHECK_THROWS_AS(share_accepted_with(0.5, 5, 5), std::domain_error);
    CHECK_THROWS_AS(share_accepted_with(1, 5, 0), std::domain_error);
    CHECK_THROWS_AS(acceptance_from_lot(11, 0, 1, 10), std::domain_error);
    CHECK_THROWS_AS(acceptance_from_process(0, 0, 0.1), std::domain_error);
}

#include "reports/statistics/tolerance_interval.h"

#include <stdexcept>

#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

TEST_CASE("Tolerance factors of the NIST e-Handbook") {
    // 7.2.6.3: n 43, share 0.90, confidence 0.99: two-sided 2.217 (Howe), one-sided 1.8740 (non-central t); n
    // 6: 4.4111.
    CHECK(tolerance_factor_howe(43, 0.90, 0.99) == cqt::Approx(2.217).margin(5e-4));
    CHECK(tolerance_factor_howe(43, 0.90, 0.99) == cqt::Approx(2.217316).margin(5e-7));
    CHECK(tolerance_factor_one_sided(43, 0.90, 0.99) == cqt::Approx(1.873954).margin(5e-7));
    CHECK(tolerance_factor_one_sided(6, 0.90, 0.99) == cqt::Approx(4.4111).margin(5e-5));
    // Exact two-sided, by another program's numerical integration: what Howe approximates.
    CHECK(tolerance_factor_exact(43, 0.90, 0.99) == cqt::Approx(2.2228252).margin(6e-8));
    CHECK(tolerance_factor_exact(10, 0.95, 0.95) == cqt::Approx(3.3934294).margin(6e-8));
    CHECK(tolerance_factor_exact(6, 0.90, 0.99) == cqt::Approx(5.3832003).margin(6e-8));
}

TEST_CASE("Every line of the table of tolerance factors") {
    const auto rows = data_rows("tolerance_factors.csv");
    REQUIRE(rows.size() == 90);
    for (const auto& row : rows) {
        const int n = static_cast<int>(number(row[0]));
        const double share = number(row[1]), confidence = number(row[2]);
        INFO("n " << n << ", share " << share << ", confidence " << confidence);
        CHECK(tolerance_factor_exact(n, share, confidence) == cqt::Approx(number(row[3])).margin(6e-5));
        CHECK(tolerance_factor_howe(n, share, confidence) == cqt::Approx(number(row[4])).margin(6e-5));
        CHECK(tolerance_factor_one_sided(n, share, confidence) == cqt::Approx(number(row[5])).margin(6e-5));
    }
}

TEST_CASE("A tolerance factor out of range is a bug") {
    CHECK_THROWS_AS(tolerance_factor_howe(1, 0.9, 0.9), std::domain_error);
    CHECK_THROWS_AS(tolerance_factor_exact(10, 1, 0.9), std::domain_error);
    CHECK_THROWS_AS(tolerance_factor_one_sided(10, 0.9, 0), std::domain_error);
}

#include "reports/statistics/chart_constants.h"

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <thread>
#include <vector>

#include "tests/statistics/published_data.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;
using cqt::Approx;

TEST_CASE("Chart constants for 2 to 25 values agree to nine digits with an independent computation") {
    // The file's values come from the same definitions by another library's quadrature, and round to the 3-decimal
    // tables of ASTM MNL 7, ISO 7870-2 and NIST/SEMATECH e-Handbook 6.3.2.1.
    const auto rows = published::groups("chart_constants.txt");
    REQUIRE(rows.size() == 24);
    for (const auto& row : rows) {
        REQUIRE(row.size() == 17);
        const auto& c = chart_constants(static_cast<int>(row[0]));
        CAPTURE(c.n);
        CHECK(c.n == row[0]);
        const double found[] = {c.d2, c.d3, c.c4, c.A,  c.A2, c.A3, c.B3, c.B4,
                                c.B5, c.B6, c.D1, c.D2, c.D3, c.D4, c.E2, c.E3};
        for (std::size_t i = 0; i < std::size(found); ++i) {
            CAPTURE(i);
            if (row[i + 1] == 0)
                CHECK(found[i] == 0);
            else
                CHECK(published::correct_digits(found[i], row[i + 1]) >= 9);
        }
    }
}

TEST_CASE("Chart constants have their closed forms for two and three values") {
    const double pi = std::numbers::pi, root3 = std::sqrt(3.0);
    CHECK(chart_constants(2).d2 == Approx(2 / std::sqrt(pi)).epsilon(1e-13));
    CHECK(chart_constants(3).d2 == Approx(3 / std::sqrt(pi)).epsilon(1e-13));
    CHECK(chart_constants(2).d3 == Approx(std::sqrt(2 - 4 / pi)).epsilon(1e-11));
    CHECK(chart_constants(3).d3 == Approx(std::sqrt(2 + 3 * root3 / pi - 9 / pi)).epsilon(1e-11));
    CHECK(chart_constants(2).c4 == Approx(std::sqrt(2 / pi)).epsilon(1e-14));
}

TEST_CASE("Chart constants go on beyond the printed tables") {
    // By mpmath at 25 digits: d2(100) = 5.015187272883369, c4(100) = 0.9974779760712635.
    CHECK(chart_constants(100).d2 == Approx(5.015187272883369).epsilon(1e-13));
    CHECK(chart_constants(100).c4 == Approx(0.9974779760712635).epsilon(1e-14));
}

TEST_CASE("d2* agrees with the published table of gauge studies in every printed place") {
    const auto rows = published::groups("d2_star.txt");
    REQUIRE(rows.size() == 23);
    for (const auto& row : rows)
        for (std::size_t i = 1; i < row.size(); ++i) {
            const int m = static_cast<int>(i) + 1, g = static_cast<int>(row[0]);
            CAPTURE(m, g);
            CHECK(d2_star(m, g) == Approx(row[i]).epsilon(0).margin(0.50001e-5));
        }
    // Duncan's table as the gauge study manuals print it.
    CHECK(d2_star(2, 1) == Approx(1.41421).margin(1e-5));
    CHECK(d2_star(3, 1) == Approx(1.91155).margin(1e-5));
    CHECK(d2_star(10, 1) == Approx(3.17905).margin(1e-5));
}

TEST_CASE("A range of fewer than two values is a mistake of the program") {
    CHECK_THROWS_AS(chart_constants(1), std::domain_error);
    CHECK_THROWS_AS(chart_constants(-3), std::domain_error);
    CHECK_THROWS_AS(d2_star(1, 1), std::domain_error);
    CHECK_THROWS_AS(d2_star(3, 0), std::domain_error);
}

TEST_CASE("Chart constants asked for by several threads at once are the same ones") {
    std::vector<const ChartConstants*> found(8);
    {
        std::vector<std::jthread> threads;
        for (auto& f : found)
            threads.emplace_back([&f] { f = &chart_constants(37); });
    }
    for (const auto* f : found) {
        REQUIRE(f == found.front());
        CHECK(f->n == 37);
    }
}

#include "reports/statistics/anova.h"

#include <cmath>

#include <rapidcheck.h>

#include "reports/statistics/moments.h"
#include "tests/statistics/published_data.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;
using cqt::Approx;
using Cells = std::vector<std::vector<std::vector<double>>>;
using Groups = std::vector<std::vector<double>>;

namespace {

// Thermal impedance of a power module, 10 parts by 3 inspectors by 3 measurements: Montgomery, Introduction to
// Statistical Quality Control, table 8.7 (data of Houf and Berman 1988).
Cells thermal_impedance() {
    return {{{37, 38, 37}, {41, 41, 40}, {41, 42, 41}}, {{42, 41, 43}, {42, 42, 42}, {43, 42, 43}},
            {{30, 31, 31}, {31, 31, 31}, {29, 30, 28}}, {{42, 43, 42}, {43, 43, 43}, {42, 42, 42}},
            {{28, 30, 29}, {29, 30, 29}, {31, 29, 29}}, {{42, 42, 43}, {45, 45, 45}, {44, 46, 45}},
            {{25, 26, 27}, {28, 28, 30}, {29, 27, 27}}, {{40, 40, 40}, {43, 42, 42}, {43, 43, 41}},
            {{25, 25, 25}, {27, 29, 28}, {26, 26, 26}}, {{35, 34, 34}, {35, 35, 34}, {35, 34, 35}}};
}

}  // namespace

TEST_CASE("One-way: a table of three small groups is that of the hand calculation") {
    // 1 2 3, 2 3 4, 6 7 8: means 2 3 7, grand mean 4; between 3 x (4 + 1 + 9) = 42, within 3 x 2 = 6.
    const auto t = one_way(Groups{{1, 2, 3}, {2, 3, 4}, {6, 7, 8}}).value();
    CHECK(t.groups == 3);
    CHECK(t.values == 9);
    CHECK(t.grand_mean == 4);
    CHECK(t.between.ss == Approx(42).epsilon(1e-15));
    CHECK(t.within.ss == Approx(6).epsilon(1e-15));
    CHECK(t.between.df == 2);
    CHECK(t.within.df == 6);
    REQUIRE(t.test.has_value());
    CHECK(t.test->f == Approx(21).epsilon(1e-15));
    // With 2 degrees of freedom above, p = (1 + 2 F / 6)^(-6 / 2) = 8^-3.
    CHECK(t.test->p == Approx(1.0 / 512).epsilon(1e-13));
    CHECK(t.r_squared.value() == Approx(42.0 / 48).epsilon(1e-15));
    CHECK(t.residual_sd == Approx(1).epsilon(1e-15));
}

TEST_CASE("One-way: groups may differ in size") {
    // 1 3, 5: means 2 and 5, grand mean 3; between 2 x 1 + 1 x 4 = 6, within 2.
    const auto t = one_way(Groups{{1, 3}, {5}}).value();
    CHECK(t.between.ss == Approx(6).epsilon(1e-15));
    CHECK(t.within.ss == Approx(2).epsilon(1e-15));
    CHECK(t.within.df == 1);
    CHECK(t.test->f == Approx(3).epsilon(1e-15));
}

TEST_CASE("One-way: whether the spread of gear diameters differs between batches is as published") {
    // NIST/SEMATECH e-Handbook 1.3.5.10, Levene's test with medians: the one-way F of the distances from the batch's
    // median, 1.70591 with 9 and 90 degrees of freedom. The handbook's figure was computed in single precision (exact
    // arithmetic gives 1.705918), and the figure itself is from memory.
    auto batches = published::groups("gear_diameters.txt");
    REQUIRE(batches.size() == 10);
    for (auto& batch : batches) {
        const double median = quantile(batch, 0.5).value();
        for (auto& d : batch)
            d = std::abs(d - median);
    }
    const auto t = one_way(batches).value();
    CHECK(t.between.df == 9);
    CHECK(t.within.df == 90);
    CHECK(t.test->f == Approx(1.70591).epsilon(1e-5));
    CHECK(t.test->f == Approx(1.705918).epsilon(3e-7));
    CHECK(t.test->p > 0.05);
}

TEST_CASE("One-way: values without any spread within give a table but no F") {
    const auto apart = one_way(Groups{{1, 1}, {2, 2}}).value();
    CHECK(apart.between.ss == 1);
    CHECK(apart.within.ss == 0);
    CHECK_FALSE(apart.test.has_value());
    CHECK(apart.r_squared.value() == 1);
    const auto equal = one_way(Groups{{22.31, 22.31, 22.31}, {22.31, 22.31}}).value();
    CHECK(equal.between.ss == 0);
    CHECK_FALSE(equal.test.has_value());
    CHECK_FALSE(equal.r_squared.has_value());
}

TEST_CASE("One-way: what cannot be compared is refused by name") {
    CHECK(one_way(Groups{}).error().code == "statistics.too_few_groups");
    CHECK(one_way(Groups{{1, 2}}).error().code == "statistics.too_few_groups");
    CHECK(one_way(Groups{{1, 2}}).error().detail("found") == "1");
    const auto empty = one_way(Groups{{1, 2}, {3}, {}});
    CHECK(empty.error().code == "statistics.empty_group");
    CHECK(empty.error().detail("group") == "3");
    CHECK(one_way(Groups{{1}, {3}}).error().code == "statistics.no_repeats");
}

TEST_CASE("Two-way: the table of a published gauge study comes out in every printed place") {
    const auto t = two_way(thermal_impedance()).value();
    CHECK(t.levels_a == 10);
    CHECK(t.levels_b == 3);
    CHECK(t.replicates == 3);
    // As printed there (figures from memory; exact arithmetic gives the same): SS 3935.96, 39.27, 48.51, 30.67,
    // 4054.40.
    CHECK(t.a.ss == Approx(3935.96).margin(0.005));
    CHECK(t.b.ss == Approx(39.27).margin(0.005));
    CHECK(t.interaction.ss == Approx(48.51).margin(0.005));
    CHECK(t.error.ss == Approx(30.67).margin(0.005));
    CHECK(t.total.ss == Approx(4054.40).margin(0.005));
    CHECK(t.a.df == 9);
    CHECK(t.b.df == 2);
    CHECK(t.interaction.df == 18);
    CHECK(t.error.df == 60);
    CHECK(t.total.df == 89);
    // MS 437.33, 19.63, 2.70, 0.51; F of parts and inspectors against the interaction 162.27 and 7.28,
    // interaction 5.27.
    CHECK(t.a.ms() == Approx(437.33).margin(0.005));
    CHECK(t.b.ms() == Approx(19.63).margin(0.005));
    CHECK(t.interaction.ms() == Approx(2.70).margin(0.005));
    CHECK(t.error.ms() == Approx(0.51).margin(0.005));
    CHECK(t.a_test_random().value().f == Approx(162.27).margin(0.005));
    CHECK(t.b_test_random().value().f == Approx(7.28).margin(0.005));
    CHECK(t.interaction_test().value().f == Approx(5.27).margin(0.005));
    CHECK(t.interaction_test().value().p == Approx(5.06e-7).epsilon(2e-3));
}

TEST_CASE("Two-way: a small table is that of the hand calculation") {
    // Cell means 2 4 / 6 12, spread 1 around each. Grand mean 6; rows 3 and 9, columns 4 and 8.
    // A: 2 x 2 x (9 + 9) = 72; B: 4 x (4 + 4) = 32; interaction 2 x 4 x 1 = 8; error 4 x 2 = 8.
    const auto t = two_way(Cells{{{1, 3}, {3, 5}}, {{5, 7}, {11, 13}}}).value();
    CHECK(t.grand_mean == 6);
    CHECK(t.means_a == std::vector<double>{3, 9});
    CHECK(t.means_b == std::vector<double>{4, 8});
    CHECK(t.a.ss == Approx(72).epsilon(1e-15));
    CHECK(t.b.ss == Approx(32).epsilon(1e-15));
    CHECK(t.interaction.ss == Approx(8).epsilon(1e-15));
    CHECK(t.error.ss == Approx(8).epsilon(1e-15));
    CHECK(t.total.ss == Approx(120).epsilon(1e-15));
    CHECK(t.a_test_fixed().value().f == Approx(36).epsilon(1e-15));
    CHECK(t.b_test_fixed().value().f == Approx(16).epsilon(1e-15));
    CHECK(t.a_test_random().value().f == Approx(9).epsilon(1e-15));
    CHECK(t.pooled_error().ss == Approx(16).epsilon(1e-15));
    CHECK(t.pooled_error().df == 5);
    CHECK(f_test(t.a, t.pooled_error()).value().f == Approx(22.5).epsilon(1e-15));
}

TEST_CASE("Two-way: appraisers who read alike have no effect and no interaction, and none is made of rounding") {
    // A tenth is no double and the means are no doubles either: whatever is not 0 here comes from rounding alone.
    Cells cells;
    for (int part = 0; part < 7; ++part) {
        const double d = 22.1 + 0.013 * part;
        const std::vector<double> readings{d, d + 0.01, d + 0.03};
        cells.push_back({readings, readings, readings});
    }
    const auto t = two_way(cells).value();
    CHECK(t.a.ss > 0);
    CHECK(t.error.ss > 0);
    CHECK(t.b.ss == 0);
    CHECK(t.interaction.ss == 0);
    CHECK(t.interaction_test().value().f == 0);
    CHECK(t.interaction_test().value().p == 1);
    CHECK_FALSE(t.a_test_random().has_value());
    CHECK(t.a_test_fixed().has_value());
}

TEST_CASE("Two-way: the sources add up to the whole, wherever the values lie") {
    CHECK(rc::check("sums of squares add up and do not see an offset", [] {
        const auto steps = *rc::gen::container<std::vector<int>>(4 * 3 * 2, rc::gen::inRange(-50'000, 50'000));
        const auto offset = *rc::gen::inRange<std::int64_t>(0, 1'000'000'000'000);
        Cells near(4, Groups(3)), far(4, Groups(3));
        for (std::size_t i = 0; i < steps.size(); ++i) {
            near[i / 6][i / 2 % 3].push_back(steps[i]);
            far[i / 6][i / 2 % 3].push_back(static_cast<double>(steps[i] + offset));
        }
        const auto a = two_way(near).value(), b = two_way(far).value();
        const auto sum = a.a.ss + a.b.ss + a.interaction.ss + a.error.ss;
        const double tolerance = 1e-13 * a.total.ss;
        RC_ASSERT(std::abs(sum - a.total.ss) <= tolerance);
        RC_ASSERT(std::abs(a.a.ss - b.a.ss) <= tolerance);
        RC_ASSERT(std::abs(a.b.ss - b.b.ss) <= tolerance);
        RC_ASSERT(std::abs(a.interaction.ss - b.interaction.ss) <= tolerance);
        RC_ASSERT(std::abs(a.error.ss - b.error.ss) <= tolerance);
    }));
}

TEST_CASE("Two-way: a cell with readings missing is named") {
    auto cells = thermal_impedance();
    cells[6][1].pop_back();
    const auto short_of_one = two_way(cells);
    REQUIRE_FALSE(short_of_one.has_value());
    CHECK(short_of_one.error().code == "statistics.cell_incomplete");
    CHECK(short_of_one.error().detail("a") == "7");
    CHECK(short_of_one.error().detail("b") == "2");
    CHECK(short_of_one.error().detail("found") == "2");
    CHECK(short_of_one.error().detail("expected") == "3");

    cells = thermal_impedance();
    cells[3].pop_back();
    const auto no_cell = two_way(cells);
    REQUIRE_FALSE(no_cell.has_value());
    CHECK(no_cell.error().detail("a") == "4");
    CHECK(no_cell.error().detail("b") == "3");
    CHECK(no_cell.error().detail("found") == "0");

    cells = thermal_impedance();
    cells[0][0].clear();  // the first cell is not what the others are held against
    CHECK(two_way(cells).error().detail("a") == "1");
}

TEST_CASE("Two-way: too few parts, appraisers or readings are refused by name") {
    CHECK(two_way(Cells{}).error().code == "statistics.too_few_levels");
    CHECK(two_way(Cells{{{1, 2}, {1, 2}}}).error().code == "statistics.too_few_levels");
    CHECK(two_way(Cells{{{1, 2}}, {{1, 2}}}).error().code == "statistics.too_few_levels");
    CHECK(two_way(Cells{{{1}, {2}}, {{3}, {4}}}).error().code == "statistics.no_replicates");
    CHECK(two_way(Cells{{{}, {}}, {{}, {}}}).error().code == "statistics.cell_incomplete");
}

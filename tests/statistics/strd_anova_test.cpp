// NIST StRD (Statistical Reference Datasets), analysis of variance: https://www.itl.nist.gov/div898/strd/anova.
// The digits reached are printed; ten or more are asked for.
//
// SmLs04 to 06 stand on 1000000, SmLs07 to 09 on 1000000000000. As doubles these decimals are so much rounded that
// exact rational arithmetic over the doubles agrees with the certified F in 10.4 digits for SmLs04, 10.2 for SmLs05
// and 4.4 for SmLs07 (NIST itself says of the latter that no double holds them with more than 4 digits); AtmWtAg
// keeps 10.2. As whole tenths (AtmWtAg: as whole 1e-7) every set is exact, like crimpgate's own values, which are whole
// nanometres.
//
// SmLs03, 06, 08 and 09 are made here by the construction of S. D. Simon and J. P. Lesage (Computational Statistics &
// Data Analysis 8 (1989) 325-332), which is checked against the published SmLs01, 04 and 07, value by value.
#include <cmath>
#include <cstdio>

#include "reports/statistics/anova.h"
#include "tests/statistics/published_data.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

using Groups = std::vector<std::vector<double>>;

struct Certified {
    const char* set;
    int df_between, df_within;
    double ss_between, ss_within, f, r_squared, residual_sd;
};

constexpr Certified sirstv{
    "SiRstv", 4, 20, 5.11462616e-2, 2.1663656e-1, 1.18046237440255, 1.90999039051129e-1, 1.04076068334656e-1};
constexpr Certified atmwtag{
    "AtmWtAg", 1, 46, 3.638341875e-9, 1.04951729166667e-8, 15.9467335677930, 2.57426544538321e-1, 1.51048314446410e-5};
constexpr Certified smls_21{"SmLs 21", 8, 180, 1.68, 1.8, 21, 4.82758620689655e-1, 0.1};
constexpr Certified smls_201{"SmLs 201", 8, 1800, 16.08, 18, 201, 4.71830985915493e-1, 0.1};
constexpr Certified smls_2001{"SmLs 2001", 8, 18000, 160.08, 180, 2001, 4.70712773465067e-1, 0.1};

// The fewest digits of all that is certified. `divisor`: how many of the values' units make one of the certificate's.
double fewest_digits(const char* set, const Certified& c, const Groups& groups, double divisor, const char* how) {
    const auto table = one_way(groups);
    REQUIRE(table.has_value());
    CHECK(table->between.df == c.df_between);
    CHECK(table->within.df == c.df_within);
    REQUIRE(table->test.has_value());
    REQUIRE(table->r_squared.has_value());
    using published::correct_digits;
    const double ss_between = correct_digits(table->between.ss / (divisor * divisor), c.ss_between);
    const double ss_within = correct_digits(table->within.ss / (divisor * divisor), c.ss_within);
    const double f = correct_digits(table->test->f, c.f);
    const double r_squared = correct_digits(*table->r_squared, c.r_squared);
    const double sd = correct_digits(table->residual_sd / divisor, c.residual_sd);
    std::printf("NIST StRD %-8s %-13s SSb: LRE %4.1f  SSw: LRE %4.1f  F: LRE %4.1f  R2: LRE %4.1f  sd: LRE %4.1f\n",
                set, how, ss_between, ss_within, f, r_squared, sd);
    return std::min({ss_between, ss_within, f, r_squared, sd});
}

// Whole tenths: nine levels, in each of them first the level, then in turn a tenth less and a tenth more.
Groups simon_lesage(double base, int replicates) {
    Groups out;
    for (const int level : {4, 3, 5, 3, 5, 3, 5, 3, 5}) {
        out.emplace_back();
        for (int i = 0; i < replicates; ++i)
            out.back().push_back(10 * base + level + (i == 0 ? 0 : i % 2 == 1 ? -1 : 1));
    }
    return out;
}

Groups divided(Groups groups, double by) {
    for (auto& group : groups)
        for (auto& value : group)
            value /= by;
    return groups;
}

}  // namespace

TEST_CASE("One-way analysis of variance agrees with NIST StRD to ten digits and more on every set that doubles hold") {
    CHECK(fewest_digits("SiRstv", sirstv, published::groups("strd/sirstv.txt"), 1, "as doubles") >= 12.5);
    CHECK(fewest_digits("AtmWtAg", atmwtag, published::groups("strd/atmwtag.txt"), 1, "as doubles") >= 10);
    CHECK(fewest_digits("SmLs01", smls_21, published::groups("strd/smls01.txt"), 1, "as doubles") >= 14);
    CHECK(fewest_digits("SmLs02", smls_201, divided(simon_lesage(1, 201), 10), 1, "as doubles") >= 14);
    CHECK(fewest_digits("SmLs03", smls_2001, divided(simon_lesage(1, 2001), 10), 1, "as doubles") >= 14);
    CHECK(fewest_digits("SmLs04", smls_21, published::groups("strd/smls04.txt"), 1, "as doubles") >= 10);
}

TEST_CASE("One-way analysis of variance agrees with NIST StRD to 14 digits on every set when taken as whole numbers") {
    CHECK(fewest_digits("SiRstv", sirstv, published::whole_groups("strd/sirstv.txt", 4), 1e4, "whole 1e-4") >= 14);
    CHECK(fewest_digits("AtmWtAg", atmwtag, published::whole_groups("strd/atmwtag.txt", 7), 1e7, "whole 1e-7") >= 14);
    const struct {
        const char* set;
        Certified certified;
        double base;
        int replicates;
    } sets[] = {{"SmLs01", smls_21, 1, 21},    {"SmLs02", smls_201, 1, 201},    {"SmLs03", smls_2001, 1, 2001},
                {"SmLs04", smls_21, 1e6, 21},  {"SmLs05", smls_201, 1e6, 201},  {"SmLs06", smls_2001, 1e6, 2001},
                {"SmLs07", smls_21, 1e12, 21}, {"SmLs08", smls_201, 1e12, 201}, {"SmLs09", smls_2001, 1e12, 2001}};
    for (const auto& s : sets) {
        CAPTURE(s.set);
        CHECK(fewest_digits(s.set, s.certified, simon_lesage(s.base, s.replicates), 10, "whole tenths") >= 14);
    }
}

TEST_CASE("The construction of the Simon-Lesage sets gives the published ones, value by value") {
    CHECK(simon_lesage(1, 21) == published::whole_groups("strd/smls01.txt", 1));
    CHECK(simon_lesage(1e6, 21) == published::whole_groups("strd/smls04.txt", 1));
    CHECK(simon_lesage(1e12, 21) == published::whole_groups("strd/smls07.txt", 1));
}

TEST_CASE("SmLs07 as doubles loses what the conversion of its decimals loses, and nothing more") {
    const auto table = one_way(published::groups("strd/smls07.txt"));
    REQUIRE(table.has_value());
    // From exact rational arithmetic over the doubles: 4.0, 4.3 and 4.4 digits.
    using published::correct_digits;
    CHECK(correct_digits(table->between.ss, 1.68) == cqt::Approx(4.0).margin(0.1));
    CHECK(correct_digits(table->within.ss, 1.8) == cqt::Approx(4.3).margin(0.1));
    CHECK(correct_digits(table->test->f, 21) == cqt::Approx(4.4).margin(0.1));
}

// NIST StRD (Statistical Reference Datasets), univariate summary statistics: https://www.itl.nist.gov/div898/strd/univ.
// Every set must give ten digits or more of mean, sd and lag-1 autocorrelation; the digits reached are printed.
//
// NumAcc4 (10000000.2 and a tenth more or less) cannot do so as doubles: the nearest doubles to its decimals are up to
// 9e-10 away, and the sd of those doubles, computed in exact rational arithmetic, agrees with the certified 0.1 in 8.3
// digits only, lag-1 in 11.0. No arithmetic afterwards can bring back what the conversion lost. As whole tenths the
// same data are exact, and so are crimpgate's own values, which are whole nanometres; so NumAcc4 is computed in both
// ways: the decimals rounded to doubles up to their limit, the whole tenths in full. Michelso keeps 13.9 digits as
// doubles, the other sets 15.
#include <cstdio>

#include "reports/statistics/moments.h"
#include "tests/statistics/published_data.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

struct Certified {
    const char* set;
    double mean, sd, lag1;
};

struct Digits {
    double mean, sd, lag1;
};

// `unit`: what one of the values is worth in the unit of the certificate, as a divisor.
Digits reached(const Certified& c, const std::vector<double>& values, double divisor, const char* how) {
    const auto m = moments_of(values);
    const Digits d{published::correct_digits(m.mean / divisor, c.mean),
                   published::correct_digits(m.sd().value() / divisor, c.sd),
                   published::correct_digits(lag1_autocorrelation(values).value(), c.lag1)};
    std::printf("NIST StRD %-8s %-13s mean: LRE %4.1f  sd: LRE %4.1f  lag-1: LRE %4.1f\n", c.set, how, d.mean, d.sd,
                d.lag1);
    return d;
}

constexpr Certified numacc3{"NumAcc3", 1000000.2, 0.1, -0.999};
constexpr Certified numacc4{"NumAcc4", 10000000.2, 0.1, -0.999};

// NumAcc2, 3 and 4 are made alike, in whole tenths: 2, then five hundred times 1 and 3, on top of something large.
std::vector<double> made_like_numacc(double base) {
    std::vector<double> out{10 * base + 2};
    for (int i = 0; i < 500; ++i) {
        out.push_back(10 * base + 1);
        out.push_back(10 * base + 3);
    }
    return out;
}

}  // namespace

TEST_CASE("Mean, sd and lag-1 autocorrelation agree with NIST StRD to ten digits and more") {
    const struct {
        Certified certified;
        const char* file;
        std::size_t n;
    } sets[] = {
        {{"Lew", -177.435, 277.332168044316, -0.307304800605679}, "strd/lew.txt", 200},
        {{"Lottery", 518.958715596330, 291.699727470969, -0.120948622967393}, "strd/lottery.txt", 218},
        {{"Michelso", 299.8524, 0.0790105478190518, 0.535199668621283}, "strd/michelso.txt", 100},
        {{"NumAcc1", 10000002, 1, -0.5}, "strd/numacc1.txt", 3},
        {{"NumAcc2", 1.2, 0.1, -0.999}, "strd/numacc2.txt", 1001},
        {{"PiDigits", 4.5348, 2.86733906028871, -0.00355099287237972}, "strd/pidigits.txt", 5000},
    };
    for (const auto& set : sets) {
        CAPTURE(set.certified.set);
        const auto values = published::values(set.file);
        REQUIRE(values.size() == set.n);
        const auto digits = reached(set.certified, values, 1, "as doubles");
        CHECK(digits.mean >= 14.5);
        CHECK(digits.sd >= 13.5);
        CHECK(digits.lag1 >= 13);
    }
}

TEST_CASE("NumAcc4, a tenth on top of ten million, agrees with NIST StRD to 14 digits when taken as whole tenths") {
    const auto values = published::whole_values("strd/numacc4.txt", 1);
    REQUIRE(values.size() == 1001);
    const auto digits = reached(numacc4, values, 10, "whole tenths");
    CHECK(digits.mean >= 14);
    CHECK(digits.sd >= 14);
    CHECK(digits.lag1 >= 14);
}

TEST_CASE("NumAcc4 as doubles loses what the conversion of its decimals loses, and nothing more") {
    const auto digits = reached(numacc4, published::values("strd/numacc4.txt"), 1, "as doubles");
    CHECK(digits.mean >= 14.5);
    // The limits, from exact rational arithmetic over the doubles: 8.3 and 11.0 digits.
    CHECK(digits.sd == cqt::Approx(8.3).margin(0.1));
    CHECK(digits.lag1 == cqt::Approx(11.0).margin(0.1));
}

TEST_CASE("NumAcc3, made the way the published NumAcc2 and NumAcc4 are, agrees to 14 digits as whole tenths") {
    CHECK(made_like_numacc(1) == published::whole_values("strd/numacc2.txt", 1));
    CHECK(made_like_numacc(1e7) == published::whole_values("strd/numacc4.txt", 1));
    const auto digits = reached(numacc3, made_like_numacc(1e6), 10, "whole tenths");
    CHECK(digits.mean >= 14);
    CHECK(digits.sd >= 14);
    CHECK(digits.lag1 >= 14);
}

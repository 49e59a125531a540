// Values marked "by mpmath" were computed with that library (error function, incomplete gamma and beta functions at 30
// digits), independently of the one that the program uses.
#include "reports/statistics/distributions.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include "tests/support/catch.h"

using namespace crimpgate::statistics;
using cqt::Approx;

TEST_CASE("Normal: parts per million beyond a capability index are the published ones") {
    // Montgomery, Introduction to Statistical Quality Control, table 8.2: 66807, 1350 and 3.4 ppm for indices of 0.5, 1
    // and 1.5 at one limit; the further digits by mpmath.
    CHECK(1e6 * normal_upper(1.5) == Approx(66807.2012689).epsilon(1e-11));
    CHECK(1e6 * normal_upper(3) == Approx(1349.89803163).epsilon(1e-11));
    CHECK(1e6 * normal_upper(4.5) == Approx(3.39767312473).epsilon(1e-11));
    CHECK(1e6 * normal_upper(6) == Approx(0.000986587645038).epsilon(1e-11));
}

TEST_CASE("Normal: a far tail keeps its digits") {
    CHECK(normal_upper(10) == Approx(7.619853024160526e-24).epsilon(1e-13));  // by mpmath
    CHECK(normal_cdf(-10) == Approx(7.619853024160526e-24).epsilon(1e-13));
    CHECK(normal_cdf(0) == 0.5);
}

TEST_CASE("Normal: the guard of the default decision rule is 95 per cent one-sided") {
    // ISO 14253-1 prints 1.65 for 95 %; tables of the normal distribution have 1.6449 and 1.9600.
    CHECK(normal_quantile(0.95) == Approx(1.6449).margin(5e-5));
    CHECK(normal_quantile(0.975) == Approx(1.9600).margin(5e-5));
    CHECK(normal_cdf(-1.65) == Approx(0.04947).margin(5e-6));
    CHECK(normal_quantile(normal_cdf(-3)) == Approx(-3).epsilon(1e-14));
}

TEST_CASE("Chi squared: the points of published examples") {
    // Interval of a capability index from 20 values (Montgomery): 8.907 and 32.852 at 19 degrees of freedom.
    CHECK(chi_squared_quantile(0.025, 19) == Approx(8.907).margin(5e-4));
    CHECK(chi_squared_quantile(0.975, 19) == Approx(32.852).margin(5e-4));
    // NIST/SEMATECH e-Handbook 7.2.6.3 (23.650) and 1.3.5.7 (16.919); further digits by mpmath.
    CHECK(chi_squared_quantile(0.01, 42) == Approx(23.6500946778262).epsilon(1e-12));
    CHECK(chi_squared_quantile(0.95, 9) == Approx(16.9189776046204).epsilon(1e-12));
    CHECK(chi_squared_cdf(16.9189776046204, 9) == Approx(0.95).epsilon(1e-13));
    CHECK(chi_squared_cdf(0, 9) == 0);
    CHECK(chi_squared_cdf(std::numeric_limits<double>::infinity(), 9) == 1);
}

TEST_CASE("Student's t: the points of published examples, degrees of freedom whole or not") {
    // GUM H.1 (JCGM 100:2008): 2.92 at 16 degrees of freedom for 99 %; further digits by mpmath.
    CHECK(student_quantile(0.995, 16) == Approx(2.92078162243).epsilon(1e-11));
    CHECK(student_quantile(0.975, 16) == Approx(2.11990529922).epsilon(1e-11));
    CHECK(student_quantile(0.975, 16.645) == Approx(2.11324853483).epsilon(1e-11));  // by mpmath
    CHECK(2 * student_upper(2.30657, 24) == Approx(0.03002218805).epsilon(1e-9));    // by mpmath
    CHECK(student_upper(40, 9) == Approx(9.49149922466991e-12).epsilon(1e-12));      // by mpmath
    CHECK(student_cdf(-40, 9) == Approx(9.49149922466991e-12).epsilon(1e-12));
    CHECK(student_cdf(0, 9) == 0.5);
}

TEST_CASE("Fisher's F: the points of published examples") {
    // NIST/SEMATECH e-Handbook 1.3.5.10: 1.9855 for 9 and 90 degrees of freedom; further digits by mpmath.
    CHECK(fisher_quantile(0.95, 9, 90) == Approx(1.98559496373050).epsilon(1e-12));
    // The gauge study of the AIAG manual (4th edition): interaction F 0.434, p 0.974; further digits by mpmath.
    CHECK(fisher_upper(0.433721, 18, 60) == Approx(0.974106413566).epsilon(1e-11));
    CHECK(fisher_upper(15.9467335677930, 1, 46) == Approx(2.32684448338925e-4).epsilon(1e-12));  // by mpmath
    CHECK(fisher_upper(0, 3, 4) == 1);
    CHECK(fisher_upper(std::numeric_limits<double>::infinity(), 3, 4) == 0);
}

TEST_CASE("Binomial: zero-acceptance sample sizes are the published ones") {
    // The smallest sample in which no defective piece shows p with confidence C; standard values.
    const struct {
        double confidence, p;
        int n;
    } plans[] = {{0.95, 0.10, 29}, {0.95, 0.05, 59},  {0.95, 0.01, 299}, {0.90, 0.10, 22},
                 {0.90, 0.05, 45}, {0.90, 0.01, 230}, {0.99, 0.05, 90}};
    for (const auto& plan : plans) {
        CAPTURE(plan.confidence, plan.p);
        CHECK(binomial_cdf(0, plan.n, plan.p) <= 1 - plan.confidence);
        CHECK(binomial_cdf(0, plan.n - 1, plan.p) > 1 - plan.confidence);
    }
}

TEST_CASE("Binomial: by hand, and at its ends") {
    CHECK(binomial_cdf(1, 3, 0.5) == Approx(0.5).epsilon(1e-15));           // (1 + 3) / 8
    CHECK(binomial_cdf(1, 4, 0.25) == Approx(189.0 / 256).epsilon(1e-14));  // (81 + 4 x 27) / 256
    CHECK(binomial_cdf(-1, 3, 0.5) == 0);
    CHECK(binomial_cdf(3, 3, 0.5) == 1);
    CHECK(binomial_cdf(0, 0, 0.5) == 1);
}

TEST_CASE("Hypergeometric: by hand, and at its ends") {
    // Five of a lot of 10 with 2 defective: none C(8,5) / C(10,5) = 56/252, at most one 56/252 + 2 x C(8,4)/252 =
    // 196/252.
    CHECK(hypergeometric_cdf(0, 5, 2, 10) == Approx(56.0 / 252).epsilon(1e-14));
    CHECK(hypergeometric_cdf(1, 5, 2, 10) == Approx(196.0 / 252).epsilon(1e-14));
    CHECK(hypergeometric_cdf(2, 5, 2, 10) == 1);
    CHECK(hypergeometric_cdf(-1, 5, 2, 10) == 0);
    CHECK(hypergeometric_cdf(0, 10, 2, 10) == 0);  // the whole lot: both are found
    CHECK(hypergeometric_cdf(1, 9, 2, 10) == Approx(0.2).epsilon(1e-14));
    CHECK(hypergeometric_cdf(0, 0, 2, 10) == 1);
    CHECK(hypergeometric_cdf(0, 5, 0, 10) == 1);
}

TEST_CASE("Hypergeometric: zero-acceptance sample sizes for a lot of 50 and of 1000") {
    // Recomputed from binomial coefficients in whole numbers: 90 % confidence, one piece in ten and in twenty.
    CHECK(hypergeometric_cdf(0, 18, 5, 50) <= 0.1);
    CHECK(hypergeometric_cdf(0, 17, 5, 50) > 0.1);
    CHECK(hypergeometric_cdf(0, 44, 50, 1000) <= 0.1);
    CHECK(hypergeometric_cdf(0, 43, 50, 1000) > 0.1);
    // A large lot, the same way: the sum of C(300, i) C(99700, 800 - i) up to i = 3, over C(100000, 800).
    CHECK(hypergeometric_cdf(3, 800, 300, 100000) == Approx(0.7794206052872963).epsilon(1e-13));
}

TEST_CASE("What no distribution has is a mistake of the program") {
    CHECK_THROWS_AS(normal_quantile(0), std::domain_error);
    CHECK_THROWS_AS(normal_quantile(1), std::domain_error);
    CHECK_THROWS_AS(normal_cdf(std::nan("")), std::domain_error);
    CHECK_THROWS_AS(chi_squared_quantile(0.5, 0), std::domain_error);
    CHECK_THROWS_AS(chi_squared_quantile(1, 5), std::domain_error);
    CHECK_THROWS_AS(chi_squared_cdf(-1, 5), std::domain_error);
    CHECK_THROWS_AS(student_quantile(0.5, -1), std::domain_error);
    CHECK_THROWS_AS(student_cdf(0, std::nan("")), std::domain_error);
    CHECK_THROWS_AS(fisher_upper(-1, 2, 2), std::domain_error);
    CHECK_THROWS_AS(fisher_quantile(0.5, 0, 2), std::domain_error);
    CHECK_THROWS_AS(binomial_cdf(0, -1, 0.5), std::domain_error);
    CHECK_THROWS_AS(binomial_cdf(0, 1, 0), std::domain_error);
    CHECK_THROWS_AS(hypergeometric_cdf(0, 11, 2, 10), std::domain_error);
    CHECK_THROWS_AS(hypergeometric_cdf(0, 5, 11, 10), std::domain_error);
}

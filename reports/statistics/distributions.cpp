#include "reports/statistics/distributions.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/hypergeometric.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace crimpgate::statistics {
namespace {

namespace bm = boost::math;

void must(bool holds, const char* what) {
    if (!holds) throw std::domain_error(what);
}

// Checked here: the library takes 0 and 1 too, and answers with an overflow.
void must_be_inner(double p) {
    must(p > 0 && p < 1, "a probability must lie between 0 and 1");
}

void must_be_positive(double df) {
    must(df > 0 && std::isfinite(df), "degrees of freedom must be positive and finite");
}

}  // namespace

double normal_cdf(double z) {
    must(!std::isnan(z), "no number");
    return bm::cdf(bm::normal(), z);
}

double normal_upper(double z) {
    must(!std::isnan(z), "no number");
    return bm::cdf(bm::complement(bm::normal(), z));
}

double normal_quantile(double p) {
    must_be_inner(p);
    return bm::quantile(bm::normal(), p);
}

double chi_squared_cdf(double x, double df) {
    must_be_positive(df);
    must(x >= 0, "chi squared is never negative");
    if (std::isinf(x)) return 1;
    return bm::cdf(bm::chi_squared(df), x);
}

double chi_squared_quantile(double p, double df) {
    must_be_inner(p);
    must_be_positive(df);
    return bm::quantile(bm::chi_squared(df), p);
}

double student_cdf(double t, double df) {
    must_be_positive(df);
    must(!std::isnan(t), "no number");
    return bm::cdf(bm::students_t(df), t);
}

double student_upper(double t, double df) {
    must_be_positive(df);
    must(!std::isnan(t), "no number");
    return bm::cdf(bm::complement(bm::students_t(df), t));
}

double student_quantile(double p, double df) {
    must_be_inner(p);
    must_be_positive(df);
    return bm::quantile(bm::students_t(df), p);
}

double fisher_upper(double f, double df_numerator, double df_denominator) {
    must_be_positive(df_numerator);
    must_be_positive(df_denominator);
    must(f >= 0, "F is never negative");
    if (std::isinf(f)) return 0;
    return bm::cdf(bm::complement(bm::fisher_f(df_numerator, df_denominator), f));
}

double fisher_quantile(double p, double df_numerator, double df_denominator) {
    must_be_inner(p);
    must_be_positive(df_numerator);
    must_be_positive(df_denominator);
    return bm::quantile(bm::fisher_f(df_numerator, df_denominator), p);
}

double binomial_cdf(std::int64_t k, std::int64_t n, double p) {
    must_be_inner(p);
    must(n >= 0, "a sample has no negative size");
    if (k < 0) return 0;
    if (k >= n) return 1;
    return bm::cdf(bm::binomial(static_cast<double>(n), p), static_cast<double>(k));
}

double hypergeometric_cdf(std::int64_t k, std::int64_t n, std::int64_t defective, std::int64_t lot) {
    must(lot >= 0 && n >= 0 && n <= lot, "a sample is no larger than its lot");
    must(defective >= 0 && defective <= lot, "a lot has no more defective pieces than pieces");
    // The library refuses what cannot come about; here it is simply never or always so.
    if (k < std::max<std::int64_t>(0, n + defective - lot)) return 0;
    if (k >= std::min(n, defective)) return 1;
    using Count = decltype(bm::hypergeometric(0, 0, 0).total());
    const bm::hypergeometric drawn(static_cast<Count>(defective), static_cast<Count>(n), static_cast<Count>(lot));
    return bm::cdf(drawn, static_cast<Count>(k));
}

}  // namespace crimpgate::statistics

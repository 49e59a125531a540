#include "reports/statistics/chart_constants.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <numbers>
#include <stdexcept>

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/quadrature/trapezoidal.hpp>
#include <boost/math/special_functions/gamma.hpp>

namespace crimpgate::statistics {
namespace {

// Beyond 9 standard deviations the normal density adds less than a double can show, and so does a range above 18.
constexpr double reach = 9;
constexpr double widest = 2 * reach;
constexpr double tolerance = 1e-13;

double phi(double x) {
    return std::exp(-x * x / 2) / std::sqrt(2 * std::numbers::pi);
}
// The two tails, each without cancellation.
double below(double x) {
    return std::erfc(-x / std::numbers::sqrt2) / 2;
}
double above(double x) {
    return std::erfc(x / std::numbers::sqrt2) / 2;
}

// On a whole line the trapezoidal rule converges exponentially for functions like these (Trefethen and Weideman, SIAM
// Review 56 (2014) 385-458), so a few hundred points give every digit.
template <class F>
double over_the_line(F f) {
    return boost::math::quadrature::trapezoidal(f, -reach, reach, tolerance);
}

double mean_range(int n) {
    return over_the_line([n](double x) { return 1 - std::pow(below(x), n) - std::pow(above(x), n); });
}

double range_exceeds(double w, int n) {
    return 1 - n * over_the_line([w, n](double x) {
                   // From the nearer tail, so that the difference of two values near 1 is never formed.
                   const double inside = x > 0 ? above(x) - above(x + w) : below(x + w) - below(x);
                   return phi(x) * std::pow(inside, n - 1);
               });
}

double mean_squared_range(int n) {
    using boost::math::quadrature::gauss_kronrod;
    const auto weighed = [n](double w) { return 2 * w * range_exceeds(w, n); };
    double sum = 0;
    // In pieces in which one rule is exact enough: bisection would chase the rounding of the inner integral.
    for (double from = 0; from < widest; from += 3)
        sum += gauss_kronrod<double, 31>::integrate(weighed, from, from + 3, 0);
    return sum;
}

ChartConstants computed(int n) {
    ChartConstants c;
    c.n = n;
    c.d2 = mean_range(n);
    c.d3 = std::sqrt(mean_squared_range(n) - c.d2 * c.d2);
    c.c4 = std::sqrt(2.0 / (n - 1)) * boost::math::tgamma_ratio(n / 2.0, (n - 1) / 2.0);

    const double root = std::sqrt(static_cast<double>(n));
    const double spread_of_s = std::sqrt(1 - c.c4 * c.c4);
    c.A = 3 / root;
    c.A2 = 3 / (c.d2 * root);
    c.A3 = 3 / (c.c4 * root);
    c.B3 = std::max(0.0, 1 - 3 * spread_of_s / c.c4);
    c.B4 = 1 + 3 * spread_of_s / c.c4;
    c.B5 = std::max(0.0, c.c4 - 3 * spread_of_s);
    c.B6 = c.c4 + 3 * spread_of_s;
    c.D1 = std::max(0.0, c.d2 - 3 * c.d3);
    c.D2 = c.d2 + 3 * c.d3;
    c.D3 = std::max(0.0, 1 - 3 * c.d3 / c.d2);
    c.D4 = 1 + 3 * c.d3 / c.d2;
    c.E2 = 3 / c.d2;
    c.E3 = 3 / c.c4;
    return c;
}

}  // namespace

const ChartConstants& chart_constants(int n) {
    if (n < 2) throw std::domain_error("a range needs at least two values");
    // A map keeps its entries where they are, so a reference stays good.
    static std::map<int, ChartConstants> known;
    static std::mutex guard;
    const std::lock_guard lock(guard);
    const auto found = known.find(n);
    if (found != known.end()) return found->second;
    return known.emplace(n, computed(n)).first->second;
}

double d2_star(int m, int g) {
    if (g < 1) throw std::domain_error("a mean range needs at least one range");
    const auto& c = chart_constants(m);
    return std::sqrt(c.d2 * c.d2 + c.d3 * c.d3 / g);
}

}  // namespace crimpgate::statistics

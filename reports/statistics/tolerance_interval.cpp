#include "reports/statistics/tolerance_interval.h"

#include <boost/math/distributions/non_central_t.hpp>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

#include "reports/statistics/distributions.h"

namespace crimpgate::statistics {
namespace {

void require(int n, double share, double confidence) {
    if (n < 2 || !(share > 0 && share < 1) || !(confidence > 0 && confidence < 1))
        throw std::domain_error("tolerance factor: sample size, share or confidence out of range");
}

// r such that the normal curve has `share` between z - r and z + r; z >= 0.
double half_width(double z, double share) {
    double low = 0, high = z + 40;
    for (int i = 0; i < 200 && low < high; ++i) {
        const double middle = low + (high - low) / 2;
        if (middle == low || middle == high) break;
        (normal_cdf(z + middle) - normal_cdf(z - middle) < share ? low : high) = middle;
    }
    return low;
}

// Over the mean's error in its own standard deviations, from 0 on; beyond 8.5 lie 2e-17. The integrand is even, smooth
// and gone at the end: there the plain trapezoidal rule is accurate to all digits with few steps.
class Coverage {
  public:
    Coverage(int n, double share) : df_(n - 1) {
        constexpr double step = reach / steps;
        for (int i = 0; i <= steps; ++i) {
            const double u = i * step;
            const double density = std::numbers::inv_sqrtpi / std::numbers::sqrt2 * std::exp(-u * u / 2);
            weights_.push_back((i == 0 ? 1 : 2) * step * density);
            half_widths_.push_back(half_width(u / std::sqrt(static_cast<double>(n)), share));
        }
    }
    // The confidence that mean +- k s covers the share.
    double confidence(double k) const {
        double sum = 0;
        for (std::size_t i = 0; i < weights_.size(); ++i) {
            const double ratio = half_widths_[i] / k;
            sum += weights_[i] * (1 - chi_squared_cdf(df_ * ratio * ratio, df_));
        }
        return sum;
    }

  private:
    static constexpr int steps = 68;
    static constexpr double reach = 8.5;
    double df_;
    std::vector<double> weights_, half_widths_;
};

}  // namespace

double tolerance_factor_howe(int n, double share, double confidence) {
    require(n, share, confidence);
    const double df = n - 1;
    return normal_quantile((1 + share) / 2) * std::sqrt(df * (1 + 1.0 / n) / chi_squared_quantile(1 - confidence, df));
}

double tolerance_factor_exact(int n, double share, double confidence) {
    require(n, share, confidence);
    const Coverage coverage(n, share);
    double low = 0, high = 1;
    while (coverage.confidence(high) < confidence)
        high *= 2;
    while (high - low > 1e-11 * high) {
        const double middle = low + (high - low) / 2;
        (coverage.confidence(middle) < confidence ? low : high) = middle;
    }
    return low + (high - low) / 2;
}

double tolerance_factor_one_sided(int n, double share, double confidence) {
    require(n, share, confidence);
    const double root = std::sqrt(static_cast<double>(n));
    const boost::math::non_central_t distribution(n - 1.0, normal_quantile(share) * root);
    return boost::math::quantile(distribution, confidence) / root;
}

}  // namespace crimpgate::statistics

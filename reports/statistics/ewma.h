// The exponentially weighted moving average: a chart for small lasting shifts, and the estimate of where the process
// stands now, from which the bench reckons a setting correction.
//
// z_t = lambda x_t + (1 - lambda) z_t-1, z_0 = centre; its variance is sigma^2 lambda / (2 - lambda) (1 - (1 -
// lambda)^2t), the steady limits leave the last factor out. Sources: NIST/SEMATECH e-Handbook 6.3.2.4; S. W. Roberts,
// Technometrics 1 (1959) 239-250; the usual pairs of lambda and width: J. M. Lucas and M. S. Saccucci, Technometrics 32
// (1990) 1-12. Unit: that of the values. Precondition: 0 < lambda <= 1, width > 0, sigma > 0, finite values, else
// std::domain_error.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "reports/statistics/control_chart.h"

namespace crimpgate::statistics {

struct EwmaOptions {
    double lambda = 0.2;
    double width = 2.962;  // limits in standard deviations of z: a false alarm every 500 points with lambda 0.2
    bool steady = false;   // the limits of a long chart from the first point on, instead of the exact ones
};

struct EwmaChart {
    std::vector<double> levels;        // z after each point
    std::vector<Limits> limits;        // of each; sigma is that of z
    Limits steady;                     // what they come to
    std::vector<std::size_t> signals;  // points whose level lies beyond its limits; on a limit is not beyond
};

// `centre` and `sigma` are those of the points. At each index in `restarts` the average begins anew at the centre.
EwmaChart ewma(std::span<const double> points, double centre, double sigma, const EwmaOptions& options,
               std::span<const std::size_t> restarts = {});

// The level after the last point: the centre where there is none. What is to be corrected is the aim minus this.
double ewma_level(std::span<const double> points, double centre, double lambda);

}  // namespace crimpgate::statistics

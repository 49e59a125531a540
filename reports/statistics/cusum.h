// The two-sided tabular cumulative sum: a chart for small lasting shifts that also tells when the shift began.
//
// above_t = max(0, above_t-1 + x_t - target - K), below_t = max(0, below_t-1 + target - K - x_t), K = k sigma; a signal
// where one is greater than H = h sigma (equal is not). Fast start: both begin at H / 2 instead of 0, so that a process
// that was set up wrong shows at once. Sources: E. S. Page, Biometrika 41 (1954) 100-115; NIST/SEMATECH e-Handbook
// 6.3.2.3; J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199-205 (fast start).
// Unit: that of the values. Precondition: sigma > 0, k >= 0, h > 0, finite values, else std::domain_error.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "reports/statistics/run_rules.h"

namespace crimpgate::statistics {

struct CusumOptions {
    double k = 0.5;   // half the shift to be found, in sigma
    double h = 4.77;  // in sigma: with k 0.5 as many false alarms as three sigma limits alone
    bool fast_start = false;
};

struct CusumPoint {
    double above = 0, below = 0;
    // For how many points running each has been greater than nought: where the shift began, by this chart.
    int run_above = 0, run_below = 0;
    double sum = 0;  // of x - target since the start, the plain cumulative sum
};

struct CusumSignal {
    std::size_t last = 0;
    Side side = Side::above;
    std::size_t began = 0;  // the first point of the run of sums that led here
    double mean = 0;        // what the process seems to run at since: target +- (K + (sum - headstart) / run)
};

struct CusumChart {
    std::vector<CusumPoint> points;
    double limit = 0;  // H
    std::vector<CusumSignal> signals;
};

// `target` and `sigma` are those of the points. At each index in `restarts` the sums begin anew.
CusumChart cusum(std::span<const double> points, double target, double sigma, const CusumOptions& options,
                 std::span<const std::size_t> restarts = {});

}  // namespace crimpgate::statistics

#include "reports/statistics/cusum.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace crimpgate::statistics {
namespace {

// One of the two sums; `value` is how far the point lies beyond target and reference value on this side.
struct OneSum {
    double sum = 0;
    double headstart = 0;  // what of the sum no point has added
    int run = 0;

    void begin(double head) { *this = {head, head, 0}; }
    void add(double value) {
        sum = std::max(0.0, sum + value);
        run = sum > 0 ? run + 1 : 0;
        if (run == 0) headstart = 0;
    }
    double excess() const { return (sum - headstart) / run; }
};

}  // namespace

CusumChart cusum(std::span<const double> points, double target, double sigma, const CusumOptions& options,
                 std::span<const std::size_t> restarts) {
    if (!(sigma > 0) || !(options.k >= 0) || !(options.h > 0) || !std::isfinite(target))
        throw std::domain_error("cusum: sigma, k or h");
    const double reference = options.k * sigma;
    const std::vector<bool> begins = begins_anew(points.size(), restarts);

    CusumChart chart;
    chart.limit = options.h * sigma;
    OneSum above, below;
    double sum = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (!std::isfinite(points[i])) throw std::domain_error("cusum: a value that is not finite");
        if (begins[i]) {
            const double head = options.fast_start ? chart.limit / 2 : 0;
            above.begin(head);
            below.begin(head);
            sum = 0;
        }
        const double off = points[i] - target;
        above.add(off - reference);
        below.add(-off - reference);
        sum += off;
        chart.points.push_back({above.sum, below.sum, above.run, below.run, sum});
        const auto began = [&](int run) { return i + 1 - static_cast<std::size_t>(run); };
        if (above.sum > chart.limit)
            chart.signals.push_back({i, Side::above, began(above.run), target + reference + above.excess()});
        if (below.sum > chart.limit)
            chart.signals.push_back({i, Side::below, began(below.run), target - reference - below.excess()});
    }
    return chart;
}

}  // namespace crimpgate::statistics

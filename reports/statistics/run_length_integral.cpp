// The run lengths that follow from integral equations: CUSUM and EWMA.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>
#include <vector>

#include "reports/statistics/distributions.h"
#include "reports/statistics/run_length.h"

namespace crimpgate::statistics {
namespace {

double normal_density(double z) {
    return std::exp(-z * z / 2) * std::numbers::inv_sqrtpi / std::numbers::sqrt2;
}

struct Node {
    double at = 0, weight = 0;
};

// Gauss-Legendre on (from, to): the roots by Newton's method from the usual first guess.
std::vector<Node> gauss_nodes(std::size_t count, double from, double to) {
    std::vector<Node> nodes;
    const auto n = static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i) {
        double x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
        double slope = 0;
        for (int turn = 0; turn < 50; ++turn) {
            double before = 1, now = x;  // Legendre polynomials of degree j - 1, j
            for (std::size_t j = 1; j < count; ++j) {
                const auto d = static_cast<double>(j);
                const double next = ((2 * d + 1) * x * now - d * before) / (d + 1);
                before = now;
                now = next;
            }
            slope = n * (x * now - before) / (x * x - 1);
            const double move = now / slope;
            x -= move;
            if (std::abs(move) < 1e-15) break;
        }
        nodes.push_back({(from + to) / 2 + (to - from) / 2 * x, (to - from) / ((1 - x * x) * slope * slope)});
    }
    return nodes;
}

// Elimination with pivots; the last column of each row is its right-hand side.
std::vector<double> solve(std::vector<std::vector<double>> rows) {
    const std::size_t n = rows.size();
    for (std::size_t k = 0; k < n; ++k) {
        std::size_t pivot = k;
        for (std::size_t i = k + 1; i < n; ++i)
            if (std::abs(rows[i][k]) > std::abs(rows[pivot][k])) pivot = i;
        std::swap(rows[k], rows[pivot]);
        for (std::size_t i = k + 1; i < n; ++i) {
            const double share = rows[i][k] / rows[k][k];
            for (std::size_t j = k; j <= n; ++j)
                rows[i][j] -= share * rows[k][j];
        }
    }
    std::vector<double> found(n);
    for (std::size_t k = n; k-- > 0;) {
        double rest = rows[k][n];
        for (std::size_t j = k + 1; j < n; ++j)
            rest -= rows[k][j] * found[j];
        found[k] = rest / rows[k][k];
    }
    return found;
}

// Mean run length of one sum from nought and from a headstart, for the drift that it looks for:
// L(z) = 1 + L(0) Phi(k - z - shift) + integral over 0..h of L(y) phi(y - z + k - shift) dy.
struct OneSided {
    double from_nought = 0, from_head = 0;
};
OneSided one_sided(double k, double h, double head, double shift) {
    const auto nodes = gauss_nodes(32 + static_cast<std::size_t>(8 * h), 0, h);
    const std::size_t n = nodes.size() + 1;  // unknown 0 is L(0)
    const auto weight = [&](double z, std::size_t j) {
        if (j == 0) return normal_cdf(k - z - shift);
        return nodes[j - 1].weight * normal_density(nodes[j - 1].at - z + k - shift);
    };
    std::vector<std::vector<double>> rows(n, std::vector<double>(n + 1));
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j)
            rows[i][j] = (i == j ? 1.0 : 0.0) - weight(i == 0 ? 0 : nodes[i - 1].at, j);
        rows[i][n] = 1;
    }
    const auto length = solve(std::move(rows));
    double from_head = 1;
    for (std::size_t j = 0; j < n; ++j)
        from_head += weight(head, j) * length[j];
    return {length[0], from_head};
}

}  // namespace

double cusum_average_run_length(const CusumOptions& options, double shift_sigma) {
    if (!(options.k >= 0) || !(options.h > 0) || !std::isfinite(shift_sigma))
        throw std::domain_error("run length: k, h or shift");
    const double head = options.fast_start ? options.h / 2 : 0;
    const OneSided up = one_sided(options.k, options.h, head, shift_sigma);
    const OneSided down = one_sided(options.k, options.h, head, -shift_sigma);
    // When one sum signals the other is nought and begins afresh (both together shrink by 2k while neither is), so the
    // two mean lengths follow from that of the first of both.
    return (up.from_head * down.from_nought + down.from_head * up.from_nought - up.from_nought * down.from_nought) /
           (up.from_nought + down.from_nought);
}

double ewma_average_run_length(double lambda, double width, double shift_sigma) {
    if (!(lambda > 0 && lambda <= 1) || !(width > 0) || !std::isfinite(shift_sigma))
        throw std::domain_error("run length: lambda, width or shift");
    // L(z) = 1 + 1 / lambda integral over -H..H of L(y) phi((y - (1 - lambda) z) / lambda - shift) dy.
    const double half = width * std::sqrt(lambda / (2 - lambda));
    const auto nodes = gauss_nodes(32 + static_cast<std::size_t>(12 * half / lambda), -half, half);
    const std::size_t n = nodes.size();
    const auto weight = [&](double z, const Node& node) {
        return node.weight / lambda * normal_density((node.at - (1 - lambda) * z) / lambda - shift_sigma);
    };
    std::vector<std::vector<double>> rows(n, std::vector<double>(n + 1));
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j)
            rows[i][j] = (i == j ? 1.0 : 0.0) - weight(nodes[i].at, nodes[j]);
        rows[i][n] = 1;
    }
    const auto length = solve(std::move(rows));
    double from_centre = 1;
    for (std::size_t j = 0; j < n; ++j)
        from_centre += weight(0, nodes[j]) * length[j];
    return from_centre;
}

}  // namespace crimpgate::statistics

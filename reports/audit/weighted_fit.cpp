#include "reports/audit/weighted_fit.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "reports/statistics/distributions.h"

namespace crimpgate::audit {

namespace {

constexpr double explained = 1e-9;  // of its square, what is left of a candidate that others explain

double dot(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0;
    for (std::size_t i = 0; i < a.size(); ++i)
        sum += a[i] * b[i];
    return sum;
}

}  // namespace

WeightedFit::WeightedFit(std::span<const double> weights, bool intercept, double least_sd)
    : least_variance_(least_sd * least_sd) {
    root_weight_.reserve(weights.size());
    for (const double weight : weights) {
        root_weight_.push_back(std::sqrt(weight));
        if (weight > 0) ++observations_;
    }
    if (intercept) add(root_weight_);
}

void WeightedFit::add(std::vector<double> column) {
    const double before = dot(column, column);
    // Twice, since once leaves what rounding brought in.
    for (int round = 0; round < 2; ++round)
        for (const auto& q : basis_) {
            const double share = dot(q, column);
            for (std::size_t i = 0; i < column.size(); ++i)
                column[i] -= share * q[i];
        }
    const double left = dot(column, column);
    if (left <= explained * before || before == 0) return;
    const double length = std::sqrt(left);
    for (double& value : column)
        value /= length;
    basis_.push_back(std::move(column));
}

void WeightedFit::known(const Sparse& effect) {
    std::vector<double> column(root_weight_.size(), 0.0);
    for (const auto& [i, value] : effect)
        column[i] += value * root_weight_[i];
    add(std::move(column));
}

void WeightedFit::response(std::span<const double> values) {
    residual_.assign(values.begin(), values.end());
    for (std::size_t i = 0; i < residual_.size(); ++i)
        residual_[i] *= root_weight_[i];
    for (int round = 0; round < 2; ++round)
        for (const auto& q : basis_) {
            const double share = dot(q, residual_);
            for (std::size_t i = 0; i < residual_.size(); ++i)
                residual_[i] -= share * q[i];
        }
    residual_square_ = dot(residual_, residual_);
}

std::optional<Tested> WeightedFit::test(const Sparse& candidate) const {
    const double df = observations_ - static_cast<double>(basis_.size()) - 1;
    if (df < 1) return std::nullopt;
    double square = 0, along = 0;
    for (const auto& [i, value] : candidate) {
        const double v = value * root_weight_[i];
        square += v * v;
        along += v * residual_[i];
    }
    double left = square;
    for (const auto& q : basis_) {
        double share = 0;
        for (const auto& [i, value] : candidate)
            share += value * root_weight_[i] * q[i];
        left -= share * share;
    }
    if (left <= explained * square || square == 0) return std::nullopt;
    Tested out;
    out.coefficient = along / left;
    const double variance = std::max({(residual_square_ - along * along / left) / df, least_variance_, 0.0});
    if (variance == 0) {
        if (along == 0) return out;
        out.t = std::copysign(std::numeric_limits<double>::infinity(), along);
        out.p = 0;
        return out;
    }
    out.t = along / std::sqrt(left * variance);
    out.p = 2 * statistics::student_upper(std::abs(out.t), df);
    return out;
}

}  // namespace crimpgate::audit

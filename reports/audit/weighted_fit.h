// Least squares with weights, for many sparse candidates against the same few known effects.
//
// A candidate is tested by its part that the known effects do not explain (Frisch, Waugh, Lovell): its coefficient, and
// t with the residual variance that is left once it is in, so that a level does not hide behind its own deviation
// (externally studentized). Units: coefficients in those of the response by those of the candidate.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <utility>
#include <vector>

namespace crimpgate::audit {

// Observation and value; what is not named is nought.
using Sparse = std::vector<std::pair<std::size_t, double>>;

struct Tested {
    double coefficient = 0;
    double t = 0;
    double p = 1;  // two-sided
};

class WeightedFit {
  public:
    // Weights are reciprocal variances up to a factor. least_sd: the residual sd at weight 1 is taken as no less (a
    // gauge's step hides what is smaller). An intercept is among the known effects unless told otherwise.
    explicit WeightedFit(std::span<const double> weights, bool intercept = true, double least_sd = 0);

    void known(const Sparse& effect);  // one that is explained by others already adds nothing
    void response(std::span<const double> values);
    // Nothing when the known effects explain the candidate, or no freedom is left.
    std::optional<Tested> test(const Sparse& candidate) const;

  private:
    void add(std::vector<double> column);

    std::vector<double> root_weight_;
    double observations_ = 0;  // that weigh anything
    std::vector<std::vector<double>> basis_;
    std::vector<double> residual_;
    double residual_square_ = 0;
    double least_variance_ = 0;
};

}  // namespace crimpgate::audit

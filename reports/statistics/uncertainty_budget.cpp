#include "reports/statistics/uncertainty_budget.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <stdexcept>
#include <utility>

#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"

namespace crimpgate::statistics {
namespace {

BudgetComponent component_of(std::string code, InputShape shape, double value, double divisor, double sensitivity,
                             double df) {
    if (!(value >= 0) || !std::isfinite(value)) throw std::domain_error(code + ": an uncertainty is 0 or more");
    if (!(divisor > 0) || !std::isfinite(sensitivity)) throw std::domain_error(code + ": no divisor or sensitivity");
    if (!(df >= 1)) throw std::domain_error(code + ": at least one degree of freedom");
    return {std::move(code), shape, value, divisor, sensitivity, df};
}

const BudgetComponent& named(const std::vector<BudgetComponent>& components, const std::string& code) {
    const auto at = std::ranges::find(components, code, &BudgetComponent::code);
    if (at == components.end()) throw std::logic_error("a second-order term names no component: " + code);
    return *at;
}

double check_probability(double p) {
    if (!(p > 0 && p < 1)) throw std::domain_error("a coverage probability lies between 0 and 1");
    return p;
}

}  // namespace

BudgetComponent standard_component(std::string code, double u, double sensitivity, double df) {
    return component_of(std::move(code), InputShape::normal, u, 1, sensitivity, df);
}
BudgetComponent expanded_component(std::string code, double expanded, double k, double sensitivity, double df) {
    return component_of(std::move(code), InputShape::normal, expanded, k, sensitivity, df);
}
BudgetComponent rectangular_component(std::string code, double half_width, double sensitivity, double df) {
    return component_of(std::move(code), InputShape::rectangular, half_width, std::numbers::sqrt3, sensitivity, df);
}
BudgetComponent triangular_component(std::string code, double half_width, double sensitivity, double df) {
    return component_of(std::move(code), InputShape::triangular, half_width, std::sqrt(6.0), sensitivity, df);
}
BudgetComponent u_shaped_component(std::string code, double half_width, double sensitivity, double df) {
    return component_of(std::move(code), InputShape::u_shaped, half_width, std::numbers::sqrt2, sensitivity, df);
}
BudgetComponent mean_component(std::string code, double sd, std::size_t n, double df, double sensitivity) {
    return component_of(std::move(code), InputShape::normal, sd, std::sqrt(static_cast<double>(n)), sensitivity, df);
}
BudgetComponent t_interval_component(std::string code, double half_width, double probability, double df,
                                     double sensitivity) {
    if (!(df >= 1)) throw std::domain_error(code + ": at least one degree of freedom");
    const double p = (1 + check_probability(probability)) / 2;
    const double t = std::isinf(df) ? normal_quantile(p) : student_quantile(p, df);
    return component_of(std::move(code), InputShape::t_interval, half_width, t, sensitivity, df);
}

Budget combine(const std::vector<BudgetComponent>& components, double probability,
               const std::vector<SecondOrderTerm>& second_order) {
    Budget budget;
    budget.probability = check_probability(probability);
    std::vector<double> squares;
    for (const auto& c : components) {
        BudgetLine line;
        line.component = c;
        line.contribution = std::abs(c.sensitivity) * c.u();
        squares.push_back(line.contribution * line.contribution);
        budget.lines.push_back(std::move(line));
    }
    const double first = exact_sum(squares);
    for (const auto& term : second_order) {
        const auto &a = named(components, term.first), &b = named(components, term.second);
        const double whole = std::abs(term.second_derivative) * a.u() * b.u();
        budget.second_order.push_back(&a == &b ? whole / std::numbers::sqrt2 : whole);
        squares.push_back(budget.second_order.back() * budget.second_order.back());
    }
    const double all = exact_sum(squares);
    budget.first_order_u = std::sqrt(first);
    budget.u = std::sqrt(all);
    if (all > 0)
        for (auto& line : budget.lines)
            line.share = line.contribution * line.contribution / all;

    // As shares of the whole, so that no fourth power of nanometres over- or underflows.
    double denominator = 0;
    for (std::size_t i = 0; i < components.size(); ++i)
        if (first > 0 && !std::isinf(components[i].df)) {
            const double share = squares[i] / first;
            denominator += share * share / components[i].df;
        }
    if (denominator > 0) {
        // Never below the fewest of its components; rounding must not cut 4 to 3.
        const double df = 1 / denominator;
        budget.effective_df = df;
        budget.whole_df = static_cast<std::int64_t>(std::min(std::floor(df * (1 + 1e-12)), 1e15));
    }
    const double p = (1 + probability) / 2;
    budget.k = budget.whole_df ? student_quantile(p, static_cast<double>(*budget.whole_df)) : normal_quantile(p);
    budget.expanded = budget.k * budget.u;
    return budget;
}

double coverage_trapezoid(double half_width_a, double half_width_b, double probability) {
    check_probability(probability);
    if (!(half_width_a >= 0) || !(half_width_b >= 0) || !(half_width_a + half_width_b > 0))
        throw std::domain_error("a trapezoid needs half-widths");
    const double beta = std::abs(half_width_a - half_width_b) / (half_width_a + half_width_b);
    const double deviation = std::sqrt((1 + beta * beta) / 6);  // of a trapezoid with half-width 1
    if (probability < 2 * beta / (1 + beta)) return probability * (1 + beta) / 2 / deviation;
    return (1 - std::sqrt((1 - probability) * (1 - beta * beta))) / deviation;
}

std::optional<double> trapezoid_factor(const Budget& budget) {
    if (budget.lines.size() < 2) return {};
    std::vector<const BudgetLine*> by_size;
    for (const auto& line : budget.lines)
        by_size.push_back(&line);
    std::ranges::sort(by_size, std::greater<>{}, &BudgetLine::contribution);
    const auto &largest = *by_size[0], &second = *by_size[1];
    if (largest.component.shape != InputShape::rectangular || second.component.shape != InputShape::rectangular)
        return {};
    const double dominant = std::hypot(largest.contribution, second.contribution);
    if (!(dominant > 0)) return {};
    const double rest = std::sqrt(std::max(0.0, budget.u * budget.u - dominant * dominant));
    if (rest > 0.3 * dominant) return {};
    const auto half_width = [](const BudgetLine& line) { return line.contribution * std::numbers::sqrt3; };
    return coverage_trapezoid(half_width(largest), half_width(second), budget.probability);
}

double thermal_growth(double length, double alpha, double kelvins) {
    return length * alpha * kelvins;
}

Result<CaliperBudget> caliper_budget(const CaliperInputs& in, double probability) {
    const std::array<std::pair<const char*, double>, 9> inputs{{{"resolution", in.resolution},
                                                                {"calibration", in.calibration_expanded},
                                                                {"repeatability", in.repeatability_sd},
                                                                {"reproducibility", in.reproducibility_sd},
                                                                {"temperature", in.temperature_half_width},
                                                                {"alpha", in.alpha},
                                                                {"length", in.length},
                                                                {"alpha_half_width", in.alpha_half_width},
                                                                {"from_20_degrees", in.from_20_degrees}}};
    for (const auto& [name, value] : inputs)
        if (!(value >= 0) || !std::isfinite(value)) return refuse(message("uncertainty.bad_input").with("which", name));
    if (!(in.calibration_k > 0) || !std::isfinite(in.calibration_k))
        return refuse(message("uncertainty.bad_input").with("which", "calibration_k"));
    if (!(in.repeatability_df >= 1) || !(in.reproducibility_df >= 1))
        return refuse(message("uncertainty.bad_input").with("which", "df"));

    std::vector<BudgetComponent> parts;
    parts.push_back(rectangular_component(message("uncertainty.resolution").code, in.resolution / 2,
                                          in.zeroed ? std::numbers::sqrt2 : 1));
    parts.push_back(
        expanded_component(message("uncertainty.calibration").code, in.calibration_expanded, in.calibration_k));
    parts.push_back(
        standard_component(message("uncertainty.repeatability").code, in.repeatability_sd, 1, in.repeatability_df));
    parts.push_back(standard_component(message("uncertainty.reproducibility").code, in.reproducibility_sd, 1,
                                       in.reproducibility_df));
    parts.push_back(rectangular_component(message("uncertainty.temperature").code, in.temperature_half_width,
                                          thermal_growth(in.length, in.alpha, 1)));
    if (in.alpha_half_width > 0 && in.from_20_degrees > 0)
        parts.push_back(rectangular_component(message("uncertainty.expansion").code, in.alpha_half_width,
                                              thermal_growth(in.length, 1, in.from_20_degrees)));
    CaliperBudget out;
    out.budget = combine(parts, probability);
    // Also what overflowed: it is no number, and no number is below this bound.
    if (!(out.budget.u < 1e15)) return refuse(message("uncertainty.bad_input").with("which", "sum"));
    if (!(out.budget.u > 0)) return refuse(message("uncertainty.nothing"));
    out.standard_uncertainty_nm = static_cast<std::int64_t>(std::ceil(out.budget.u));
    return out;
}

}  // namespace crimpgate::statistics

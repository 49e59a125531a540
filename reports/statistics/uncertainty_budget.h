// Uncertainty budget after the GUM (JCGM 100:2008): where a gauge's uncertainty comes from, and how large it is.
//
// Combined: u_c^2 = sum (c_i u_i)^2 (5.1.2, inputs independent), with chosen terms of second order
// c_ij^2 u_i^2 u_j^2 (half of that for i = j) added (5.1.2, note). Effective degrees of freedom after
// Welch-Satterthwaite (G.4.1), from the terms of first order, cut to a whole number before Student's t is looked up
// (G.4.1, note 1): k = t((1 + p) / 2, nu), U = k u_c. Components without a count of degrees of freedom have infinitely
// many.
// Unit: the caller's, the same for all contributions; the caliper's budget is in nanometres. Describes, decides no
// pass: a gauge's standard uncertainty reaches the decision rule as whole nanometres, rounded up.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

enum class InputShape { normal, rectangular, triangular, u_shaped, t_interval };
inline constexpr double infinitely_many = std::numeric_limits<double>::infinity();

struct BudgetComponent {
    std::string code;  // what it is; its words are in the catalogue
    InputShape shape = InputShape::normal;
    double value = 0;             // as stated: an expanded or standard uncertainty, or a half-width
    double divisor = 1;           // u = value / divisor
    double sensitivity = 1;       // c
    double df = infinitely_many;  // at least 1
    double u() const { return value / divisor; }
};
// value must be finite and >= 0, df >= 1, and k, n, probability what they say; else std::domain_error.
BudgetComponent standard_component(std::string code, double u, double sensitivity = 1, double df = infinitely_many);
BudgetComponent expanded_component(std::string code, double expanded, double k, double sensitivity = 1,
                                   double df = infinitely_many);
BudgetComponent rectangular_component(std::string code, double half_width, double sensitivity = 1,
                                      double df = infinitely_many);  // / sqrt 3
BudgetComponent triangular_component(std::string code, double half_width, double sensitivity = 1,
                                     double df = infinitely_many);  // / sqrt 6
BudgetComponent u_shaped_component(std::string code, double half_width, double sensitivity = 1,
                                   double df = infinitely_many);  // arcsine, / sqrt 2
// The mean of n readings whose standard deviation came from df degrees of freedom.
BudgetComponent mean_component(std::string code, double sd, std::size_t n, double df, double sensitivity = 1);
// Half of a confidence interval that was made with Student's t.
BudgetComponent t_interval_component(std::string code, double half_width, double probability, double df,
                                     double sensitivity = 1);

struct SecondOrderTerm {
    std::string first, second;     // codes of two components, which may be the same
    double second_derivative = 0;  // d2f / dx_i dx_j
};

struct BudgetLine {
    BudgetComponent component;
    double contribution = 0;  // |c| u
    double share = 0;         // of u_c^2, 0 to 1
};
struct Budget {
    std::vector<BudgetLine> lines;         // in the order given
    std::vector<double> second_order;      // contributions, in the order given
    double first_order_u = 0;              // without the terms of second order
    double u = 0;                          // u_c
    std::optional<double> effective_df;    // nothing when infinite
    std::optional<std::int64_t> whole_df;  // that, cut off; what k was looked up with
    double k = 0;
    double expanded = 0;  // U = k u_c
    double probability = 0;
};
// probability in (0, 1). A second-order term that names no component is a bug: std::logic_error.
Budget combine(const std::vector<BudgetComponent>& components, double probability = 0.95,
               const std::vector<SecondOrderTerm>& second_order = {});

// Coverage factor of the sum of two rectangular inputs with those half-widths (in the result's unit), which is a
// trapezoid with edge beta = |a - b| / (a + b) (EA-4/02, examples S9 and S10):
//   k = (1 - sqrt((1 - p)(1 - beta^2))) / sqrt((1 + beta^2) / 6), and inside the flat top, p < 2 beta / (1 + beta),
//   k = p (1 + beta) / 2 / sqrt((1 + beta^2) / 6).
// One of them may be 0: then it is the rectangle's.
double coverage_trapezoid(double half_width_a, double half_width_b, double probability = 0.95);
// That factor when the two largest contributions are rectangular and all others together are at most 0.3 of those two
// together (the bound of EA-4/02 S9, from memory); otherwise nothing, and k of the budget holds.
std::optional<double> trapezoid_factor(const Budget& budget);

// A caliper on a steel shell. Lengths in nanometres, temperatures in kelvins. A zeroed reading holds the resolution
// twice, at zero and at the reading (x sqrt 2). The scatter of real readings holds part of the resolution already; both
// stand in the sum all the same, so the result errs to the safe side.
struct CaliperInputs {
    double resolution = 0;  // d: u = d / sqrt 12
    bool zeroed = true;
    double calibration_expanded = 0;  // U and k of its calibration certificate
    double calibration_k = 2;
    double repeatability_sd = 0;  // EV
    double repeatability_df = infinitely_many;
    double reproducibility_sd = 0;  // AV
    double reproducibility_df = infinitely_many;
    double temperature_half_width = 0;  // part against caliper
    double alpha = 11.5e-6;             // per K; steel as in GUM H.1 and EA-4/02
    double length = 0;
    double alpha_half_width = 0;  // how far apart the two materials' alpha may be
    double from_20_degrees = 0;   // how far the room may be from 20 degrees Celsius (ISO 1)
};
struct CaliperBudget {
    Budget budget;  // codes "uncertainty.resolution", ".calibration", ".repeatability", ".reproducibility",
                    // ".temperature", ".expansion" (the last only where it is asked for)
    std::int64_t standard_uncertainty_nm = 0;  // u_c rounded up
};
// Refusals: "uncertainty.bad_input" (which), "uncertainty.nothing" (all zero: no gauge is without uncertainty).
Result<CaliperBudget> caliper_budget(const CaliperInputs& inputs, double probability = 0.95);

// L alpha dT: how much longer a part is when that much warmer. In the unit of the length.
double thermal_growth(double length, double alpha, double kelvins);

}  // namespace crimpgate::statistics

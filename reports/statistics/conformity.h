// Conformity and its risks, after JCGM 106:2012: how sure is "inside the limits", and what does a guard band cost?
//
// Posterior N(y, u^2): p_c = Phi((T_U - y) / u) - Phi((T_L - y) / u) (clause 7). Guard band w = r U; acceptance limits
// lie w inside the tolerance limits, outside for w < 0, which is guarded rejection (clause 8.3). C_m = (T_U - T_L) /
// (4 u) (7.6). TUR = T / U with T half the tolerance (vocabulary of ILAC-G8:09/2019). Global risks with the process's
// density g0 and P(A | x) = Phi((A_U - x) / u) - Phi((A_L - x) / u) (clause 9.5):
//   consumer's R_C = integral of g0 P(A) outside T, producer's R_P = integral of g0 (1 - P(A)) inside T.
// Unit: the caller's, the same for all. Describes, decides no pass: that is specs/decision_rule.h, in whole nanometres.
// Preconditions: u >= 0 (> 0 for a ratio), an upper limit above its lower one; anything else is std::domain_error.
#pragma once

#include <functional>
#include <optional>

namespace crimpgate::statistics {

// A side without a limit is open.
struct ToleranceLimits {
    std::optional<double> lower, upper;
    bool contains(double x) const { return !(lower && x < *lower) && !(upper && x > *upper); }
};

double conformance_probability(double value, double u, const ToleranceLimits& tolerance);

double guard_band(double r, double expanded_uncertainty);
// Nothing when the guards leave nothing to accept in.
std::optional<ToleranceLimits> acceptance_limits(const ToleranceLimits& tolerance, double guard);
// Probability that an item lies outside when it was accepted with its value on the acceptance limit, one limit counting
// and U = 2 u: Phi(-2 r).
double false_accept_at_guard(double r);

double measurement_capability(double lower, double upper, double u);                     // C_m
double test_uncertainty_ratio(double lower, double upper, double expanded_uncertainty);  // TUR

// Of one item: accepted, that it does not conform; rejected, that it does.
struct SpecificRisk {
    bool accepted = false;
    double risk = 0;
};
SpecificRisk specific_risk(double value, double u, const ToleranceLimits& tolerance, const ToleranceLimits& acceptance);

struct GlobalRisks {
    double consumer = 0;    // accepted and does not conform
    double producer = 0;    // rejected and conforms
    double conforming = 0;  // share of the process inside the tolerance
};

// What is known of the process before the measurement. `density` need not be smooth at the ends of its support.
struct ProcessPrior {
    std::function<double(double)> density;
    double lowest = 0, highest = 0;  // outside it is as good as 0
    double scale = 0;                // a length over which it changes little more than a normal over its sd
};
ProcessPrior normal_prior(double mean, double sd);

GlobalRisks global_risks(const ProcessPrior& prior, double u, const ToleranceLimits& tolerance,
                         const ToleranceLimits& acceptance);
// The guard band with which the consumer's risk is that much. Nothing when simple acceptance is below it already or
// when no guard reaches it.
std::optional<double> guard_for_consumer_risk(const ProcessPrior& prior, double u, const ToleranceLimits& tolerance,
                                              double consumer_risk);

}  // namespace crimpgate::statistics

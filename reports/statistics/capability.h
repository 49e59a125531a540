// How well a process keeps inside its band: Cp, Cpk, Pp, Ppk, Cpm, and the share to be expected outside.
//
// With m the mean, L and U the limits, T the target:
//   spread      (U - L) / 6 sigma                    "Cp" on a sigma within, "Pp" on the sigma overall
//   upper       (U - m) / 3 sigma
//   lower       (m - L) / 3 sigma
//   nearer      the lesser of upper and lower        "Cpk" / "Ppk"; of a one-sided band the one that there is
//   target      (U - L) / 6 tau                      "Cpm", tau^2 = s^2 + (m - T)^2 with the sigma overall
//   target_side min(U - T, T - L) / 3 tau            "Cpm*" (Chan, Cheng, Spiring, Journal of Quality Technology 20
//                                                    (1988) 162-175), for a target that is not in the middle
// (NIST/SEMATECH e-Handbook 6.1.6; ISO 22514-2.) Names have changed over time: an SPC manual of 2026 keeps P and C for
// the sigma overall (C once stability is shown) and calls the indices on a sigma within Cw and Cwk. So each index says
// which sigma it used.
//
// Where a band is one-sided by nature, "Cpk" may be larger than a "Cp" reckoned from both limits.
// Unit: that of the values; crimpgate hands in whole nanometres. Floating point judges nothing here.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "reports/statistics/capability_interval.h"
#include "reports/statistics/process_spread.h"
#include "reports/statistics/warned.h"

namespace crimpgate::statistics {

// At least one limit, lower < upper; anything else is a bug of the caller and throws std::domain_error.
struct CapabilityBand {
    std::optional<double> lower, upper;
    std::optional<double> target;  // else the middle of a two-sided band; a one-sided one has none
};

enum class IndexKind { spread, nearer, upper, lower, target, target_side };

struct CapabilityIndex {
    IndexKind kind = IndexKind::nearer;
    SpreadFrom from = SpreadFrom::overall;
    double value = 0;
    Interval interval;       // at the confidence asked for
    double lower_bound = 0;  // one-sided, at the same confidence
};
// "Cp", "Cpk", "Cpu", "Cpl" for a sigma within, "Pp", ... for the sigma overall, "Cpm", "Cpm*". Symbols, not words.
std::string_view symbol(IndexKind kind, SpreadFrom from);

// Shares from 0 to 1; times a million they are parts per million.
struct ExpectedOutside {
    double below = 0, above = 0, total = 0;
    SpreadFrom from = SpreadFrom::overall;
};
// From normal theory: Phi((L - m) / sigma) and Phi((m - U) / sigma).
ExpectedOutside expected_outside(const CapabilityBand& band, double mean, const Spread& spread);

struct ObservedOutside {
    std::size_t below = 0, above = 0, of = 0;  // a value on the limit is inside
    double share() const { return of == 0 ? 0 : static_cast<double>(below + above) / static_cast<double>(of); }
};

// What is known about the values beside the values.
struct CapabilityBasis {
    bool stable = false;                // no signal on the control charts of the same values
    std::optional<double> normality_p;  // Anderson-Darling's p value, where the test was done
    double confidence = 0.95;
};

// Below this many values there is no index, only the reason.
inline constexpr std::size_t least_values_for_an_index =
    8;                                                  // our own choice: at 8 the interval of Cp is 0.49..1.51 of it
inline constexpr std::size_t few_values = 50;           // NIST e-Handbook 6.1.6: about 50 are "large enough"
inline constexpr std::size_t recommended_values = 125;  // 25 subgroups of 5, the SPC manual of 2026
inline constexpr std::size_t recommended_subgroups = 25;

// The indices on one sigma. `spread` and the target ones are absent for a one-sided band, and so on, with the reason.
struct IndexSet {
    Warned<CapabilityIndex> spread, nearer, upper, lower;
    Warned<ExpectedOutside> expected;
};
struct Capability {
    std::size_t values = 0, subgroups = 0;
    double mean = 0;
    std::optional<Spread> within_spread, overall_spread;
    IndexSet within, overall;
    Warned<CapabilityIndex> target, target_side;
    ObservedOutside observed;
};

// Subgroups in time order. The sigma within is taken from `from` (mean_range, mean_s, pooled); where every subgroup has
// one value, from the moving ranges. Values must be finite.
Capability capability_of(Subgroups subgroups, SpreadFrom from, const CapabilityBand& band,
                         const CapabilityBasis& basis);

// The same from a summary, where the values themselves are not at hand.
struct ProcessSummary {
    std::size_t values = 0, subgroups = 0;
    double mean = 0;
    Spread spread;
};
IndexSet indices_of(const ProcessSummary& summary, const CapabilityBand& band, const CapabilityBasis& basis);
// On the sigma overall; `kind` is target or target_side.
Warned<CapabilityIndex> target_index(IndexKind kind, const ProcessSummary& summary, const CapabilityBand& band,
                                     const CapabilityBasis& basis);

// What speaks against indices from so many values, in a fixed order: unstable, few values, not normal.
std::vector<Message> capability_warnings(std::size_t values, std::size_t subgroups, const CapabilityBasis& basis);

// How far the mean lies from the middle in half bands: |(U + L) / 2 - m| / ((U - L) / 2); Cpk = (1 - k) Cp inside the
// band. Nothing for a one-sided band.
std::optional<double> off_centre(const CapabilityBand& band, double mean);

// Yield between these for a given Cpk: 2 Phi(3 Cpk) - 1 <= yield <= Phi(3 Cpk).
Interval yield_bounds(double nearer_index);

}  // namespace crimpgate::statistics

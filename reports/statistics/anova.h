// Analysis of variance: how much of a spread comes from where.
//
// Sources: the one-way table as in NIST/SEMATECH e-Handbook 7.4.3; the crossed two-way table with replicates as
// in 7.4.3.7 and in the usual gauge study (part x appraiser). Every sum of squares is taken from values shifted by the
// grand mean, so a large offset costs no digits (checked against NIST StRD, analysis of variance). Units: sums of
// squares and mean squares in the square of the values' unit, F and p without one.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

// One source of spread.
struct Source {
    double ss = 0;
    int df = 0;
    double ms() const { return df > 0 ? ss / df : 0; }
};

// What a source stands out against. Nothing to compare with (an error without any spread): no F.
struct FTest {
    double f = 0;
    double p = 0;  // chance of an F this large or larger when the source has no effect
};
std::optional<FTest> f_test(const Source& source, const Source& error);

struct OneWay {
    std::size_t groups = 0;
    std::size_t values = 0;
    double grand_mean = 0;
    Source between, within;
    std::optional<FTest> test;
    std::optional<double> r_squared;  // nothing when all values are equal
    double residual_sd = 0;           // root of the mean square within
};
// Groups may differ in size. Refused: fewer than two groups (statistics.too_few_groups), an empty one
// (statistics.empty_group, its number from 1), only single values (statistics.no_repeats).
Result<OneWay> one_way(std::span<const std::vector<double>> groups);

struct TwoWay {
    std::size_t levels_a = 0, levels_b = 0, replicates = 0;
    double grand_mean = 0;
    std::vector<double> means_a, means_b;
    Source a, b, interaction, error, total;
    // Both factors drawn from many (a gauge study's parts and appraisers): a and b against the interaction.
    // Both factors the very ones of interest: all against the error. The interaction is against the error either way.
    std::optional<FTest> interaction_test() const { return f_test(interaction, error); }
    std::optional<FTest> a_test_random() const { return f_test(a, interaction); }
    std::optional<FTest> b_test_random() const { return f_test(b, interaction); }
    std::optional<FTest> a_test_fixed() const { return f_test(a, error); }
    std::optional<FTest> b_test_fixed() const { return f_test(b, error); }
    // Interaction and error in one, for a table in which the interaction does not stand out.
    Source pooled_error() const { return {interaction.ss + error.ss, interaction.df + error.df}; }
};
// cells[a][b] holds the replicates, in a gauge study of part a by appraiser b (the sentences say so). Refused: fewer
// than two levels of a factor (statistics.too_few_levels), a cell that is missing or has not as many values as the
// first (statistics.cell_incomplete, the levels' numbers from 1), fewer than two replicates (statistics.no_replicates).
Result<TwoWay> two_way(const std::vector<std::vector<std::vector<double>>>& cells);

}  // namespace crimpgate::statistics

// Run rules: patterns of points on a control chart that chance alone seldom makes.
//
// Sources: L. S. Nelson, Journal of Quality Technology 16 (1984) 237-239, eight tests; the zone rules of the
// statistical quality control handbook of 1956 (beyond three sigma, two of three, four of five, eight on one side). The
// sources leave cases open; here:
// - a point on the centre line is on neither side and breaks a run;
// - a point exactly on a limit or zone line is not beyond it; one exactly on a one-sigma line is not within it either;
// - equal neighbours break a steady move and an alternation;
// - in "two of three" and "four of five" all counted points lie on the same side, and the last one is among them;
// - no pattern reaches back over a restart of the chart.
//
// A pattern that goes on signals at every further point. "Beyond three sigma" looks at the chart's limits, the others
// at its centre and sigma. What a signal usually means at a crimper is told with the words, not here. Sigma <= 0, a
// restart after the points' end or a value that is not finite is a bug: std::domain_error.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "reports/statistics/control_chart.h"

namespace crimpgate::statistics {

enum class RunRule : std::uint8_t {
    beyond_three_sigma,
    nine_on_one_side,
    six_steadily_moving,
    fourteen_alternating,
    two_of_three_beyond_two_sigma,
    four_of_five_beyond_one_sigma,
    fifteen_within_one_sigma,
    eight_beyond_one_sigma,
    eight_on_one_side,
};
inline constexpr std::array all_run_rules{
    RunRule::beyond_three_sigma,
    RunRule::nine_on_one_side,
    RunRule::six_steadily_moving,
    RunRule::fourteen_alternating,
    RunRule::two_of_three_beyond_two_sigma,
    RunRule::four_of_five_beyond_one_sigma,
    RunRule::fifteen_within_one_sigma,
    RunRule::eight_beyond_one_sigma,
    RunRule::eight_on_one_side,
};
// For configuration, entries and files; the same as the enumerator's name, and never changed.
std::string_view code_of(RunRule rule);
std::optional<RunRule> run_rule_of(std::string_view code);

// The rules that are switched on.
struct RunRules {
    std::uint16_t bits = 0;

    constexpr RunRules() = default;
    constexpr RunRules(std::initializer_list<RunRule> rules) {
        for (const RunRule rule : rules)
            set(rule);
    }
    constexpr bool has(RunRule rule) const { return (bits >> static_cast<unsigned>(rule) & 1U) != 0; }
    constexpr bool empty() const { return bits == 0; }
    constexpr RunRules& set(RunRule rule, bool on = true) {
        const auto bit = static_cast<std::uint16_t>(1U << static_cast<unsigned>(rule));
        bits = static_cast<std::uint16_t>(on ? bits | bit : bits & ~bit);
        return *this;
    }
    constexpr bool operator==(const RunRules&) const = default;
};
RunRules nelson_rules();  // his eight
RunRules zone_rules();    // the handbook's four

// Ranges, s and moving ranges are skewed, and neighbouring moving ranges share a value: only the first four of Nelson's
// tests belong on them (his remark), and of the zone rules the first and the run of eight.
RunRules rules_for_spread(RunRules rules);

// above / below: where the points lie; for a steady move, where they go. neither: both sides take part.
enum class Side { neither, above, below };

struct Signal {
    RunRule rule = RunRule::beyond_three_sigma;
    Side side = Side::neither;
    std::size_t last = 0;             // the point at which it was seen
    std::vector<std::size_t> points;  // those that make the pattern, in order; `last` is the last of them
    bool operator==(const Signal&) const = default;
};

// All signals, by last point and then in the order of the rules. `restarts` are the indexes at which the chart begins
// anew.
std::vector<Signal> signals(std::span<const double> points, const Limits& limits, const RunRules& rules,
                            std::span<const std::size_t> restarts = {});
// With limits of each point's own, as many as there are points (subgroups of differing sizes).
std::vector<Signal> signals(std::span<const double> points, std::span<const Limits> limits, const RunRules& rules,
                            std::span<const std::size_t> restarts = {});
// Only those that end at the last point: what the bench asks after each end. The points are those since the restart; it
// looks at no more than the last fifteen.
std::vector<Signal> signals_at_last(std::span<const double> points, const Limits& limits, const RunRules& rules);
// The same while there are no limits yet: of the rules that are switched on, those that compare points with each other
// alone, which are a steady move and an alternation. The others are not asked.
std::vector<Signal> signals_at_last(std::span<const double> points, const RunRules& rules);

// Both halves of a chart, each point held against the limits of its own size; the spread with rules_for_spread(rules).
// Indexes are those of `points` in both.
struct ChartSignals {
    std::vector<Signal> location, spread;
};
ChartSignals signals_of(std::span<const ChartPoint> points, const ChartLimits& limits, const RunRules& rules,
                        std::span<const std::size_t> restarts = {});

}  // namespace crimpgate::statistics

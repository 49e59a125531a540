#include "reports/statistics/run_length.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>
#include <vector>

#include "reports/statistics/distributions.h"

namespace crimpgate::statistics {
namespace {

constexpr std::size_t regions = 8;  // between the lines at -3 .. 3 sigma, from below
constexpr int signalled = -1;

// What a chart with these rules must remember of its points. Bit 0 of the rows is the last point.
struct Memory {
    std::array<unsigned, 2> beyond_two{};  // below, above: the last two points
    std::array<unsigned, 2> beyond_one{};  // the last four
    int side_run = 0;                      // negative below the centre
    int within_run = 0;
    int outside_run = 0;
    auto operator<=>(const Memory&) const = default;
};

int ones(unsigned bits) {
    int count = 0;
    for (; bits != 0; bits >>= 1U)
        count += static_cast<int>(bits & 1U);
    return count;
}

// A row of bits with one more point; true if `wanted` are set and the newest is among them.
bool shift_in(unsigned& row, bool bit, unsigned length, int wanted) {
    row = row << 1U | (bit ? 1U : 0U);
    const bool found = bit && ones(row) >= wanted;
    row &= (1U << (length - 1)) - 1U;
    return found;
}

// Moves the memory on by a point in that region; true if the chart signals.
bool step(Memory& memory, std::size_t region, const RunRules& rules) {
    const int zone =
        region < 4 ? 3 - static_cast<int>(region) : static_cast<int>(region) - 4;  // whole sigmas from centre
    const bool up = region >= 4;
    bool found = rules.has(RunRule::beyond_three_sigma) && zone == 3;
    for (const std::size_t side : {0, 1}) {
        const bool here = (side == 1) == up;
        if (rules.has(RunRule::two_of_three_beyond_two_sigma))
            found |= shift_in(memory.beyond_two[side], here && zone >= 2, 3, 2);
        if (rules.has(RunRule::four_of_five_beyond_one_sigma))
            found |= shift_in(memory.beyond_one[side], here && zone >= 1, 5, 4);
    }
    const int longest = rules.has(RunRule::eight_on_one_side) ? 8 : rules.has(RunRule::nine_on_one_side) ? 9 : 0;
    if (longest > 0) {
        const int before = (memory.side_run > 0) == up ? std::abs(memory.side_run) : 0;
        memory.side_run = up ? before + 1 : -before - 1;
        found |= before + 1 >= longest;
    }
    if (rules.has(RunRule::fifteen_within_one_sigma)) {
        memory.within_run = zone == 0 ? memory.within_run + 1 : 0;
        found |= memory.within_run >= 15;
    }
    if (rules.has(RunRule::eight_beyond_one_sigma)) {
        memory.outside_run = zone > 0 ? memory.outside_run + 1 : 0;
        found |= memory.outside_run >= 8;
    }
    return found;
}

// For each state the state after a point in each region; state 0 is the fresh chart.
using Chain = std::vector<std::array<int, regions>>;

Chain all_states(const RunRules& rules) {
    std::map<Memory, int> number{{Memory{}, 0}};
    std::vector<Memory> states{Memory{}};
    Chain chain;
    for (std::size_t at = 0; at < states.size(); ++at) {
        std::array<int, regions> next{};
        for (std::size_t region = 0; region < regions; ++region) {
            Memory memory = states[at];
            if (step(memory, region, rules)) {
                next[region] = signalled;
                continue;
            }
            const auto [place, is_new] = number.emplace(memory, static_cast<int>(states.size()));
            if (is_new) states.push_back(memory);
            next[region] = place->second;
        }
        chain.push_back(next);
    }
    return chain;
}

// States from which the same regions lead to the signal, for ever on, are one (E. F. Moore's refinement).
Chain smallest(const Chain& chain) {
    std::vector<int> group(chain.size(), 0);
    std::size_t groups = 1;
    for (;;) {
        std::map<std::array<int, regions + 1>, int> seen;
        std::vector<int> finer;
        for (std::size_t at = 0; at < chain.size(); ++at) {
            std::array<int, regions + 1> kind{};
            kind[regions] = group[at];
            for (std::size_t r = 0; r < regions; ++r)
                kind[r] = chain[at][r] == signalled ? signalled : group[static_cast<std::size_t>(chain[at][r])];
            finer.push_back(seen.emplace(kind, static_cast<int>(seen.size())).first->second);
        }
        group = finer;
        if (seen.size() == groups) break;
        groups = seen.size();
    }
    Chain small(groups);
    for (std::size_t at = 0; at < chain.size(); ++at)
        for (std::size_t r = 0; r < regions; ++r)
            small[static_cast<std::size_t>(group[at])][r] =
                chain[at][r] == signalled ? signalled : group[static_cast<std::size_t>(chain[at][r])];
    return small;
}

// Chance of each region, from whichever tail keeps its digits.
std::array<double, regions> region_chances(double shift) {
    std::array<double, regions> chance{};
    chance.front() = normal_cdf(-3 - shift);
    chance.back() = normal_upper(3 - shift);
    for (std::size_t r = 1; r + 1 < regions; ++r) {
        const double from = static_cast<double>(r) - 4 - shift;
        chance[r] = from > 0 ? normal_upper(from) - normal_upper(from + 1) : normal_cdf(from + 1) - normal_cdf(from);
    }
    return chance;
}

// Mean number of points from state 0 to the signal. States are taken out one by one from the last; what leaves a state
// is summed, never reckoned as 1 - what stays.
double mean_points(const Chain& chain, const std::array<double, regions>& chance) {
    const std::size_t n = chain.size();
    std::vector<std::vector<double>> go(n, std::vector<double>(n));
    std::vector<double> stop(n), points(n, 1);
    for (std::size_t at = 0; at < n; ++at)
        for (std::size_t r = 0; r < regions; ++r)
            (chain[at][r] == signalled ? stop[at] : go[at][static_cast<std::size_t>(chain[at][r])]) += chance[r];
    for (std::size_t k = n; k-- > 0;) {
        double leaves = stop[k];
        for (std::size_t j = 0; j < k; ++j)
            leaves += go[k][j];
        if (!(leaves > 0)) return std::numeric_limits<double>::infinity();
        if (k == 0) return points[0] / leaves;
        for (std::size_t i = 0; i < k; ++i) {
            if (go[i][k] == 0) continue;
            const double share = go[i][k] / leaves;
            for (std::size_t j = 0; j < k; ++j)
                go[i][j] += share * go[k][j];
            stop[i] += share * stop[k];
            points[i] += share * points[k];
        }
    }
    throw std::logic_error("run length: a chain without states");
}

}  // namespace

RunRules zone_only(RunRules rules) {
    return rules.set(RunRule::six_steadily_moving, false).set(RunRule::fourteen_alternating, false);
}

std::optional<double> average_run_length(const RunRules& rules, double shift_sigma) {
    if (!std::isfinite(shift_sigma)) throw std::domain_error("run length: shift");
    if (rules.empty() || rules != zone_only(rules)) return std::nullopt;
    return mean_points(smallest(all_states(rules)), region_chances(shift_sigma));
}

std::size_t run_length_states(const RunRules& rules) {
    if (rules.empty() || rules != zone_only(rules)) return 0;
    return smallest(all_states(rules)).size();
}

}  // namespace crimpgate::statistics

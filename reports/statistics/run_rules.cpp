#include "reports/statistics/run_rules.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace crimpgate::statistics {
namespace {

constexpr std::array<std::string_view, all_run_rules.size()> codes{
    "beyond_three_sigma",
    "nine_on_one_side",
    "six_steadily_moving",
    "fourteen_alternating",
    "two_of_three_beyond_two_sigma",
    "four_of_five_beyond_one_sigma",
    "fifteen_within_one_sigma",
    "eight_beyond_one_sigma",
    "eight_on_one_side",
};
constexpr std::size_t longest_window = 15;

// Where one point lies, by comparisons on the values themselves: -1 below, +1 above, 0 neither.
struct Place {
    int side = 0;        // of the centre line
    int beyond_one = 0;  // of the sigma lines
    int beyond_two = 0;
    int beyond_limit = 0;
    bool within_one = false;
};

int beyond(double value, double lower, double upper) {
    return value > upper ? 1 : value < lower ? -1 : 0;
}

Place place_of(double value, const Limits& limits) {
    const double centre = limits.centre;
    const double sigma = limits.sigma;
    if (!std::isfinite(value) || !(sigma > 0)) throw std::domain_error("run rules: no value or no sigma");
    Place place;
    place.side = beyond(value, centre, centre);
    place.beyond_one = beyond(value, centre - sigma, centre + sigma);
    place.beyond_two = beyond(value, centre - 2 * sigma, centre + 2 * sigma);
    place.beyond_limit = beyond(value, limits.lower, limits.upper);
    place.within_one = value > centre - sigma && value < centre + sigma;
    return place;
}

Side side_of(int sign) {
    return sign > 0 ? Side::above : sign < 0 ? Side::below : Side::neither;
}

// The points from the last restart to the one that is asked about.
struct History {
    std::span<const double> values;
    std::span<const Place> places;
    std::size_t first = 0;  // index of the foremost one in the chart

    std::size_t size() const { return values.size(); }
    Signal signal(RunRule rule, int sign, std::size_t from) const {
        Signal found{rule, side_of(sign), first + size() - 1, {}};
        for (std::size_t i = from; i < size(); ++i)
            found.points.push_back(first + i);
        return found;
    }
};

// `count` in a row for which `sign_of` gives the last one's sign, which is not nought.
template <class SignOf>
std::optional<Signal> run_of(std::size_t count, const History& history, RunRule rule, SignOf sign_of) {
    if (history.size() < count) return std::nullopt;
    const std::size_t from = history.size() - count;
    const int sign = sign_of(history.places.back());
    if (sign == 0) return std::nullopt;
    for (std::size_t i = from; i < history.size(); ++i)
        if (sign_of(history.places[i]) != sign) return std::nullopt;
    return history.signal(rule, sign, from);
}

// `wanted` of the last `window` on the last one's side, the last one among them.
template <class SignOf>
std::optional<Signal> some_of(std::size_t wanted, std::size_t window, const History& history, RunRule rule,
                              SignOf sign_of) {
    const int sign = sign_of(history.places.back());
    if (sign == 0) return std::nullopt;
    Signal found{rule, side_of(sign), history.first + history.size() - 1, {}};
    for (std::size_t i = history.size() - std::min(window, history.size()); i < history.size(); ++i)
        if (sign_of(history.places[i]) == sign) found.points.push_back(history.first + i);
    if (found.points.size() < wanted) return std::nullopt;
    return found;
}

// `count` points whose moves go one way, or each the other way than the one before.
std::optional<Signal> moves(std::size_t count, const History& history, RunRule rule, bool alternating) {
    if (history.size() < count) return std::nullopt;
    const std::size_t from = history.size() - count;
    const auto move = [&](std::size_t i) {
        return beyond(history.values[i], history.values[i - 1], history.values[i - 1]);
    };
    const int first = move(from + 1);
    if (first == 0) return std::nullopt;
    for (std::size_t i = from + 2; i < history.size(); ++i)
        if (move(i) != (alternating ? -move(i - 1) : first)) return std::nullopt;
    return history.signal(rule, alternating ? 0 : first, from);
}

std::optional<Signal> seen(RunRule rule, const History& history) {
    const auto side = [](const Place& p) { return p.side; };
    switch (rule) {
        case RunRule::beyond_three_sigma:
            return run_of(1, history, rule, [](const Place& p) { return p.beyond_limit; });
        case RunRule::nine_on_one_side:
            return run_of(9, history, rule, side);
        case RunRule::six_steadily_moving:
            return moves(6, history, rule, false);
        case RunRule::fourteen_alternating:
            return moves(14, history, rule, true);
        case RunRule::two_of_three_beyond_two_sigma:
            return some_of(2, 3, history, rule, [](const Place& p) { return p.beyond_two; });
        case RunRule::four_of_five_beyond_one_sigma:
            return some_of(4, 5, history, rule, [](const Place& p) { return p.beyond_one; });
        case RunRule::fifteen_within_one_sigma: {
            auto found = run_of(15, history, rule, [](const Place& p) { return p.within_one ? 1 : 0; });
            if (found) found->side = Side::neither;
            return found;
        }
        case RunRule::eight_beyond_one_sigma: {
            auto found = run_of(8, history, rule, [](const Place& p) { return p.beyond_one != 0 ? 1 : 0; });
            if (found) found->side = Side::neither;
            return found;
        }
        case RunRule::eight_on_one_side:
            return run_of(8, history, rule, side);
    }
    throw std::logic_error("run rules: no such rule");
}

void add_seen(const History& history, const RunRules& rules, std::vector<Signal>& found) {
    for (const RunRule rule : all_run_rules)
        if (rules.has(rule))
            if (auto signal = seen(rule, history)) found.push_back(std::move(*signal));
}

std::vector<Signal> signals_of_places(std::span<const double> points, std::span<const Place> places,
                                      const RunRules& rules, std::span<const std::size_t> restarts) {
    const std::vector<bool> begins = begins_anew(points.size(), restarts);
    std::vector<Signal> found;
    std::size_t first = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (begins[i]) first = i;
        const std::size_t count = i - first + 1;
        add_seen({points.subspan(first, count), places.subspan(first, count), first}, rules, found);
    }
    return found;
}

}  // namespace

std::string_view code_of(RunRule rule) {
    return codes.at(static_cast<std::size_t>(rule));
}

std::optional<RunRule> run_rule_of(std::string_view code) {
    for (const RunRule rule : all_run_rules)
        if (code_of(rule) == code) return rule;
    return std::nullopt;
}

RunRules nelson_rules() {
    RunRules rules;
    for (const RunRule rule : all_run_rules)
        rules.set(rule, rule != RunRule::eight_on_one_side);
    return rules;
}

RunRules zone_rules() {
    return {RunRule::beyond_three_sigma, RunRule::two_of_three_beyond_two_sigma, RunRule::four_of_five_beyond_one_sigma,
            RunRule::eight_on_one_side};
}

RunRules rules_for_spread(RunRules rules) {
    for (const RunRule rule : {RunRule::two_of_three_beyond_two_sigma, RunRule::four_of_five_beyond_one_sigma,
                               RunRule::fifteen_within_one_sigma, RunRule::eight_beyond_one_sigma})
        rules.set(rule, false);
    return rules;
}

std::vector<Signal> signals(std::span<const double> points, const Limits& limits, const RunRules& rules,
                            std::span<const std::size_t> restarts) {
    const std::vector<Limits> same(points.size(), limits);
    return signals(points, same, rules, restarts);
}

std::vector<Signal> signals(std::span<const double> points, std::span<const Limits> limits, const RunRules& rules,
                            std::span<const std::size_t> restarts) {
    if (limits.size() != points.size()) throw std::domain_error("run rules: not as many limits as points");
    std::vector<Place> places;
    for (std::size_t i = 0; i < points.size(); ++i)
        places.push_back(place_of(points[i], limits[i]));
    return signals_of_places(points, places, rules, restarts);
}

std::vector<Signal> signals_at_last(std::span<const double> points, const Limits& limits, const RunRules& rules) {
    std::vector<Signal> found;
    if (points.empty()) return found;
    const std::size_t count = std::min(points.size(), longest_window);
    const auto tail = points.last(count);
    std::vector<Place> places;
    for (const double point : tail)
        places.push_back(place_of(point, limits));
    add_seen({tail, places, points.size() - count}, rules, found);
    return found;
}

std::vector<Signal> signals_at_last(std::span<const double> points, const RunRules& rules) {
    std::vector<Signal> found;
    if (points.empty()) return found;
    RunRules moving;
    for (const RunRule rule : {RunRule::six_steadily_moving, RunRule::fourteen_alternating})
        moving.set(rule, rules.has(rule));
    const std::size_t count = std::min(points.size(), longest_window);
    const auto tail = points.last(count);
    for (const double point : tail)
        if (!std::isfinite(point)) throw std::domain_error("run rules: no value");
    const std::vector<Place> nowhere(count);  // these rules do not look at it
    add_seen({tail, nowhere, points.size() - count}, moving, found);
    return found;
}

ChartSignals signals_of(std::span<const ChartPoint> points, const ChartLimits& limits, const RunRules& rules,
                        std::span<const std::size_t> restarts) {
    std::vector<double> locations, spreads;
    std::vector<Limits> of_locations, of_spreads;
    std::vector<std::size_t> spread_restarts, index_of;
    const std::vector<bool> begins = begins_anew(points.size(), restarts);
    for (std::size_t i = 0; i < points.size(); ++i) {
        locations.push_back(points[i].location);
        of_locations.push_back(limits.location_at(points[i].size));
        // Where a spread is missing the row is broken too.
        if (begins[i] || !points[i].spread) spread_restarts.push_back(spreads.size());
        if (!points[i].spread) continue;
        index_of.push_back(i);
        spreads.push_back(*points[i].spread);
        of_spreads.push_back(limits.spread_at(points[i].size));
    }
    ChartSignals found;
    found.location = signals(locations, of_locations, rules, restarts);
    found.spread = signals(spreads, of_spreads, rules_for_spread(rules), spread_restarts);
    for (Signal& signal : found.spread) {
        signal.last = index_of[signal.last];
        for (std::size_t& point : signal.points)
            point = index_of[point];
    }
    return found;
}

}  // namespace crimpgate::statistics

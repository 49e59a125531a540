#include "reports/statistics/run_rules.h"

#include <rapidcheck.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

const Limits unit{0, -3, 3, 1};
using Points = std::vector<double>;
using Indexes = std::vector<std::size_t>;

Points mirrored(Points points) {
    for (double& point : points)
        point = -point;
    return points;
}

std::vector<Signal> by(RunRule rule, const Points& points, const Indexes& restarts = {}) {
    return signals(points, unit, {rule}, restarts);
}

Indexes lasts(const std::vector<Signal>& found) {
    Indexes all;
    for (const Signal& signal : found)
        all.push_back(signal.last);
    return all;
}

// The pattern is seen at its last point for the first time, on both sides, and nothing when its first point is missing.
void check_just_fires(RunRule rule, const Points& points, Side side, const Indexes& parts) {
    for (const bool mirror : {false, true}) {
        INFO(code_of(rule) << (mirror ? " mirrored" : ""));
        const auto found = by(rule, mirror ? mirrored(points) : points);
        REQUIRE(found.size() == 1);
        CHECK(found[0].rule == rule);
        CHECK(found[0].last == points.size() - 1);
        CHECK(found[0].points == parts);
        const Side other = side == Side::above ? Side::below : side;
        CHECK(found[0].side == (mirror ? other : side));
        const Points shorter(points.begin() + 1, points.end());
        if (points.size() > 1) CHECK(by(rule, mirror ? mirrored(shorter) : shorter).empty());
    }
}

void check_silent(RunRule rule, const Points& points) {
    INFO(code_of(rule));
    CHECK(by(rule, points).empty());
    CHECK(by(rule, mirrored(points)).empty());
}

Points with(Points points, std::size_t index, double value) {
    points.at(index) = value;
    return points;
}

Indexes up_to(std::size_t count) {
    Indexes all;
    for (std::size_t i = 0; i < count; ++i)
        all.push_back(i);
    return all;
}

}  // namespace

TEST_CASE("One point beyond three sigma: on the limit is not beyond it") {
    constexpr auto rule = RunRule::beyond_three_sigma;
    check_just_fires(rule, {3.0625}, Side::above, {0});
    check_silent(rule, {3, -3, 2.9, 0});
    CHECK(lasts(by(rule, {0, 4, 5, 0, -4})) == Indexes{1, 2, 4});
    // It looks at the limits of the chart, which for a range may end at nought.
    const Limits range{1, 0, 4, 1};
    CHECK(signals(Points{0, 4, 4.5}, range, {rule}).size() == 1);
}

TEST_CASE("Nine on one side: the centre line breaks the run") {
    constexpr auto rule = RunRule::nine_on_one_side;
    const Points nine(9, 0.125);
    check_just_fires(rule, nine, Side::above, up_to(9));
    check_silent(rule, Points(8, 2));
    for (std::size_t i = 0; i < 9; ++i) {
        check_silent(rule, with(nine, i, 0));
        check_silent(rule, with(nine, i, -0.125));
    }
    CHECK(lasts(by(rule, Points(11, -1))) == Indexes{8, 9, 10});  // a run that goes on
    CHECK(by(rule, Points(11, -1))[2].points == Indexes{2, 3, 4, 5, 6, 7, 8, 9, 10});
}

TEST_CASE("Eight on one side, the handbook's fourth") {
    constexpr auto rule = RunRule::eight_on_one_side;
    const Points eight(8, 0.5);
    check_just_fires(rule, eight, Side::above, up_to(8));
    for (std::size_t i = 0; i < 8; ++i)
        check_silent(rule, with(eight, i, 0));
}

TEST_CASE("Six steadily moving are five moves one way: an equal neighbour breaks it, the centre line does not matter") {
    constexpr auto rule = RunRule::six_steadily_moving;
    check_just_fires(rule, {-1, -0.5, 0, 0.1, 0.2, 0.3}, Side::above, up_to(6));
    check_silent(rule, {-1, -0.5, 0, 0.1, 0.2});
    check_silent(rule, {-1, -0.5, 0, 0, 0.2, 0.3});
    check_silent(rule, {-1, -0.5, 0, 0.1, 0.2, 0.15});
    check_silent(rule, {-1, -1, -0.5, 0, 0.1, 0.2});
    CHECK(lasts(by(rule, {7, 6, 5, 4, 3, 2, 1, 1, 0})) == Indexes{5, 6});
    CHECK(by(rule, {7, 6, 5, 4, 3, 2})[0].side == Side::below);
}

TEST_CASE("Fourteen alternating are thirteen moves: an equal neighbour breaks it") {
    constexpr auto rule = RunRule::fourteen_alternating;
    const Points saw{1, 2, 1, 3, 0, 2, -1, 1, 0, 1, 0, 1, 0, 1};
    check_just_fires(rule, saw, Side::neither, up_to(14));
    check_silent(rule, Points(saw.begin(), saw.end() - 1));
    for (std::size_t i = 1; i < saw.size(); ++i)
        check_silent(rule, with(saw, i, saw[i - 1]));
    check_silent(rule, with(saw, 7, -2));  // two moves down running
    Points longer = saw;
    longer.push_back(0.5);
    longer.push_back(0.75);
    longer.push_back(0.8125);
    CHECK(lasts(by(rule, longer)) == Indexes{13, 14, 15});
}

TEST_CASE("Two of three beyond two sigma on one side, the last among them") {
    constexpr auto rule = RunRule::two_of_three_beyond_two_sigma;
    check_just_fires(rule, {2.5, 0, 2.5}, Side::above, {0, 2});
    check_just_fires(rule, {2.5, 2.5}, Side::above, {0, 1});
    check_just_fires(rule, {2.5, -2.5, 3.5}, Side::above, {0, 2});
    check_silent(rule, {2.5, -2.5});
    check_silent(rule, {2.5, 0, 0, 2.5});
    check_silent(rule, {2, 2, 2, 2});  // on the line
    check_silent(rule, {2.5, 2, 2, 2.5});
    // The third point, back in the middle, is not another signal.
    CHECK(lasts(by(rule, {2.5, 2.5, 0})) == Indexes{1});
    CHECK(by(rule, {-2.5, -2.5, -2.5})[1].points == Indexes{0, 1, 2});
}

TEST_CASE("Four of five beyond one sigma on one side, the last among them") {
    constexpr auto rule = RunRule::four_of_five_beyond_one_sigma;
    check_just_fires(rule, {1.5, 1.5, -4, 1.5, 1.5}, Side::above, {0, 1, 3, 4});
    check_just_fires(rule, {1.5, 1.5, 1.5, 1.5}, Side::above, {0, 1, 2, 3});
    check_silent(rule, {1.5, 1.5, 1.5, 0, 0});
    check_silent(rule, {1.5, 1.5, 0, 0, 1.5, 1.5});
    check_silent(rule, {1.5, 1.5, 1.5, 1, 1, 1.5});  // on the line
    check_silent(rule, {1, 1, 1, 1, 1, 1});
    check_silent(rule, {1.5, 1.5, 1.5, -1.5});
    CHECK(lasts(by(rule, {1.5, 1.5, 1.5, 1.5, 0, 1.5})) == Indexes{3, 5});
}

TEST_CASE("Fifteen within one sigma on either side: on a one-sigma line is not within, on the centre line is") {
    constexpr auto rule = RunRule::fifteen_within_one_sigma;
    Points calm(15, 0.5);
    for (std::size_t i = 0; i < 15; i += 2)
        calm[i] = -0.5;
    check_just_fires(rule, calm, Side::neither, up_to(15));
    check_just_fires(rule, with(calm, 4, 0), Side::neither, up_to(15));
    for (std::size_t i = 0; i < 15; ++i) {
        check_silent(rule, with(calm, i, 1));
        check_silent(rule, with(calm, i, -1));
    }
}

TEST_CASE("Eight beyond one sigma on both sides: on a one-sigma line is not beyond") {
    constexpr auto rule = RunRule::eight_beyond_one_sigma;
    const Points split{1.5, -1.5, 2.5, -1.5, 1.5, 1.5, -3.5, 1.5};
    check_just_fires(rule, split, Side::neither, up_to(8));
    for (std::size_t i = 0; i < 8; ++i) {
        check_silent(rule, with(split, i, 1));
        check_silent(rule, with(split, i, 0));
    }
}

TEST_CASE("No pattern reaches back over a restart of the chart") {
    const Points patterns[] = {Points(9, 1), {1, 2, 3, 4, 5, 6}, {2.5, 0, 2.5}, Points(15, 0.5), Points(8, -1.5)};
    for (const Points& points : patterns) {
        RunRules rules = nelson_rules();
        rules.set(RunRule::beyond_three_sigma, false);
        const auto whole = signals(points, unit, rules);
        REQUIRE_FALSE(whole.empty());
        for (std::size_t restart = 1; restart < points.size(); ++restart) {
            const std::size_t at[] = {restart};
            for (const Signal& signal : signals(points, unit, rules, at))
                CHECK((signal.last < restart || signal.points.front() >= restart));
        }
    }
    CHECK(by(RunRule::nine_on_one_side, Points(9, 1), {1}).empty());
    CHECK(lasts(by(RunRule::nine_on_one_side, Points(10, 1), {1})) == Indexes{9});
    CHECK(by(RunRule::nine_on_one_side, Points(9, 1), {9, 0}).size() ==
          1);  // the next point begins anew; so did the first
    CHECK_THROWS_AS(by(RunRule::nine_on_one_side, Points(9, 1), {10}), std::domain_error);
}

TEST_CASE("A point may take part in several patterns, told in the order of the rules") {
    const auto found = signals(Points{2.5, 3.5}, unit, zone_rules());
    REQUIRE(found.size() == 2);
    CHECK(found[0].rule == RunRule::beyond_three_sigma);
    CHECK(found[1].rule == RunRule::two_of_three_beyond_two_sigma);
    CHECK(signals(Points{2.5, 3.5}, unit, {}).empty());
    CHECK(signals({}, unit, nelson_rules()).empty());
}

TEST_CASE("Codes of the rules come back as what they were") {
    for (const RunRule rule : all_run_rules)
        CHECK(run_rule_of(code_of(rule)) == rule);
    CHECK_FALSE(run_rule_of("seven_on_one_side"));
    CHECK(code_of(RunRule::eight_on_one_side) == "eight_on_one_side");
}

// Nelson's remark: only tests 1 to 4 belong on ranges, s and moving ranges.
TEST_CASE("On a chart of spread Nelson's tests one to four are left, and of the zone rules the limit and the run") {
    CHECK(rules_for_spread(nelson_rules()) == RunRules{RunRule::beyond_three_sigma, RunRule::nine_on_one_side,
                                                       RunRule::six_steadily_moving, RunRule::fourteen_alternating});
    CHECK(rules_for_spread(zone_rules()) == RunRules{RunRule::beyond_three_sigma, RunRule::eight_on_one_side});
    RunRules one{RunRule::beyond_three_sigma};
    CHECK(one.set(RunRule::beyond_three_sigma, false).empty());
}

TEST_CASE("Limits of each point's own: the same mean is out with nine places and not with four") {
    const ChartLimits limits = chart_limits(ChartKind::mean_and_s, 4, 0, 2);
    const std::vector<ChartPoint> ends{{4, 2.5, 1.0}, {9, 2.5, 1.0}, {4, -3.5, 1.0}};
    const ChartSignals found = signals_of(ends, limits, {RunRule::beyond_three_sigma});
    CHECK(lasts(found.location) == Indexes{1, 2});
    CHECK_THROWS_AS(signals(Points{1, 2}, std::vector<Limits>{unit}, {}), std::domain_error);
    CHECK_THROWS_AS(signals(Points{1}, Limits{0, 0, 0, 0}, {}), std::domain_error);
    CHECK_THROWS_AS(signals(Points{std::nan("")}, unit, {}), std::domain_error);
}

TEST_CASE("Signals on moving ranges carry the index of the individual, and a missing range breaks the row") {
    const ChartLimits limits = chart_limits(ChartKind::individuals, 1, 0, 1);
    Points values;
    for (int i = 0; i < 12; ++i)
        values.push_back(i % 2 == 0 ? 0.5 : -1.5);  // moving ranges of 2, centre 1.128
    const auto whole = signals_of(individual_points(values), limits, nelson_rules());
    REQUIRE(lasts(whole.spread) == Indexes{9, 10, 11});
    CHECK(whole.spread[0].rule == RunRule::nine_on_one_side);
    CHECK(whole.spread[0].points == Indexes{1, 2, 3, 4, 5, 6, 7, 8, 9});
    const std::size_t restart[] = {2};
    const auto parted = signals_of(individual_points(values, restart), limits, nelson_rules(), restart);
    CHECK(lasts(parted.spread) == Indexes{11});
    CHECK(parted.spread[0].points.front() == 3);
    // The range that is missing alone breaks it as well.
    CHECK(lasts(signals_of(individual_points(values, restart), limits, nelson_rules()).spread) == Indexes{11});
}

namespace {

// Points in eighths of sigma around the lines, so that on-the-line cases are common.
rc::Gen<Points> near_lines() {
    return rc::gen::map(rc::gen::container<std::vector<int>>(rc::gen::inRange(-26, 27)),
                        [](const std::vector<int>& raw) {
                            Points points;
                            for (const int value : raw)
                                points.push_back(value / 8.0);
                            return points;
                        });
}
RunRules every_rule() {
    RunRules rules;
    for (const RunRule rule : all_run_rules)
        rules.set(rule);
    return rules;
}

}  // namespace

TEST_CASE("The mirror image of the points gives the mirror image of the signals") {
    CHECK(rc::check([] {
        const Points points = *near_lines();
        const auto found = signals(points, unit, every_rule());
        auto mirror = signals(mirrored(points), unit, every_rule());
        for (Signal& signal : mirror)
            if (signal.side != Side::neither) signal.side = signal.side == Side::above ? Side::below : Side::above;
        RC_ASSERT(found == mirror);
    }));
}

TEST_CASE("What the bench asks after each end is what the whole chart says of that point") {
    CHECK(rc::check([] {
        const Points points = *near_lines();
        std::vector<Signal> one_by_one;
        for (std::size_t count = 0; count <= points.size(); ++count)
            for (Signal& signal : signals_at_last(std::span(points).first(count), unit, every_rule()))
                one_by_one.push_back(std::move(signal));
        RC_ASSERT(one_by_one == signals(points, unit, every_rule()));
    }));
}

TEST_CASE("The points of a signal end with its last one, rise, and lie where the rule says") {
    CHECK(rc::check([] {
        const Points points = *near_lines();
        for (const Signal& signal : signals(points, unit, every_rule())) {
            RC_ASSERT(signal.points.back() == signal.last);
            RC_ASSERT(std::is_sorted(signal.points.begin(), signal.points.end()));
            const double line = signal.rule == RunRule::beyond_three_sigma              ? 3
                                : signal.rule == RunRule::two_of_three_beyond_two_sigma ? 2
                                : signal.rule == RunRule::four_of_five_beyond_one_sigma ? 1
                                : signal.rule == RunRule::eight_beyond_one_sigma        ? 1
                                : signal.rule == RunRule::nine_on_one_side              ? 0
                                : signal.rule == RunRule::eight_on_one_side             ? 0
                                                                                        : -1;
            for (const std::size_t index : signal.points) {
                RC_ASSERT(std::abs(points[index]) > line);
                const bool moving = signal.rule == RunRule::six_steadily_moving;
                if (!moving && signal.side == Side::above) RC_ASSERT(points[index] > 0);
                if (!moving && signal.side == Side::below) RC_ASSERT(points[index] < 0);
            }
        }
    }));
}

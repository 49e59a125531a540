#include "reports/statistics/capability.h"

#include <rapidcheck.h>

#include <cmath>
#include <concepts>
#include <limits>

#include "reports/statistics/chart_constants.h"
#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;

namespace {

// What somebody who prints an index gets to see.
struct Seen {
    std::optional<CapabilityIndex> index;
    std::vector<std::string> warnings;
    std::string reason;
    double value() const {
        REQUIRE(index);
        return index->value;
    }
};
Seen seen(const Warned<CapabilityIndex>& warned) {
    return warned.match(
        [](const CapabilityIndex& index, std::span<const Message> warnings) {
            Seen s{index, {}, {}};
            for (const auto& warning : warnings)
                s.warnings.push_back(warning.code);
            return s;
        },
        [](const Message& reason) {
            return Seen{std::nullopt, {}, reason.code};
        });
}
double value(const Warned<CapabilityIndex>& warned) {
    return seen(warned).value();
}
ExpectedOutside figure(const Warned<ExpectedOutside>& warned) {
    return warned.match([](const ExpectedOutside& e, std::span<const Message>) { return e; },
                        [](const Message&) -> ExpectedOutside { throw std::runtime_error("no expected share"); });
}

ProcessSummary summary(std::size_t n, double mean, double s) {
    return {n, n, mean, {s, static_cast<double>(n) - 1, SpreadFrom::overall}};
}
const CapabilityBasis sound{true, 0.4, 0.95};
const std::vector<std::string> nothing;

std::vector<std::vector<double>> vane_opening(const std::vector<int>& without = {}) {
    std::vector<std::vector<double>> subgroups;
    int subgroup = 0;
    for (const auto& row : data_rows("vane_opening.csv")) {
        if (std::find(without.begin(), without.end(), ++subgroup) != without.end()) continue;
        subgroups.emplace_back();
        for (std::size_t i = 1; i < row.size(); ++i)
            subgroups.back().push_back(number(row[i]));
    }
    return subgroups;
}

}  // namespace

TEST_CASE("Capability of the NIST e-Handbook's example") {
    // 6.1.6: limits 8 and 20, mean 16, s 2: 1.0, 0.6667, 0.6667, 1.3333, k 0.3333. Cpm with the target in the middle,
    // 14: 0.70711, recomputed.
    const CapabilityBand band{8, 20, {}};
    const auto indices = indices_of(summary(100, 16, 2), band, sound);
    CHECK(value(indices.spread) == cqt::Approx(1.0).epsilon(1e-12));
    CHECK(value(indices.nearer) == cqt::Approx(2.0 / 3).epsilon(1e-12));
    CHECK(value(indices.upper) == cqt::Approx(2.0 / 3).epsilon(1e-12));
    CHECK(value(indices.lower) == cqt::Approx(4.0 / 3).epsilon(1e-12));
    CHECK(*off_centre(band, 16) == cqt::Approx(1.0 / 3).epsilon(1e-12));
    CHECK(value(target_index(IndexKind::target, summary(100, 16, 2), band, sound)) ==
          cqt::Approx(0.70711).margin(5e-6));
    // The page's interval with n = 100: recomputed 0.5531..0.7802.
    const auto nearer = *seen(indices.nearer).index;
    CHECK(nearer.interval.lower == cqt::Approx(0.5531).margin(5e-5));
    CHECK(nearer.interval.upper == cqt::Approx(0.7802).margin(5e-5));
}

TEST_CASE("A band with a natural limit at zero") {
    // From public copies of a supplier manual: upper limit 0.40, mean 0.166, s 0.0457: 1.46 and 1.71; mean 0.250,
    // s 0.0292: 2.28 and 1.71. Its "Cp*" counts the natural limit, its Cpk does not: so it may be the larger one.
    const CapabilityBand both{0, 0.40, {}}, upper_only{{}, 0.40, {}};
    struct Line {
        double mean, s, spread, nearer;
    };
    for (const auto& line : {Line{0.166, 0.0457, 1.4588, 1.7068}, Line{0.250, 0.0292, 2.2831, 1.7123}}) {
        const auto process = summary(125, line.mean, line.s);
        CHECK(value(indices_of(process, both, sound).spread) == cqt::Approx(line.spread).margin(5e-5));
        CHECK(value(indices_of(process, upper_only, sound).nearer) == cqt::Approx(line.nearer).margin(5e-5));
    }
    const auto one_sided = indices_of(summary(125, 0.166, 0.0457), upper_only, sound);
    CHECK(value(one_sided.upper) == value(one_sided.nearer));
    CHECK(seen(one_sided.spread).reason == "capability.needs_both_limits");
    CHECK(seen(one_sided.lower).reason == "capability.no_lower_limit");
    CHECK(figure(one_sided.expected).below == 0);
}

TEST_CASE("The bursting strength of a glass bottle, which has no upper limit") {
    // Montgomery, Statistical Quality Control, example 8.2 (from memory, recomputed): mean 264, sigma 32, lower limit
    // 200: 0.67 and 22 750 parts per million.
    const CapabilityBand band{200, {}, {}};
    const auto indices = indices_of(summary(100, 264, 32), band, sound);
    CHECK(value(indices.lower) == cqt::Approx(0.67).margin(0.005));
    CHECK(value(indices.nearer) == cqt::Approx(2.0 / 3).epsilon(1e-12));
    CHECK(figure(indices.expected).total * 1e6 == cqt::Approx(22750).margin(0.5));
    CHECK(seen(indices.upper).reason == "capability.no_upper_limit");
    CHECK_FALSE(off_centre(band, 264));
    CHECK(seen(target_index(IndexKind::target, summary(100, 264, 32), band, sound)).reason ==
          "capability.needs_both_limits");
    CHECK(seen(target_index(IndexKind::target_side, summary(100, 264, 32), band, sound)).reason ==
          "capability.no_target");
}

TEST_CASE("Vane openings: capability from the mean range, and the warning while the chart shows signals") {
    // Montgomery and Runger, example 16-1, spec 20 to 40: with subgroups 6, 8, 9, 11 and 19 taken out 33.21 and mean
    // range 5.0 (published), so 1.55 and 1.05 (recomputed). Before, the chart shows signals.
    const CapabilityBand band{20, 40, {}};
    const auto settled = vane_opening({6, 8, 9, 11, 19});
    const auto after = capability_of(settled, SpreadFrom::mean_range, band, sound);
    CHECK(after.mean == cqt::Approx(33.2133).margin(5e-5));
    CHECK(after.within_spread->sigma * chart_constants(5).d2 == cqt::Approx(5.0).epsilon(1e-12));
    CHECK(value(after.within.spread) == cqt::Approx(1.55).margin(0.005));
    CHECK(value(after.within.spread) == cqt::Approx(1.5506193).epsilon(1e-7));
    CHECK(value(after.within.nearer) == cqt::Approx(1.05).margin(0.005));
    CHECK(value(after.within.nearer) == cqt::Approx(1.0523536).epsilon(1e-7));
    CHECK(seen(after.within.spread).warnings == std::vector<std::string>{"capability.fewer_than_recommended"});

    const auto all = vane_opening();
    const auto before = capability_of(all, SpreadFrom::mean_range, band, {false, 0.4, 0.95});
    CHECK(before.values == 100);
    CHECK(before.subgroups == 20);
    // Computed with another program: the sigma overall is larger than the one within, since the means wander.
    CHECK(value(before.within.spread) == cqt::Approx(1.33674077).epsilon(1e-8));
    CHECK(value(before.within.nearer) == cqt::Approx(0.89294284).epsilon(1e-8));
    CHECK(value(before.overall.spread) == cqt::Approx(1.01026501).epsilon(1e-8));
    CHECK(value(before.overall.nearer) == cqt::Approx(0.67485703).epsilon(1e-8));
    for (const auto* index : {&before.within.spread, &before.within.nearer, &before.overall.nearer, &before.target,
                              &before.target_side, &before.overall.upper})
        CHECK(seen(*index).warnings ==
              std::vector<std::string>{"capability.unstable", "capability.fewer_than_recommended"});
    CHECK(before.observed.above == 1);  // the one of 43
    CHECK(before.observed.below == 0);
    CHECK(before.observed.share() == cqt::Approx(0.01));
}

TEST_CASE("An index says which sigma it used") {
    const auto subgroups = vane_opening();
    const CapabilityBand band{20, 40, {}};
    for (const auto from : {SpreadFrom::mean_range, SpreadFrom::mean_s, SpreadFrom::pooled}) {
        const auto capability = capability_of(subgroups, from, band, sound);
        CHECK(seen(capability.within.nearer).index->from == from);
        CHECK(seen(capability.overall.nearer).index->from == SpreadFrom::overall);
        CHECK(figure(capability.within.expected).from == from);
        CHECK(symbol(IndexKind::nearer, from) == "Cpk");
    }
    // One value each: neighbours in time are all there is.
    std::vector<std::vector<double>> singles;
    for (const auto& subgroup : subgroups)
        singles.push_back({subgroup[0]});
    const auto individuals = capability_of(singles, SpreadFrom::mean_range, band, sound);
    CHECK(seen(individuals.within.nearer).index->from == SpreadFrom::mean_moving_range);
    CHECK(symbol(IndexKind::spread, SpreadFrom::overall) == "Pp");
    CHECK(symbol(IndexKind::nearer, SpreadFrom::overall) == "Ppk");
    CHECK(symbol(IndexKind::target, SpreadFrom::overall) == "Cpm");
    CHECK(words_for(SpreadFrom::mean_range).code == "capability.sigma_mean_range");
    CHECK(words_for(SpreadFrom::overall).code == "capability.sigma_overall");
}

// The value is reached through match() alone, and match() asks for a function that takes the warnings.
template <class W>
concept gives_value_with_warnings = requires(const W& w) {
    w.match([](const CapabilityIndex&, std::span<const Message>) {}, [](const Message&) {});
};
template <class W>
concept gives_value_alone = requires(const W& w) {
    w.match([](const CapabilityIndex&) {}, [](const Message&) {});
};
template <class W>
concept gives_value_or_nothing = requires(const W& w) {
    w.match([](const CapabilityIndex&, std::span<const Message>) {});
};
static_assert(gives_value_with_warnings<Warned<CapabilityIndex>>);
static_assert(!gives_value_alone<Warned<CapabilityIndex>>);
static_assert(!gives_value_or_nothing<Warned<CapabilityIndex>>);
static_assert(!std::convertible_to<Warned<CapabilityIndex>, CapabilityIndex>);

TEST_CASE("Every weakness of the sample stands beside the index, in a fixed order") {
    const auto codes = [](std::size_t values, std::size_t subgroups, const CapabilityBasis& basis) {
        std::vector<std::string> found;
        for (const auto& warning : capability_warnings(values, subgroups, basis))
            found.push_back(warning.code);
        return found;
    };
    CHECK(codes(125, 25, sound) == nothing);
    CHECK(codes(124, 25, sound) == std::vector<std::string>{"capability.fewer_than_recommended"});
    CHECK(codes(125, 24, sound) == std::vector<std::string>{"capability.fewer_than_recommended"});
    CHECK(codes(50, 10, sound) == std::vector<std::string>{"capability.fewer_than_recommended"});
    CHECK(codes(49, 49, sound) == std::vector<std::string>{"capability.few_values"});
    CHECK(codes(125, 25, {false, 0.4, 0.95}) == std::vector<std::string>{"capability.unstable"});
    CHECK(codes(125, 25, {true, 0.05, 0.95}) == nothing);
    CHECK(codes(125, 25, {true, 0.0499, 0.95}) == std::vector<std::string>{"capability.not_normal"});
    CHECK(codes(125, 25, {true, std::nan(""), 0.95}) == std::vector<std::string>{"capability.not_normal"});
    CHECK(codes(125, 25, {true, {}, 0.95}) == std::vector<std::string>{"capability.normality_unknown"});
    CHECK(codes(20, 4, {false, 0.01, 0.95}) ==
          std::vector<std::string>{"capability.unstable", "capability.few_values", "capability.not_normal"});
    // Somebody who forgets to say that the process is stable is told that it is not.
    CHECK(codes(125, 25, {}).at(0) == "capability.unstable");
    CHECK(capability_warnings(125, 25, {true, 0.0123, 0.95}).at(0).detail("p") == "= 0.012");
    CHECK(capability_warnings(125, 25, {true, 1e-6, 0.95}).at(0).detail("p") == "< 0.001");
}

TEST_CASE("Too few values, or all equal, give no index but the reason") {
    const CapabilityBand band{8, 20, {}};
    const auto seven = indices_of(summary(7, 16, 2), band, sound);
    for (const auto* index : {&seven.spread, &seven.nearer, &seven.upper, &seven.lower})
        CHECK(seen(*index).reason == "capability.too_few_values");
    CHECK_THROWS_AS(figure(seven.expected), std::runtime_error);
    CHECK(seen(indices_of(summary(8, 16, 2), band, sound).nearer).index);

    for (std::size_t n : {0, 1, 2, 7}) {
        const std::vector<std::vector<double>> subgroups(n, {14.0});
        const auto capability = capability_of(subgroups, SpreadFrom::mean_range, band, sound);
        CHECK(seen(capability.overall.nearer).reason == "capability.too_few_values");
        CHECK(seen(capability.target).reason == "capability.too_few_values");
        CHECK(capability.observed.of == n);
    }
    const std::vector<std::vector<double>> equal(30, {14.0, 14.0});
    const auto capability = capability_of(equal, SpreadFrom::pooled, band, sound);
    CHECK(seen(capability.within.nearer).reason == "capability.no_spread");
    CHECK(seen(capability.overall.spread).reason == "capability.no_spread");
    CHECK(seen(capability.target_side).reason == "capability.no_spread");
}

TEST_CASE("Expected parts per million agree with the table for every index") {
    const auto rows = data_rows("capability_ppm.csv");
    REQUIRE(rows.size() == 20);
    for (const auto& row : rows) {
        auto index = number(row[0]);
        if (row[0] == "1.333333333") index = 4.0 / 3;
        if (row[0] == "1.666666667") index = 5.0 / 3;
        const CapabilityBand both{-3 * index, 3 * index, {}}, upper{{}, 3 * index, {}};
        const Spread one{1, 99, SpreadFrom::overall};
        CHECK(expected_outside(upper, 0, one).total * 1e6 == cqt::Approx(number(row[1])).epsilon(5.1e-9));
        CHECK(expected_outside(both, 0, one).total * 1e6 == cqt::Approx(number(row[2])).epsilon(5.1e-9));
        CHECK(expected_outside(both, 0, one).below == expected_outside(both, 0, one).above);
        const auto yield = yield_bounds(index);
        CHECK(1 - yield.lower == cqt::Approx(number(row[2]) / 1e6).margin(1e-15).epsilon(1e-6));
        CHECK(1 - yield.upper == cqt::Approx(number(row[1]) / 1e6).margin(1e-15).epsilon(1e-6));
    }
    // "63 parts per million" belong to 4/3, "66" to 1.33.
    const auto centred = [](double c) {
        return std::round(expected_outside({-3 * c, 3 * c, {}}, 0, {1, 1, SpreadFrom::overall}).total * 1e6);
    };
    CHECK(centred(4.0 / 3) == 63);
    CHECK(centred(1.33) == 66);
    // Six sigma, the mean shifted by 1.5: 3.4 parts per million at an index of 1.5 (Montgomery and Runger; 3.398).
    const auto shifted = expected_outside({-6, 6, {}}, 1.5, {1, 1, SpreadFrom::overall});
    CHECK(shifted.total * 1e6 == cqt::Approx(3.398).margin(5e-4));
    CHECK(shifted.above > 1e6 * shifted.below);
}

TEST_CASE("A target beside the middle: Cpm holds the whole band, Cpm* the nearer side against it") {
    // By hand: limits 10 and 22, target 13, mean 14, s 2: tau = sqrt 5; 12 / (6 sqrt 5) = 0.894427, 3 / (3 sqrt 5) =
    // 0.447214.
    const CapabilityBand band{10, 22, 13};
    const auto process = summary(200, 14, 2);
    CHECK(value(target_index(IndexKind::target, process, band, sound)) == cqt::Approx(0.894427191).epsilon(1e-9));
    CHECK(value(target_index(IndexKind::target_side, process, band, sound)) == cqt::Approx(0.4472135955).epsilon(1e-9));
    // In the middle both are one.
    const CapabilityBand middle{10, 22, {}};
    CHECK(value(target_index(IndexKind::target, process, middle, sound)) ==
          cqt::Approx(value(target_index(IndexKind::target_side, process, middle, sound))).epsilon(1e-12));
    // The middle band's other indices do not look at the target.
    CHECK(value(indices_of(process, band, sound).nearer) == value(indices_of(process, middle, sound).nearer));
    // One limit and a target: the side that there is.
    CHECK(value(target_index(IndexKind::target_side, process, {{}, 22, 13}, sound)) ==
          cqt::Approx(9 / (3 * std::sqrt(5.0))).epsilon(1e-12));
    auto within = process;
    within.spread.from = SpreadFrom::pooled;
    CHECK_THROWS_AS(target_index(IndexKind::target, within, band, sound), std::domain_error);
}

TEST_CASE("R4: a value on the limit is not counted outside, and a mean outside gives a negative index") {
    const std::vector<std::vector<double>> subgroups{{8, 8.5}, {20, 19}, {20.5, 7.5}, {9, 10}, {30, 31}};
    const auto capability = capability_of(subgroups, SpreadFrom::pooled, {8, 20, {}}, sound);
    CHECK(capability.observed.below == 1);
    CHECK(capability.observed.above == 3);
    const auto outside = indices_of(summary(50, 26, 2), {8, 20, {}}, sound);
    CHECK(value(outside.nearer) == cqt::Approx(-1));
    const auto nearer = *seen(outside.nearer).index;
    CHECK(nearer.interval.lower < -1);
    CHECK(nearer.interval.upper > -1);
    CHECK(yield_bounds(-1).lower == 0);
}

TEST_CASE("A band without sense is a bug of the caller") {
    const auto process = summary(50, 14, 2);
    const double infinite = std::numeric_limits<double>::infinity();
    for (const auto& band : {CapabilityBand{}, CapabilityBand{20, 8, {}}, CapabilityBand{8, 8, {}},
                             CapabilityBand{8, 20, 21}, CapabilityBand{8, {}, 7}, CapabilityBand{8, infinite, {}}}) {
        CHECK_THROWS_AS(indices_of(process, band, sound), std::domain_error);
        CHECK_THROWS_AS(capability_of({}, SpreadFrom::pooled, band, sound), std::domain_error);
    }
    const std::vector<std::vector<double>> not_finite{{1, infinite}};
    CHECK_THROWS_AS(capability_of(not_finite, SpreadFrom::pooled, {8, 20, {}}, sound), std::domain_error);
}

TEST_CASE("Capability does not depend on where zero is or on the unit") {
    CHECK(rc::check("shift and scale", [] {
        const auto thousandths = *rc::gen::container<std::vector<int>>(24, rc::gen::inRange(-4000, 4001));
        const double offset = *rc::gen::inRange(-1'000'000, 1'000'001);
        const double scale = *rc::gen::inRange(1, 1'000'001);
        std::vector<std::vector<double>> plain, moved;
        for (std::size_t i = 0; i < thousandths.size(); i += 4) {
            plain.emplace_back();
            moved.emplace_back();
            for (std::size_t j = i; j < i + 4; ++j) {
                plain.back().push_back(thousandths[j]);
                moved.back().push_back((thousandths[j] + offset) * scale);
            }
        }
        const auto a = capability_of(plain, SpreadFrom::mean_s, {-5000, 6000, 100}, sound);
        const auto b = capability_of(moved, SpreadFrom::mean_s,
                                     {(offset - 5000) * scale, (offset + 6000) * scale, (offset + 100) * scale}, sound);
        RC_PRE(a.overall_spread->sigma > 0 && a.within_spread->sigma > 0);
        const auto same = [](double x, double y) { return std::abs(x - y) <= 1e-8 * (1 + std::abs(x)); };
        RC_ASSERT(same(value(a.within.nearer), value(b.within.nearer)));
        RC_ASSERT(same(value(a.overall.spread), value(b.overall.spread)));
        RC_ASSERT(same(value(a.target_side), value(b.target_side)));
        // Cpk = (1 - k) Cp.
        RC_ASSERT(
            same((1 - *off_centre({-5000, 6000, {}}, a.mean)) * value(a.overall.spread), value(a.overall.nearer)));
    }));
}

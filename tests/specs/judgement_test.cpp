#include "specs/judgement.h"

#include <rapidcheck.h>

#include <limits>

#include "specs/what_may_follow.h"
#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using crimpgate::test::sample_row;

namespace {

constexpr Length exact = 0_nm;     // an ideal gauge: only the limits speak
constexpr Length caliper = 12_um;  // guard 19.8 um

EndReadings good(Length u = exact) {
    EndReadings r;
    r.depth = Measured{38'000_um, u};
    r.mark_before_seen = MarkSeen::at_edge;
    r.crimps = {{1, {25'500_um, u}}, {3, {25'510_um, u}}, {4, {25'520_um, u}}};
    r.mark_after_seen = MarkSeen::at_edge;
    return r;
}

std::vector<Characteristic> kinds(const EndJudgement& j) {
    std::vector<Characteristic> all;
    for (const auto& f : j.findings)
        all.push_back(f.what);
    return all;
}

const Finding* find(const EndJudgement& j, Characteristic what, std::int64_t flat = 0) {
    for (const auto& f : j.findings)
        if (f.what == what && f.flat == flat) return &f;
    return nullptr;
}

// Everything a row can ask for.
SpecRow full_row() {
    auto row = sample_row();
    row.skive = Skive::inner_and_outer;
    row.skive_outer = Toleranced{40'000_um, 1'000_um, 0_um};
    row.skive_inner = Toleranced{12'000_um, 0_um, 1'000_um};
    row.lubricant = "soap water";
    row.mark_check = MarkCheck::measured;
    row.bore_pin = 9'200_um;
    return row;
}

EndReadings full_readings() {
    EndReadings r;
    r.skive_outer = Measured{39'500_um, exact};
    r.skive_inner = Measured{12'500_um, exact};
    r.depth = Measured{38'000_um, exact};
    r.lubricated = true;
    r.mark_before_measured = Measured{400_um, exact};
    r.crimps = {{1, {25'500_um, exact}}, {3, {25'500_um, exact}}, {4, {25'500_um, exact}}};
    r.mark_after_measured = Measured{1'000_um, exact};
    r.pin_passed = true;
    return r;
}

}  // namespace

TEST_CASE("R1: an end of which nothing is known does not pass, and everything that the row asks for is missing") {
    const auto j = judge_end(full_row(), {});
    CHECK(j.verdict == Verdict::conforms);
    CHECK_FALSE(j.complete());
    CHECK_FALSE(j.passes());
    CHECK(j.findings.empty());
    CHECK(j.missing == std::vector{Characteristic::skive_outer, Characteristic::skive_inner, Characteristic::depth,
                                   Characteristic::lubricant, Characteristic::mark_before,
                                   Characteristic::crimp_diameter, Characteristic::mark_after,
                                   Characteristic::bore_pin});
    CHECK_FALSE(j.mean.has_value());
    CHECK_FALSE(j.spread.has_value());
}

TEST_CASE("R1: an end passes only when every characteristic that its row asks for is known") {
    const auto row = full_row();
    REQUIRE(judge_end(row, full_readings()).passes());
    const auto without = [&](auto change, Characteristic what) {
        auto r = full_readings();
        change(r);
        const auto j = judge_end(row, r);
        CHECK(j.missing == std::vector{what});
        CHECK_FALSE(j.passes());
        CHECK(j.verdict == Verdict::conforms);
    };
    without([](auto& r) { r.skive_outer.reset(); }, Characteristic::skive_outer);
    without([](auto& r) { r.skive_inner.reset(); }, Characteristic::skive_inner);
    without([](auto& r) { r.depth.reset(); }, Characteristic::depth);
    without([](auto& r) { r.lubricated.reset(); }, Characteristic::lubricant);
    without([](auto& r) { r.mark_before_measured.reset(); }, Characteristic::mark_before);
    without([](auto& r) { r.crimps.erase(r.crimps.begin() + 1); }, Characteristic::crimp_diameter);
    without([](auto& r) { r.mark_after_measured.reset(); }, Characteristic::mark_after);
    without([](auto& r) { r.pin_passed.reset(); }, Characteristic::bore_pin);
}

TEST_CASE("A row that asks for less is content with less") {
    const auto j = judge_end(sample_row(), good());
    CHECK(j.passes());
    CHECK(kinds(j) == std::vector{Characteristic::depth, Characteristic::mark_before, Characteristic::crimp_diameter,
                                  Characteristic::crimp_diameter, Characteristic::crimp_diameter,
                                  Characteristic::spread, Characteristic::mark_after});
    // Answers that nobody asked for say nothing.
    auto more = good();
    more.lubricated = false;
    more.pin_passed = false;
    more.skive_outer = Measured{1_um, exact};
    more.skive_inner = Measured{1_um, exact};
    CHECK(judge_end(sample_row(), more) == j);
    // Skived outside only: the inner length is not asked for.
    auto outer = full_row();
    outer.skive = Skive::outer;
    auto r = full_readings();
    r.skive_inner = Measured{1_um, exact};
    CHECK(judge_end(outer, r).passes());
}

TEST_CASE("Findings come in the order of the work, crimps in the order of the row's flats") {
    auto row = full_row();
    row.flats = {4, 1, 3};
    const auto j = judge_end(row, full_readings());
    CHECK(kinds(j) == std::vector{Characteristic::skive_outer, Characteristic::skive_inner, Characteristic::depth,
                                  Characteristic::lubricant, Characteristic::mark_before,
                                  Characteristic::crimp_diameter, Characteristic::crimp_diameter,
                                  Characteristic::crimp_diameter, Characteristic::spread, Characteristic::mark_after,
                                  Characteristic::bore_pin});
    CHECK(j.findings[5].flat == 4);
    CHECK(j.findings[6].flat == 1);
    CHECK(j.findings[7].flat == 3);
}

TEST_CASE("R4: crimp 25.5 +-0.2 mm: 25.30 and 25.70 in, 25.71 out and high, 25.29 out and low") {
    // Trade convention, limits inclusive; high may be crimped again, low is scrap (R7).
    auto row = sample_row();
    row.spread_limit = 400_um;
    const auto with_second = [&](Length value) {
        auto r = good();
        r.crimps[1].measured.value = value;
        return judge_end(row, r);
    };
    CHECK(with_second(25'300_um).passes());
    CHECK(with_second(25'700_um).passes());

    const auto high = with_second(25'710_um);
    CHECK(high.verdict == Verdict::fails);
    REQUIRE(find(high, Characteristic::crimp_diameter, 3) != nullptr);
    const auto& f = *find(high, Characteristic::crimp_diameter, 3);
    CHECK(f.side == Side::above);
    CHECK(f.margin == -(10_um));
    CHECK(f.lower == 25'300_um);
    CHECK(f.upper == 25'700_um);
    CHECK(f.value == 25'710_um);
    CHECK(what_may_follow(high, 0, row.recrimps_allowed).recrimp);

    const auto low = with_second(25'290_um);
    CHECK(low.verdict == Verdict::fails);
    CHECK(find(low, Characteristic::crimp_diameter, 3)->side == Side::below);
    CHECK(find(low, Characteristic::crimp_diameter, 3)->margin == -(10_um));
    CHECK_FALSE(what_may_follow(low, 0, row.recrimps_allowed).recrimp);
    CHECK(what_may_follow(low, 0, row.recrimps_allowed).scrap);
}

TEST_CASE("A mean inside the band rescues no reading outside it") {
    auto row = sample_row();
    row.spread_limit = 1'000_um;
    auto r = good();
    r.crimps = {{1, {25'710_um, exact}}, {3, {25'500_um, exact}}, {4, {25'290_um, exact}}};
    const auto j = judge_end(row, r);
    CHECK(j.mean == 25'500_um);
    CHECK(j.verdict == Verdict::fails);
    CHECK_FALSE(j.passes());
}

TEST_CASE("R5: a reading between guard and limit makes the end uncertain, never a pass") {
    auto r = good(caliper);
    CHECK(judge_end(sample_row(), r).passes());
    r.crimps = {{1, {25'690_um, caliper}}, {3, {25'650_um, caliper}}, {4, {25'650_um, caliper}}};
    const auto j = judge_end(sample_row(), r);
    CHECK(j.verdict == Verdict::uncertain);
    CHECK(j.complete());
    CHECK_FALSE(j.passes());
    const auto& f = *find(j, Characteristic::crimp_diameter, 1);
    CHECK(f.verdict == Verdict::uncertain);
    CHECK(f.side == Side::above);
    CHECK(f.margin == 10_um);
    CHECK(f.guard == 19'800_nm);
    // A failure elsewhere weighs more.
    r.mark_after_seen = MarkSeen::gap;
    CHECK(judge_end(sample_row(), r).verdict == Verdict::fails);
    // The same readings under simple acceptance conform: the row's rule decides, and the row is kept with the record.
    auto row = sample_row();
    row.rule = {RuleKind::simple, 0};
    r.mark_after_seen = MarkSeen::at_edge;
    CHECK(judge_end(row, r).passes());
}

TEST_CASE("A depth short of its band fails low, whatever the crimp") {
    auto r = good();
    r.depth = Measured{37'400_um, exact};
    const auto j = judge_end(sample_row(), r);
    CHECK(j.verdict == Verdict::fails);
    CHECK(find(j, Characteristic::depth)->side == Side::below);
    CHECK(find(j, Characteristic::depth)->margin == -(100_um));
}

TEST_CASE("The spread is judged once every flat is read, with the uncertainty of a difference") {
    auto r = good(caliper);
    r.crimps = {{1, {25'450_um, caliper}}, {3, {25'500_um, 5_um}}};
    CHECK_FALSE(judge_end(sample_row(), r).spread.has_value());
    r.crimps.push_back({4, {25'600_um, 5_um}});
    const auto j = judge_end(sample_row(), r);
    CHECK(j.spread == 150_um);
    const auto& f = *find(j, Characteristic::spread);
    // sqrt(2) x 12 um = 16 970.56 nm, up to 16 971; x 1.65 = 28 002.15 nm, up to 28 003.
    CHECK(f.guard == 28'003_nm);
    CHECK(f.verdict == Verdict::uncertain);  // on its limit
    CHECK(f.side == Side::above);
    CHECK(f.margin == 0_nm);
    CHECK_FALSE(f.lower.has_value());
    CHECK(f.upper == 150_um);
    r.crimps.back().measured.value = 25'600'001_nm;
    CHECK(find(judge_end(sample_row(), r), Characteristic::spread)->verdict == Verdict::fails);
    r.crimps.back().measured.value = 25'450_um + 150_um - 28'003_nm;
    CHECK(judge_end(sample_row(), r).passes());
}

TEST_CASE("One place alone has no spread") {
    auto row = sample_row();
    row.flats = {1};
    auto r = good();
    r.crimps = {{1, {25'500_um, exact}}};
    const auto j = judge_end(row, r);
    CHECK(j.passes());
    CHECK_FALSE(j.spread.has_value());
    CHECK(find(j, Characteristic::spread) == nullptr);
}

TEST_CASE("R1: a row that names no place to measure never lets an end pass") {
    auto row = sample_row();
    row.flats.clear();
    CHECK(judge_end(row, good()).missing == std::vector{Characteristic::crimp_diameter});
}

TEST_CASE("Of two readings at one flat the later counts") {
    auto r = good();
    r.crimps.insert(r.crimps.begin(), {1, {25'900_um, exact}});
    CHECK(judge_end(sample_row(), r).passes());
    r.crimps.push_back({1, {25'900_um, exact}});
    const auto j = judge_end(sample_row(), r);
    CHECK(j.verdict == Verdict::fails);
    CHECK(find(j, Characteristic::crimp_diameter, 1)->value == 25'900_um);
}

TEST_CASE("A place that the row does not ask for can stop an end and cannot complete it") {
    auto r = good();
    r.crimps.push_back({2, {25'900_um, exact}});
    const auto j = judge_end(sample_row(), r);
    CHECK(j.verdict == Verdict::fails);
    CHECK(j.findings[5].flat == 2);
    auto other = good();
    other.crimps[0].flat = 2;
    CHECK_FALSE(judge_end(sample_row(), other).complete());
}

TEST_CASE("A mark by sight conforms at the shell's edge only") {
    for (const auto seen : {MarkSeen::gap, MarkSeen::hidden}) {
        auto r = good();
        r.mark_before_seen = seen;
        const auto j = judge_end(sample_row(), r);
        CHECK(j.verdict == Verdict::fails);
        CHECK(find(j, Characteristic::mark_before)->seen == seen);
        CHECK_FALSE(find(j, Characteristic::mark_before)->value.has_value());
        r = good();
        r.mark_after_seen = seen;
        CHECK(find(judge_end(sample_row(), r), Characteristic::mark_after)->verdict == Verdict::fails);
    }
    // A distance does not answer a row that asks for eyes.
    auto r = good();
    r.mark_after_seen.reset();
    r.mark_after_measured = Measured{0_um, exact};
    CHECK(judge_end(sample_row(), r).missing == std::vector{Characteristic::mark_after});
}

TEST_CASE("A measured mark stands within its limit, and one hidden in the shell fails without a measurement") {
    const auto row = full_row();
    auto r = full_readings();
    const auto& at_limit = judge_end(row, r);
    CHECK(find(at_limit, Characteristic::mark_after)->margin == 0_nm);
    CHECK(find(at_limit, Characteristic::mark_after)->verdict == Verdict::conforms);
    r.mark_after_measured = Measured{1'000'001_nm, exact};
    CHECK(find(judge_end(row, r), Characteristic::mark_after)->side == Side::above);
    r.mark_after_measured = Measured{-(1_nm), exact};
    CHECK(find(judge_end(row, r), Characteristic::mark_after)->verdict == Verdict::fails);
    CHECK(find(judge_end(row, r), Characteristic::mark_after)->side == Side::below);

    r.mark_after_measured.reset();
    r.mark_after_seen = MarkSeen::hidden;
    CHECK(judge_end(row, r).complete());
    CHECK(judge_end(row, r).verdict == Verdict::fails);
    r.mark_after_measured = Measured{0_um, exact};
    CHECK(judge_end(row, r).verdict == Verdict::fails);
    // "At the edge" and "a gap" do not stand in for the distance that the row asks for.
    for (const auto seen : {MarkSeen::at_edge, MarkSeen::gap}) {
        r.mark_after_measured.reset();
        r.mark_after_seen = seen;
        CHECK(judge_end(row, r).missing == std::vector{Characteristic::mark_after});
    }
}

TEST_CASE("A dry stem and a pin that does not pass fail where the row asks for them") {
    auto r = full_readings();
    r.lubricated = false;
    CHECK(find(judge_end(full_row(), r), Characteristic::lubricant)->verdict == Verdict::fails);
    r = full_readings();
    r.pin_passed = false;
    CHECK(find(judge_end(full_row(), r), Characteristic::bore_pin)->verdict == Verdict::fails);
}

TEST_CASE("The mean is kept to the nearest nanometre, half to even") {
    const auto mean = [](std::vector<std::int64_t> nm) {
        auto row = sample_row();
        row.flats.clear();
        EndReadings r;
        for (std::size_t i = 0; i < nm.size(); ++i) {
            row.flats.push_back(static_cast<std::int64_t>(i) + 1);
            r.crimps.push_back({static_cast<std::int64_t>(i) + 1, {Length::from_nm(nm[i]), exact}});
        }
        return judge_end(row, r).mean->nm();
    };
    CHECK(mean({25'500'000, 25'500'001}) == 25'500'000);
    CHECK(mean({25'500'001, 25'500'002}) == 25'500'002);
    CHECK(mean({25'500'000, 25'500'000, 25'500'001}) == 25'500'000);
    CHECK(mean({25'500'000, 25'500'001, 25'500'001}) == 25'500'001);
    CHECK(mean({-1, 0}) == 0);
    CHECK(mean({-2, -1}) == -2);
    CHECK(mean({9'000'000'000'000'000'000, 9'000'000'000'000'000'000}) == 9'000'000'000'000'000'000);
}

TEST_CASE("A wild reading fails loudly instead of wrapping round") {
    auto r = good(caliper);
    r.crimps[0].measured.value = Length::from_nm(std::numeric_limits<std::int64_t>::max());
    r.crimps[1].measured.value = Length::from_nm(std::numeric_limits<std::int64_t>::min());
    const auto j = judge_end(sample_row(), r);
    CHECK(j.verdict == Verdict::fails);
    CHECK(find(j, Characteristic::crimp_diameter, 1)->side == Side::above);
    CHECK(find(j, Characteristic::crimp_diameter, 3)->side == Side::below);
    CHECK(find(j, Characteristic::spread)->verdict == Verdict::fails);
    CHECK(j.conformity_ppm == 0);
}

TEST_CASE("The record names the conformity of the least sure crimp reading, rounded down") {
    auto row = sample_row();
    row.spread_limit = 400_um;
    auto r = good(caliper);
    r.crimps = {{1, {25'500_um, caliper}}, {3, {25'680'200_nm, caliper}}, {4, {25'500_um, caliper}}};
    // On the guard of 1.65 u: Phi(1.65) = 0.950 528 53 (recomputed with another program).
    CHECK(judge_end(row, r).conformity_ppm == 950'528);
    r.crimps[1].measured.value = 25'700_um;
    CHECK(judge_end(row, r).conformity_ppm == 500'000);
    CHECK(judge_end(row, {}).conformity_ppm == 0);
}

TEST_CASE("A single length is judged alone as it is within its end") {
    const auto row = full_row();
    const auto j = judge_end(row, full_readings());
    CHECK(judge_length(row, Characteristic::depth, 0, {38'000_um, exact}) == *find(j, Characteristic::depth));
    CHECK(judge_length(row, Characteristic::crimp_diameter, 3, {25'500_um, exact}) ==
          *find(j, Characteristic::crimp_diameter, 3));
    CHECK_FALSE(judge_length(row, Characteristic::lubricant, 0, {1_um, exact}).has_value());
    CHECK_FALSE(judge_length(row, Characteristic::bore_pin, 0, {1_um, exact}).has_value());
    CHECK_FALSE(judge_length(sample_row(), Characteristic::mark_after, 0, {1_um, exact}).has_value());
    CHECK_FALSE(judge_length(sample_row(), Characteristic::skive_outer, 0, {1_um, exact}).has_value());
    CHECK_FALSE(judge_length(sample_row(), Characteristic::skive_inner, 0, {1_um, exact}).has_value());
}

TEST_CASE("R4: moving a reading out of the band never makes an end conform, and a finer gauge never makes it worse") {
    const auto crimp_of = [] { return Length::from_nm(*rc::gen::inRange<std::int64_t>(25'200'000, 25'800'000)); };
    CHECK(rc::check("out of the band is out", [&] {
        auto row = sample_row();
        row.spread_limit = Length::from_um(*rc::gen::inRange<std::int64_t>(1, 700));
        const auto u = Length::from_nm(*rc::gen::inRange<std::int64_t>(0, 60'000));
        auto r = good(u);
        for (auto& crimp : r.crimps)
            crimp.measured.value = crimp_of();
        const auto place = *rc::gen::inRange<std::size_t>(0, 3);
        const auto beyond = Length::from_nm(*rc::gen::inRange<std::int64_t>(1, 1'000'000));
        const auto band = row.crimp.band();
        r.crimps[place].measured.value = *rc::gen::arbitrary<bool>() ? band.upper + beyond : band.lower - beyond;
        RC_ASSERT(judge_end(row, r).verdict == Verdict::fails);
    }));
    CHECK(rc::check("towards the middle of the band and with less uncertainty the answer never gets worse", [&] {
        const auto worth = [](Verdict v) { return v == Verdict::conforms ? 2 : v == Verdict::uncertain ? 1 : 0; };
        const auto row = sample_row();
        const auto u = *rc::gen::inRange<std::int64_t>(0, 60'000);
        const auto away = *rc::gen::inRange<std::int64_t>(0, 300'000);
        const auto nearer = *rc::gen::inRange<std::int64_t>(0, away + 1);
        const auto finer = *rc::gen::inRange<std::int64_t>(0, u + 1);
        const int side = *rc::gen::arbitrary<bool>() ? 1 : -1;
        const auto judged = [&](std::int64_t distance, std::int64_t uncertainty) {
            return judge_length(row, Characteristic::crimp_diameter, 1,
                                {row.crimp.nominal + Length::from_nm(side * distance), Length::from_nm(uncertainty)})
                ->verdict;
        };
        RC_ASSERT(worth(judged(nearer, finer)) >= worth(judged(away, u)));
    }));
}

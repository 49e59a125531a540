// R4 where lengths are read: the cases that the pages must agree with, and what rounding may never do.
#include <rapidcheck.h>

#include <fstream>
#include <map>
#include <vector>

#include "specs/shown_length.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

using Row = std::vector<std::string>;

std::vector<Row> cases() {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/tests/data/shown_lengths.csv");
    std::vector<Row> out;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line.front() == '#') continue;
        Row row(1);
        for (const char c : line) {
            if (c == ',')
                row.emplace_back();
            else
                row.back() += c;
        }
        out.push_back(row);
    }
    return out;
}

Length nm(const std::string& text) {
    return Length::from_nm(parse_decimal(text)->digits);
}
LengthUnit unit(const std::string& text) {
    return text == "in" ? LengthUnit::inch : LengthUnit::mm;
}

}  // namespace

TEST_CASE("R4: lengths are shown as the table says, in both units and for gauges of both") {
    std::map<std::string, int> seen;
    for (const auto& c : cases()) {
        std::string told;
        for (const auto& cell : c)
            told += cell + " ";
        INFO(told);
        ++seen[c[0]];
        if (c[0] == "places") {
            CHECK(std::to_string(places_of(nm(c[1]), unit(c[2]))) == c[3]);
        } else if (c[0] == "length") {
            CHECK(shown_length(nm(c[1]), unit(c[2]), nm(c[3])) == c[4]);
        } else if (c[0] == "apart") {
            CHECK(std::to_string(places_apart(nm(c[1]), nm(c[2]), unit(c[3]), std::stoi(c[4]))) == c[5]);
        } else if (c[0] == "band") {
            const auto band = shown_band(nm(c[1]), nm(c[2]), unit(c[3]), nm(c[4]));
            CHECK(band.lower == c[5]);
            CHECK(band.upper == c[6]);
        } else if (c[0] == "beside") {
            const auto band = shown_band(nm(c[2]), nm(c[3]), unit(c[4]), nm(c[5]), nm(c[1]));
            CHECK(to_text(nm(c[1]), unit(c[4]), band.places) == c[6]);
            CHECK(band.lower == c[7]);
            CHECK(band.upper == c[8]);
        } else {
            FAIL("no such case");
        }
    }
    CHECK(seen.size() == 5);
    CHECK(seen["places"] >= 15);
}

TEST_CASE("R4: what any gauge reads around a limit is shown on the side of it on which it was judged") {
    const bool holds = rc::check([] {
        const auto in_unit = *rc::gen::element(LengthUnit::mm, LengthUnit::inch);
        const auto step = Length::from_nm(*rc::gen::element(10'000, 20'000, 1'000, 12'700, 25'400, 2'540, 50'000));
        const auto lower = Length::from_nm(*rc::gen::inRange<std::int64_t>(1'000'000, 60'000'000));
        const auto upper = lower + Length::from_nm(*rc::gen::inRange<std::int64_t>(0, 2'000'000));
        const auto near = *rc::gen::element(lower, upper);
        const auto value = step * (near.nm() / step.nm() + *rc::gen::inRange<std::int64_t>(-2, 4));
        const auto band = shown_band(lower, upper, in_unit, step, value);
        const auto as_shown = [&](const std::string& text) { return *Length::parse(text, LengthUnit::mm); };
        // All have the same number of places, so that they compare as numbers whatever their unit.
        const auto v = as_shown(to_text(value, in_unit, std::min(band.places, 6)));
        const auto l = as_shown(to_text(lower, in_unit, std::min(band.places, 6)));
        const auto u = as_shown(to_text(upper, in_unit, std::min(band.places, 6)));
        RC_PRE(band.places <= 6);
        RC_ASSERT((v > u) == (value > upper));
        RC_ASSERT((v < l) == (value < lower));
    });
    CHECK(holds);
}

TEST_CASE("R4: readings one step apart never look the same") {
    for (const auto in_unit : {LengthUnit::mm, LengthUnit::inch})
        for (const std::int64_t step : {10'000, 12'700, 25'400, 1'000, 50'000})
            for (std::int64_t n = 2'000; n < 3'000; ++n) {
                const auto resolution = Length::from_nm(step);
                const auto one = shown_length(resolution * n, in_unit, resolution);
                const auto next = shown_length(resolution * (n + 1), in_unit, resolution);
                if (one == next) FAIL(step << " nm, reading " << n << ": " << one);
            }
    SUCCEED();
}

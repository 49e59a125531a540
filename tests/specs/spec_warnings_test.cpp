#include <algorithm>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "specs/spec_checks.h"
#include "specs/spec_table.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

SpecTable example() {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/specs/examples/demo_table.csv", std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    auto table = parse_spec_table(text);
    REQUIRE(table.has_value());
    return *std::move(table);
}

// The warnings about the example's first row, a -8 hose to EN 853 2SN, after a change to it.
template <class Change>
std::vector<TableWarning> after(Change change) {
    auto table = example();
    table.rows.resize(1);
    change(table.rows[0]);
    return warnings_of(table);
}

std::string codes(const std::vector<TableWarning>& warnings) {
    std::string all;
    for (const auto& w : warnings)
        all += (all.empty() ? "" : " ") + w.code;
    return all;
}

std::string detail(const TableWarning& warning, std::string_view name) {
    for (const auto& d : warning.details)
        if (d.name == name) return d.text;
    return "no " + std::string(name);
}

Length mm(std::string_view text) {
    return Length::parse_mm(text).value();
}

}  // namespace

// Source: EN 853 type 2SN, size -8: 275 bar, bend radius 180 mm, -40 to +100 C.
TEST_CASE("A hose rated above its standard's working pressure is shown to a person, one on it is not") {
    CHECK(after([](SpecRow&) {}).empty());
    const auto above =
        after([](SpecRow& row) { row.hose.working_pressure = *Rating::parse("276", PressureUnit::bar); });
    REQUIRE(codes(above) == "table.warn.pressure_above_standard");
    CHECK(above[0].spec_id == "NW-208-16S");
    CHECK(detail(above[0], "standard") == "EN 853 2SN");
    CHECK(detail(above[0], "dash") == "8");
    CHECK(detail(above[0], "found") == "276 bar");
    CHECK(detail(above[0], "standard_bar") == "275");
    CHECK(detail(above[0], "mark") == "A");
    CHECK(codes(after([](SpecRow& row) { row.hose.working_pressure.pressure = Pressure::from_kpa(27'501); })) ==
          "table.warn.pressure_above_standard");
    // 4000 psi is what an American catalogue prints for this hose: 275.79 bar, so a person looks at it.
    CHECK(codes(after([](SpecRow& row) { row.hose.working_pressure = *Rating::parse("4000", PressureUnit::psi); })) ==
          "table.warn.pressure_above_standard");
}

TEST_CASE("A bend radius below the standard's is shown to a person") {
    const auto below = after([](SpecRow& row) { row.hose.bend_radius = mm("179.9"); });
    REQUIRE(codes(below) == "table.warn.bend_below_standard");
    CHECK(detail(below[0], "found_mm") == "179.900");
    CHECK(detail(below[0], "standard_mm") == "180");
    CHECK(detail(below[0], "mark") == "B");
}

TEST_CASE("A temperature beyond the standard's range is shown to a person") {
    CHECK(codes(after([](SpecRow& row) { row.hose.temperature_max_c = 101; })) ==
          "table.warn.temperature_beyond_standard");
    CHECK(codes(after([](SpecRow& row) { row.hose.temperature_min_c = -41; })) ==
          "table.warn.temperature_beyond_standard");
    CHECK(codes(after([](SpecRow& row) { row.hose.temperature_max_c = 80; })).empty());
}

// Source: R12 is printed as 276, 275 and 280 bar; the highest in print does not warn.
TEST_CASE("Where a standard is printed with several pressures, only one above them all is shown") {
    const auto rated = [](std::int64_t bar) {
        return codes(after([bar](SpecRow& row) {
            row.hose.standard = "SAE 100R12";
            row.hose.working_pressure.pressure = Pressure::from_bar(bar);
        }));
    };
    CHECK(rated(280).empty());
    CHECK(rated(281) == "table.warn.pressure_above_standard");
}

TEST_CASE("A standard or a size that no published table here has is said to be unchecked") {
    CHECK(codes(after([](SpecRow& row) { row.hose.standard = "EN 853 3SN"; })) == "table.warn.standard_unknown");
    CHECK(codes(after([](SpecRow& row) { row.hose.standard = "EN 856 4SH"; })) == "table.warn.size_not_in_standard");
    CHECK(codes(after([](SpecRow& row) { row.hose.standard.clear(); })).empty());
}

TEST_CASE("Odd figures are shown: one place only, a spread wider than the band, a pin wider than the bore") {
    CHECK(codes(after([](SpecRow& row) { row.flats = {1}; })) == "table.warn.one_place");
    CHECK(codes(after([](SpecRow& row) { row.spread_limit = mm("0.4"); })).empty());
    CHECK(codes(after([](SpecRow& row) { row.spread_limit = mm("0.41"); })) == "table.warn.spread_wider_than_band");
    CHECK(codes(after([](SpecRow& row) { row.bore_pin = mm("9.3"); })).empty());
    CHECK(codes(after([](SpecRow& row) { row.bore_pin = mm("9.31"); })) == "table.warn.pin_wider_than_bore");
    CHECK(codes(after([](SpecRow& row) { row.crimp.nominal = mm("12.6"); })) ==
          "table.warn.crimp_unlikely geometry.impossible");  // this row has shell and stem sizes, which say so as well
    CHECK(codes(after([](SpecRow& row) { row.depth.nominal = mm("1.1"); })) == "table.warn.depth_unlikely");
}

// Shell 29.0/23.5, stem 12.5/9.5 going to 9.3, hose 12.9/22.4: a constructed case in which a crimp of 25.5 mm presses
// the wall by 29.85 %; at 27.5 mm the shell is still 21.6 mm inside and presses hardly at all.
TEST_CASE("A crimp that would hardly press the hose between its own shell and stem is shown to a person") {
    CHECK(codes(after([](SpecRow& row) { row.crimp.nominal = mm("27.5"); })) == "geometry.unusual_compression");
    CHECK(codes(after([](SpecRow& row) {
              row.crimp.nominal = mm("27.5");
              row.geometry.reset();
          })).empty());
}

TEST_CASE("One hose has one rating in a table, whatever sits on its ends") {
    auto table = example();
    table.rows[1].hose.working_pressure = *Rating::parse("27.5", PressureUnit::mpa);
    CHECK(warnings_of(table).empty());  // written otherwise, and the same
    table.rows[1].hose.working_pressure = *Rating::parse("250", PressureUnit::bar);
    const auto differs = warnings_of(table);
    REQUIRE(codes(differs) == "table.warn.hose_differs");
    CHECK(differs[0].spec_id == "NW-208-G12");
    CHECK(detail(differs[0], "other") == "NW-208-16S");
}

TEST_CASE("The plausible crimp of a size tells millimetres from inches: its ends are less than 25.4 apart") {
    for (std::int64_t dash = 2; dash <= 64; ++dash) {
        INFO("-" << dash);
        const auto range = plausible_crimp(dash);
        CHECK(range.lower > Length());
        CHECK(range.upper.nm() * 10 < range.lower.nm() * 254);
        CHECK(plausible_depth(dash).lower < plausible_depth(dash).upper);
    }
}

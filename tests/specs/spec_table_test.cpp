#include "specs/spec_table.h"

#include <rapidcheck.h>

#include "tests/specs/spec_sheet.h"

using namespace crimpgate;
using namespace crimpgate::spec_sheet;

TEST_CASE("The demonstration's table is read cell for cell") {
    const auto table = parse_spec_table(file_text("examples/demo_table.csv"));
    REQUIRE(table.has_value());
    REQUIRE(table->rows.size() == 4);

    const auto& a = table->rows[0];
    CHECK(a.spec_id == "NW-208-16S");
    CHECK(a.revision == "A");
    CHECK(a.hose.maker == "Nimbelwick (invented)");
    CHECK(a.hose.type == "NW-208");
    CHECK(a.hose.dash == 8);
    CHECK(a.hose.standard == "EN 853 2SN");
    CHECK(a.hose.working_pressure == Rating{Pressure::from_bar(275), "275 bar"});
    CHECK(a.hose.bend_radius == mm("180"));
    CHECK(a.hose.temperature_min_c == -40);
    CHECK(a.hose.temperature_max_c == 100);
    CHECK(a.fitting.maker == a.hose.maker);
    CHECK(a.fitting.series == "F200");
    CHECK(a.fitting.end_family == "ISO 12151-2");
    CHECK(a.fitting.end_form == "24 deg cone, female swivel, straight");
    CHECK(a.fitting.dash == 8);
    CHECK(a.fitting.end_size == "16S");
    CHECK(a.fitting.working_pressure.pressure == Pressure::from_bar(400));
    CHECK(a.fitting.cut_off == mm("32"));
    CHECK(a.pairing_approval.empty());
    CHECK(a.die_set == "D29");
    CHECK(a.crimper == "Bench crimper (invented)");
    CHECK(a.setting == "4.20");
    CHECK(a.die_segments == 8);
    CHECK(a.crimp == Toleranced{mm("25.5"), mm("0.2"), mm("0.2")});
    CHECK(a.flats == std::vector<std::int64_t>{1, 2, 3, 4});
    CHECK(a.spread_limit == mm("0.2"));
    CHECK(a.depth == Toleranced{mm("28"), mm("0.5"), mm("0.5")});
    CHECK(a.mark_edge_limit == mm("1"));
    CHECK(a.mark_check == MarkCheck::by_sight);
    CHECK(a.skive == Skive::none);
    CHECK_FALSE(a.skive_outer.has_value());
    CHECK_FALSE(a.skive_inner.has_value());
    CHECK(a.lubricant == "soap and water, thin film on the stem");
    CHECK(a.bore_pin == mm("9.2"));
    CHECK(a.recrimps_allowed == 1);
    CHECK(a.rule == DecisionRule{RuleKind::guarded, 1650});
    CHECK(a.geometry == ShellAndStem{mm("29"), mm("23.5"), mm("12.5"), mm("9.5"), mm("9.3"), mm("12.9"), mm("22.4")});
    CHECK(a.source.find("Invented") == 0);

    const auto& b = table->rows[1];
    CHECK(b.hose == a.hose);
    CHECK(b.crimp == a.crimp);
    CHECK(b.fitting.end_form != a.fitting.end_form);

    const auto& c = table->rows[2];
    CHECK(c.pairing_approval == "Letter OH-7 of both makers (invented)");
    CHECK(c.skive == Skive::outer);
    CHECK(c.skive_outer == Toleranced{mm("36"), mm("1"), mm("1")});
    CHECK(c.mark_check == MarkCheck::measured);
    CHECK(c.rule == DecisionRule{RuleKind::guarded, 2000});
    CHECK(c.recrimps_allowed == 2);

    const auto& d = table->rows[3];
    CHECK(d.rule == DecisionRule{RuleKind::simple, 0});
    CHECK(d.lubricant.empty());
    CHECK_FALSE(d.bore_pin.has_value());
    CHECK_FALSE(d.geometry.has_value());
    CHECK(d.recrimps_allowed == 0);
    CHECK(warnings_of(*table).empty());
}

TEST_CASE("R4: a table in inches is exact, psi round down, and -8 is the same size as 8") {
    const auto table = parse_spec_table(file_text("examples/demo_table_in.csv"));
    REQUIRE(table.has_value());
    const auto& row = table->rows.at(0);
    CHECK(row.crimp.nominal.nm() == 25'501'600);  // 1.004 in x 25.4 mm
    CHECK(row.crimp.minus.nm() == 203'200);       // 0.008 in
    CHECK(row.crimp.band().upper.nm() == 25'704'800);
    CHECK(row.depth.nominal.nm() == 27'940'000);  // 1.10 in
    CHECK(row.hose.dash == 8);
    CHECK(row.fitting.dash == 8);
    CHECK(row.hose.working_pressure.as_given == "3988 psi");
    CHECK(row.hose.working_pressure.pressure.kpa() == 27'496);  // 27496.29
    CHECK(warnings_of(*table).empty());
}

TEST_CASE("Each fault of the hostile table is named, with line and column, all at once") {
    const auto table = parse_spec_table(file_text("examples/bad/hostile.csv"));
    REQUIRE_FALSE(table.has_value());
    struct Expected {
        std::int64_t line;
        std::string column;
        std::string code;
    };
    const std::vector<Expected> expected = {
        {1, "cutoff_mm", "table.unknown_column"},
        {1, "hose_dash", "table.column_twice"},
        {1, "Source", "table.unknown_column"},
        {1, "bend_radius_mm or bend_radius_in", "table.missing_column"},
        {1, "cut_off_mm or cut_off_in", "table.missing_column"},
        {1, "depth_in", "table.units_mixed"},
        {3, "spec_id", "table.spec_id_twice"},
        {3, "hose_type", "table.row_twice"},
        {4, "crimp_minus_mm", "table.limits_wrong_way_round"},
        {4, "crimp_plus_mm", "table.tolerance_zero"},
        {5, "crimp_mm", "table.unit_mixed_up"},
        {6, "crimp_mm", "table.unit_mixed_up"},
        {7, "fitting_dash", "table.dash_mismatch"},
        {8, "pairing_approval", "table.pairing_not_approved"},
        {9, "spec_id", "table.empty"},
        {9, "hose_type", "table.empty"},
        {10, "crimp_mm", "decimal.wrong_mark"},
        {10, "spread_mm", "decimal.exponent"},
        {10, "depth_minus_mm", "length.too_fine"},
        {10, "mark_edge_mm", "decimal.strange_character"},
        {11, "hose_wp_bar", "table.pressure_too_large"},
        {11, "die_segments", "table.segments_odd"},
        {11, "depth_in", "table.length_too_large"},
        {11, "bore_pin_mm", "decimal.too_many_digits"},
        {12, "flats", "table.flat_twice"},
        {13, "flats", "table.flat_out_of_range"},
        {14, "flats", "table.flats_not_a_list"},
        {15, "flats", "table.flats_not_a_list"},
        {16, "recrimps", "table.out_of_range"},
        {16, "temperature_max_c", "table.limits_wrong_way_round"},
        {17, "hose_dash", "table.out_of_range"},
        {17, "fitting_dash", "decimal.strange_character"},
        {17, "die_segments", "table.out_of_range"},
        {17, "recrimps", "table.not_whole"},
        {18, "die_set", "table.control_character"},
        {20, "end_size", "table.invisible_character"},
        {20, "source", "table.text_too_long"},
        {21, "skive_outer_mm", "table.empty"},
        {21, "skive_outer_minus_mm", "table.empty"},
        {21, "skive_outer_plus_mm", "table.empty"},
        {22, "skive_outer_mm", "table.skive_not_asked_for"},
        {23, "end_family", "table.not_a_choice"},
        {23, "mark_check", "table.not_a_choice"},
        {23, "skive", "table.not_a_choice"},
        {23, "rule", "table.not_a_choice"},
        {24, "guard_factor", "table.factor_without_guard"},
        {25, "guard_factor", "table.guard_factor_too_fine"},
        {26, "guard_factor", "table.out_of_range"},
        {27, "guard_factor", "decimal.strange_character"},
        {28, "stem_od_mm", "table.geometry_incomplete"},
        {28, "shell_id_mm", "table.sizes_contradict"},
        {29, "crimp_mm", "table.sizes_contradict"},
        {29, "stem_bore_after_mm", "table.sizes_contradict"},
        {30, "hose_wp_bar", "pressure.not_positive"},
        {30, "fitting_wp_bar", "pressure.too_fine"},
        {31, "crimp_minus_mm", "table.limit_below_zero"},
        {31, "spread_mm", "table.not_positive"},
        {31, "depth_plus_mm", "table.limits_wrong_way_round"},
        {32, "temperature_min_c", "decimal.strange_character"},
        {32, "lubricant", "table.control_character"},
        {33, "", "csv.uneven"},
        {34, "die_set", "csv.bare_quote"},
        {35, "die_set", "csv.text_after_quote"},
        {36, "die_set", "csv.invalid_utf8"},
        {38, "Source", "csv.unterminated_quote"},
    };
    const auto& found = table.error();
    for (std::size_t i = 0; i < std::min(found.size(), expected.size()); ++i) {
        INFO("error " << i << ": line " << found[i].line << ", " << found[i].column << ", " << found[i].why.code);
        CHECK(found[i].line == expected[i].line);
        CHECK(found[i].column == expected[i].column);
        CHECK(found[i].why.code == expected[i].code);
        CHECK(found[i].why.detail("column") == expected[i].column);
        CHECK(found[i].why.detail("line") == std::to_string(expected[i].line));
    }
    CHECK(found.size() == expected.size());
}

TEST_CASE("An error says what was found and what was expected") {
    const auto error_of = [](const Sheet::Changes& changes) {
        const auto table = parse_spec_table(Sheet().set(changes).text());
        REQUIRE_FALSE(table.has_value());
        return table.error().front();
    };
    const auto recrimps = error_of({{"recrimps", "3"}});
    CHECK(recrimps.found == "3");
    CHECK(recrimps.expected == "0..2");
    CHECK(recrimps.why.detail("expected") == "0..2");
    const auto family = error_of({{"end_family", "BSP"}});
    CHECK(family.found == "BSP");
    CHECK(family.expected.find("ISO 12151-6") != std::string::npos);
    const auto dash = error_of({{"fitting_dash", "-10"}});
    CHECK(dash.found == "-10");
    CHECK(dash.expected == "8");
    const auto unit = error_of({{"crimp_mm", "1.004"}});
    CHECK(unit.found == "1.004");
    CHECK(unit.expected == "12.7..40.6 mm");  // 0.8 x 15.9 mm over the wire of 1SC, 1.6 x 25.4 mm over the cover of 4SP
}

TEST_CASE("A misspelt column is answered with the name that was meant") {
    const auto table = parse_spec_table(Sheet().rename("crimp_mm", "krimp_mm").rename("source", "Source").text());
    REQUIRE_FALSE(table.has_value());
    Lines meant;
    for (const auto& e : table.error())
        if (e.why.code == "table.unknown_column") meant.push_back(e.found + " > " + e.expected);
    CHECK(meant == Lines{"krimp_mm > crimp_mm", "Source > source"});
}

TEST_CASE("Every mandatory column is missed when it is not there, and every optional one is not") {
    const Sheet whole;
    for (const auto& name : whole.names()) {
        INFO(name);
        const auto found = errors(Sheet().drop(name));
        const bool missed = !found.empty() && found.front().find("table.missing_column") != std::string::npos;
        bool optional = false;
        for (const auto* o : {"hose_standard", "pairing_approval", "skive_outer_mm", "skive_outer_minus_mm",
                              "skive_outer_plus_mm", "bore_pin_mm", "guard_factor", "shell_od_mm", "shell_id_mm",
                              "stem_od_mm", "stem_bore_mm", "stem_bore_after_mm", "hose_id_mm", "hose_od_mm"})
            optional = optional || name == o;
        CHECK(missed == !optional);
    }
}

TEST_CASE("A column may be there once, in one unit, and all lengths of a file are in the same unit") {
    CHECK(errors(Sheet().column("recrimps", "1")) == Lines{"1 recrimps table.column_twice"});
    const auto both = parse_spec_table(Sheet().column("crimp_in", "1.004").text());
    REQUIRE_FALSE(both.has_value());
    CHECK(both.error().front().why.code == "table.column_twice");
    CHECK(both.error().front().why.detail("other") == "crimp_mm");

    const auto mixed = parse_spec_table(Sheet().rename("depth_mm", "depth_in").set({{"depth_in", "1.1"}}).text());
    REQUIRE_FALSE(mixed.has_value());
    REQUIRE(mixed.error().size() == 1);
    CHECK(mixed.error()[0].why.code == "table.units_mixed");
    CHECK(mixed.error()[0].found == "depth_in");
    CHECK(mixed.error()[0].why.detail("other") == "bend_radius_mm");
    CHECK(errors(Sheet().rename("hose_wp_bar", "hose_wp_psi").set({{"hose_wp_psi", "3988"}})).empty());  // no length
    CHECK(errors(Sheet().column("", "x")) == Lines{"1 field 51 table.unknown_column"});
}

TEST_CASE("A file without rows, or parted by semicolons, is refused with the one thing that is wrong") {
    CHECK(errors("") == Lines{"1  table.no_rows"});
    CHECK(errors(csv_row(Sheet().names())) == Lines{"1  table.no_rows"});
    CHECK(errors(file_text("examples/bad/semicolons.csv")) == Lines{"1  table.not_parted_by_commas"});
    CHECK(errors("\xFF\xFEs") == Lines{"1  csv.utf16"});
}

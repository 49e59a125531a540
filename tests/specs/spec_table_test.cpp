#include "specs/spec_table.h"

#include <rapidcheck.h>

#include <fstream>
#include <iterator>
#include <string>
#include <utility>
#include <vector>

#include "specs/csv_write.h"
#include "specs/spec_columns.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

std::string file_text(const std::string& name) {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/specs/" + name, std::ios::binary);
    REQUIRE(file.is_open());
    return {std::istreambuf_iterator<char>(file), {}};
}

// A good one-row table in memory, of which a test changes what it is about.
class Sheet {
  public:
    using Changes = std::vector<std::pair<std::string, std::string>>;

    Sheet() {
        const auto file = read_csv(file_text("examples/demo_table.csv"));
        for (const auto& field : file.rows[0].fields)
            names_.push_back(field.text);
        for (const auto& field : file.rows[1].fields)
            first_.push_back(field.text);
        rows_.push_back(first_);
    }

    Sheet& set(const Changes& changes, std::size_t row = 0) {
        for (const auto& [name, text] : changes)
            rows_[row][index(name)] = text;
        return *this;
    }
    Sheet& add(const Changes& changes) {
        rows_.push_back(first_);
        return set(changes, rows_.size() - 1);
    }
    Sheet& rename(const std::string& from, const std::string& to) {
        names_[index(from)] = to;
        return *this;
    }
    Sheet& drop(const std::string& name) {
        const auto i = static_cast<std::ptrdiff_t>(index(name));
        names_.erase(names_.begin() + i);
        for (auto& row : rows_)
            row.erase(row.begin() + i);
        return *this;
    }
    Sheet& column(const std::string& name, const std::string& text) {
        names_.push_back(name);
        for (auto& row : rows_)
            row.push_back(text);
        return *this;
    }
    const std::vector<std::string>& names() const { return names_; }
    const std::string& cell(const std::string& name) const { return rows_[0][index(name)]; }

    std::string text() const {
        std::string all = csv_row(names_);
        for (const auto& row : rows_) {
            for (std::size_t i = 0; i < row.size(); ++i)
                all += (i == 0 ? "\"" : ",\"") + row[i] + "\"";
            all += "\r\n";
        }
        return all;
    }

  private:
    std::size_t index(const std::string& name) const {
        for (std::size_t i = 0; i < names_.size(); ++i)
            if (names_[i] == name) return i;
        FAIL("the example has no column " << name);
        return 0;
    }

    std::vector<std::string> names_;
    std::vector<std::string> first_;
    std::vector<std::vector<std::string>> rows_;
};

SpecRow only_row(const Sheet& sheet) {
    const auto table = parse_spec_table(sheet.text());
    if (!table) FAIL(table.error().front().column << ": " << table.error().front().why.code);
    REQUIRE(table->rows.size() == 1);
    return table->rows.front();
}

// "line column code" of every error.
std::vector<std::string> errors(std::string_view csv) {
    const auto table = parse_spec_table(csv);
    std::vector<std::string> all;
    if (table) return all;
    for (const auto& e : table.error())
        all.push_back(std::to_string(e.line) + " " + e.column + " " + e.why.code);
    return all;
}

std::vector<std::string> errors(const Sheet& sheet) {
    return errors(sheet.text());
}

// The only error of a sheet with these changes: "column code".
std::string the_error(const Sheet::Changes& changes) {
    const auto all = errors(Sheet().set(changes));
    if (all.empty()) return "none";
    return all.size() == 1 ? all[0].substr(2) : std::to_string(all.size()) + " errors, first " + all[0];
}

Length mm(std::string_view text) {
    return Length::parse_mm(text).value();
}

using Lines = std::vector<std::string>;

}  // namespace

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

TEST_CASE("Limits the wrong way round and tolerances of nothing are refused, for every size that has them") {
    for (const std::string size : {"crimp", "depth"})
        for (const std::string side : {"_minus", "_plus"}) {
            const auto column = size + side + "_mm";
            CHECK(the_error({{column, "-0.2"}}) == column + " table.limits_wrong_way_round");
            CHECK(the_error({{column, "0"}}) == column + " table.tolerance_zero");
            CHECK(the_error({{column, "0.000"}}) == column + " table.tolerance_zero");
            CHECK(the_error({{column, ""}}) == column + " table.empty");
        }
    CHECK(the_error({{"crimp_minus_mm", "25.5"}}) == "crimp_minus_mm table.limit_below_zero");
    CHECK(the_error({{"crimp_mm", "-25.5"}}) == "crimp_mm table.not_positive");
    CHECK(the_error({{"temperature_min_c", "100"}}) == "temperature_max_c table.limits_wrong_way_round");
}

TEST_CASE(
    "R8: inches among millimetres are found by the crimp, which is 25.4 times off, either way and in either file") {
    CHECK(the_error({{"crimp_mm", "1.004"}}) == "crimp_mm table.unit_mixed_up");
    CHECK(the_error({{"crimp_mm", "647.7"}}) == "crimp_mm table.unit_mixed_up");
    CHECK(the_error({{"crimp_mm", "12.72"}}) == "none");  // 0.8 x 15.9 mm: the smallest that is plausible
    CHECK(the_error({{"hose_dash", "48"}, {"fitting_dash", "48"}, {"crimp_mm", "4"}}) ==
          "crimp_mm table.unit_mixed_up");

    const auto inch = file_text("examples/demo_table_in.csv");
    auto wrong = inch;
    wrong.replace(wrong.find(",1.004,"), 7, ",25.50,");
    CHECK(errors(inch).empty());
    CHECK(errors(wrong) == Lines{"2 crimp_in table.unit_mixed_up"});
}

TEST_CASE(
    "A hose and a fitting of different sizes or, without an approval in writing, of different makers are refused") {
    CHECK(the_error({{"fitting_dash", "10"}}) == "fitting_dash table.dash_mismatch");
    CHECK(the_error({{"fitting_maker", "Oakhammer (invented)"}}) == "pairing_approval table.pairing_not_approved");
    CHECK(the_error({{"fitting_maker", "Oakhammer (invented)"}, {"pairing_approval", "Letter 7"}}) == "none");
    CHECK(errors(Sheet().drop("pairing_approval").set({{"fitting_maker", "Oakhammer (invented)"}})) ==
          Lines{"2 pairing_approval table.pairing_not_approved"});
}

TEST_CASE("A second row for the same hose, fitting and crimper is refused; another crimper is another row") {
    CHECK(errors(Sheet().add({{"spec_id", "X"}})) == Lines{"3 hose_type table.row_twice"});
    CHECK(errors(Sheet().add({{"spec_id", "X"}, {"setting", "9"}, {"die_set", "D30"}})) ==
          Lines{"3 hose_type table.row_twice"});
    CHECK(errors(Sheet().add({{"spec_id", "X"}, {"crimper", "Another"}})).empty());
    CHECK(errors(Sheet().add({{"spec_id", "X"}, {"end_size", "18L"}})).empty());
    CHECK(errors(Sheet().add({{"spec_id", "X"}, {"end_form", "24 deg cone, female swivel, elbow 90"}})).empty());
    CHECK(errors(Sheet().add({{"crimper", "Another"}})) == Lines{"3 spec_id table.spec_id_twice"});
    CHECK(errors(Sheet().add({{"spec_id", "X"}, {"crimper", "  Bench crimper (invented) "}})) ==
          Lines{"3 hose_type table.row_twice"});  // blanks at the ends make no other crimper
    const auto twice = parse_spec_table(Sheet().add({{"spec_id", "X"}}).text());
    CHECK(twice.error()[0].why.detail("first_line") == "2");

    const auto row = only_row(Sheet());
    auto other = row;
    CHECK(row_key(row) == row_key(other));
    other.hose.maker += "x";
    CHECK(row_key(row) != row_key(other));
    other = row;
    std::swap(other.hose.maker, other.hose.type);
    CHECK(row_key(row) != row_key(other));
}

TEST_CASE("Flats are those that the die set has: half as many diameters as segments, each once, as many as wanted") {
    CHECK(only_row(Sheet().set({{"flats", "3"}})).flats == std::vector<std::int64_t>{3});
    CHECK(only_row(Sheet().set({{"flats", " 4 ; 2 "}})).flats == std::vector<std::int64_t>{4, 2});
    CHECK(only_row(Sheet().set({{"flats", "5"}, {"die_segments", "10"}})).flats == std::vector<std::int64_t>{5});
    CHECK(the_error({{"flats", "4"}, {"die_segments", "6"}}) == "flats table.flat_out_of_range");
    CHECK(the_error({{"flats", "0"}}) == "flats table.flat_out_of_range");
    CHECK(the_error({{"flats", "-1"}}) == "flats table.flat_out_of_range");
    CHECK(the_error({{"flats", "1;1"}}) == "flats table.flat_twice");
    CHECK(the_error({{"flats", "1;01"}}) == "flats table.flat_twice");
    CHECK(the_error({{"flats", "1,2"}}) == "flats table.flats_not_a_list");
    CHECK(the_error({{"flats", "1.5"}}) == "flats table.flats_not_a_list");
    CHECK(the_error({{"flats", "1;2;"}}) == "flats table.flats_not_a_list");
    CHECK(the_error({{"flats", ""}}) == "flats table.empty");
    CHECK(the_error({{"die_segments", "7"}}) == "die_segments table.segments_odd");
    CHECK(the_error({{"die_segments", "26"}}) == "die_segments table.out_of_range");
}

TEST_CASE("Skive lengths are given exactly where the row asks for a skive") {
    const Sheet::Changes outer = {
        {"skive", "outer"}, {"skive_outer_mm", "30"}, {"skive_outer_minus_mm", "1"}, {"skive_outer_plus_mm", "0.5"}};
    CHECK(only_row(Sheet().set(outer)).skive_outer == Toleranced{mm("30"), mm("1"), mm("0.5")});
    CHECK(errors(Sheet().set({{"skive", "outer"}})) == Lines{"2 skive_outer_mm table.empty",
                                                             "2 skive_outer_minus_mm table.empty",
                                                             "2 skive_outer_plus_mm table.empty"});
    CHECK(errors(Sheet().set(outer).set({{"skive", "inner+outer"}})) ==  // this file has no columns for the inner skive
          Lines{"2 skive_inner table.skive_length_missing", "2 skive_inner_minus table.skive_length_missing",
                "2 skive_inner_plus table.skive_length_missing"});
    auto both = Sheet().set(outer).set({{"skive", "inner+outer"}});
    both.column("skive_inner_mm", "12").column("skive_inner_minus_mm", "0.5").column("skive_inner_plus_mm", "0.5");
    CHECK(only_row(both).skive_inner == Toleranced{mm("12"), mm("0.5"), mm("0.5")});
    CHECK(errors(both.set({{"skive", "outer"}})).size() == 3);
    CHECK(the_error({{"skive_outer_mm", "30"}}) == "skive_outer_mm table.skive_not_asked_for");
}

TEST_CASE(
    "R5: the decision rule is guarded with 1.65 unless the table says otherwise, and a simple one has no factor") {
    const auto rule = [](const Sheet::Changes& changes) { return only_row(Sheet().set(changes)).rule; };
    CHECK(rule({{"rule", "guarded"}}) == DecisionRule{RuleKind::guarded, 1650});
    CHECK(rule({{"rule", "guarded"}, {"guard_factor", "2"}}) == DecisionRule{RuleKind::guarded, 2000});
    CHECK(rule({{"rule", "guarded"}, {"guard_factor", "1.645"}}) == DecisionRule{RuleKind::guarded, 1645});
    CHECK(rule({{"rule", "guarded"}, {"guard_factor", "1.6450"}}) == DecisionRule{RuleKind::guarded, 1645});
    CHECK(rule({{"rule", "simple"}}) == DecisionRule{RuleKind::simple, 0});
    CHECK(the_error({{"guard_factor", "1.6449"}}) == "guard_factor table.guard_factor_too_fine");
    CHECK(the_error({{"guard_factor", "0"}}) == "guard_factor table.out_of_range");
    CHECK(the_error({{"guard_factor", "-1"}}) == "guard_factor table.out_of_range");
    CHECK(the_error({{"guard_factor", "10.001"}}) == "guard_factor table.out_of_range");
    CHECK(the_error({{"guard_factor", "1,65"}}) == "guard_factor decimal.wrong_mark");
    CHECK(the_error({{"rule", "simple"}, {"guard_factor", "0"}}) == "guard_factor table.factor_without_guard");
    CHECK(the_error({{"rule", "Guarded"}}) == "rule table.not_a_choice");
    CHECK(the_error({{"rule", ""}}) == "rule table.empty");
}

TEST_CASE("Text that would not print on a tag, or could pass for another, is refused where it is entered") {
    CHECK(the_error({{"hose_type", "NW\n208"}}) == "hose_type table.control_character");
    CHECK(the_error({{"hose_type", "NW\t208"}}) == "hose_type table.control_character");
    CHECK(the_error({{"hose_type",
                      "NW\xC2\x85"
                      "208"}}) == "hose_type table.control_character");
    CHECK(the_error({{"hose_type",
                      "NW\xE2\x80\x8B"
                      "208"}}) == "hose_type table.invisible_character");
    CHECK(the_error({{"hose_type",
                      "\xE2\x80\xAE"
                      "802-WN"}}) == "hose_type table.invisible_character");
    CHECK(the_error({{"hose_type", std::string(121, 'x')}}) == "hose_type table.text_too_long");
    std::string wide;
    for (int i = 0; i < 120; ++i)
        wide += "\xE3\x81\x82";
    CHECK(only_row(Sheet().set({{"hose_type", wide}})).hose.type == wide);  // characters are counted, not bytes
    CHECK(only_row(Sheet().set({{"hose_type", "  NW 208 "}})).hose.type == "NW 208");
}

TEST_CASE("Shell and stem sizes are all given or none, and fit into each other") {
    CHECK(the_error({{"hose_od_mm", ""}}) == "hose_od_mm table.geometry_incomplete");
    CHECK(the_error({{"shell_id_mm", "29.5"}}) == "shell_id_mm table.sizes_contradict");
    CHECK(the_error({{"stem_bore_mm", "12.6"}}) == "stem_bore_mm table.sizes_contradict");
    CHECK(the_error({{"stem_bore_after_mm", "9.51"}}) == "stem_bore_after_mm table.sizes_contradict");
    CHECK(the_error({{"stem_bore_after_mm", "9.5"}}) == "none");
    CHECK(the_error({{"hose_id_mm", "22.4"}}) == "hose_id_mm table.sizes_contradict");
    CHECK(the_error({{"crimp_mm", "29"}}) == "crimp_mm table.sizes_contradict");
}

TEST_CASE("Figures beyond all sense are refused: 10 m of length, 10 000 bar, sizes and temperatures no hose has") {
    CHECK(the_error({{"cut_off_mm", "10000"}}) == "none");
    CHECK(the_error({{"cut_off_mm", "10000.001"}}) == "cut_off_mm table.length_too_large");
    CHECK(the_error({{"cut_off_mm", "9223372036854775807"}}) == "cut_off_mm table.length_too_large");
    CHECK(the_error({{"hose_wp_bar", "10000"}}) == "none");
    CHECK(the_error({{"hose_wp_bar", "10001"}}) == "hose_wp_bar table.pressure_too_large");
    CHECK(the_error({{"hose_wp_bar", "9223372036854775807"}}) == "hose_wp_bar table.pressure_too_large");
    CHECK(the_error({{"hose_dash", "1"}}) == "hose_dash table.out_of_range");
    CHECK(the_error({{"hose_dash", "--8"}}) == "hose_dash table.out_of_range");
    CHECK(the_error({{"hose_dash", "-"}}) == "hose_dash decimal.no_digits");
    CHECK(the_error({{"temperature_max_c", "401"}}) == "temperature_max_c table.out_of_range");
    CHECK(the_error({{"recrimps", "-1"}}) == "recrimps table.out_of_range");
}

TEST_CASE("No change to a good table makes the reader do anything but read or refuse with a place") {
    const auto good = file_text("examples/demo_table.csv");
    CHECK(rc::check([&good] {
        auto text = good;
        const auto count = *rc::gen::inRange(1, 4);
        for (int i = 0; i < count; ++i) {
            const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
            switch (*rc::gen::inRange(0, 3)) {
                case 0:
                    text[at] = *rc::gen::arbitrary<char>();
                    break;
                case 1:
                    text.erase(at, *rc::gen::inRange<std::size_t>(1, 60));
                    break;
                default:
                    text.insert(at, *rc::gen::element<std::string>("\"", ",", "\r\n", "-", "9", ";", "\xC3"));
            }
        }
        const auto table = parse_spec_table(text);
        if (table) {
            RC_ASSERT(!table->rows.empty());
            for (const auto& row : table->rows) {
                RC_ASSERT(row.crimp.minus > Length());
                RC_ASSERT(row.crimp.band().lower > Length());
                RC_ASSERT(row.hose.dash == row.fitting.dash);
                RC_ASSERT(!row.flats.empty());
            }
        } else {
            for (const auto& e : table.error())
                RC_ASSERT(e.line >= 1);
            RC_ASSERT(!table.error().empty());
        }
        RC_CLASSIFY(table.has_value(), "read");
    }));
}

TEST_CASE("FORMAT.md tells every column that the reader knows") {
    const auto format = file_text("FORMAT.md");
    for (const auto& column : spec_columns()) {
        INFO(column.stem);
        const std::string stem(column.stem);
        const bool told = column.kind == ColumnKind::plain    ? format.find("`" + stem + "`") != std::string::npos
                          : column.kind == ColumnKind::length ? format.find("`" + stem + "_mm`") != std::string::npos
                                                              : format.find("`" + stem + "_bar`") != std::string::npos;
        CHECK(told);
    }
}

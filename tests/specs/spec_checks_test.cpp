// What makes a row of a spec table wrong (specs/spec_checks.cpp).
#include "specs/spec_table.h"

#include <rapidcheck.h>

#include "tests/specs/spec_sheet.h"

using namespace crimpgate;
using namespace crimpgate::spec_sheet;

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

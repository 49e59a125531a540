// What a new table would change: what a second person signs for, so it must be whole and exact.
#include "specs/row_differences.h"

#include <algorithm>
#include <fstream>
#include <iterator>

#include "specs/csv_write.h"
#include "specs/spec_columns.h"
#include "specs/spec_table.h"
#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using crimpgate::test::sample_row;

namespace {

std::vector<SpecRow> example(const std::string& name) {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/specs/examples/" + name, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    auto table = parse_spec_table(text);
    REQUIRE(table.has_value());
    return std::move(table->rows);
}

std::map<std::string, SpecRow> in_force(const std::vector<SpecRow>& rows) {
    std::map<std::string, SpecRow> out;
    for (const auto& row : rows)
        out.emplace(row.spec_id, row);
    return out;
}

// The cells of the one row that changed, as "column before > after".
std::vector<std::string> changes(const SpecRow& before, const SpecRow& after, LengthUnit unit = LengthUnit::mm) {
    const auto all = row_differences(in_force({before}), {after}, unit);
    REQUIRE(all.size() == 1);
    CHECK(all.front().change == (before == after ? RowChange::same : RowChange::changed));
    std::vector<std::string> out;
    for (const auto& cell : all.front().cells)
        out.push_back(cell.column + " " + cell.before + " > " + cell.after);
    return out;
}

using Texts = std::vector<std::string>;

}  // namespace

TEST_CASE("R6: a row written as its cells and read back is the same row, in either unit") {
    for (const auto& [name, unit] :
         {std::pair("demo_table.csv", LengthUnit::mm), std::pair("demo_table_in.csv", LengthUnit::inch)})
        for (const auto& row : example(name)) {
            INFO(name << " " << row.spec_id);
            std::vector<std::string> header, cells;
            for (const auto& cell : written_cells(row, unit)) {
                header.push_back(cell.column);
                cells.push_back(cell.text);
            }
            CHECK(header.size() == spec_columns().size());
            const auto again = parse_spec_table(csv_row(header) + csv_row(cells));
            REQUIRE(again.has_value());
            CHECK(again->rows == std::vector<SpecRow>{row});
        }
}

TEST_CASE("R4: a crimp that moves by a hundredth is one changed cell, told exactly, and an unchanged row has none") {
    const auto before = sample_row();
    auto after = before;
    CHECK(changes(before, after).empty());
    after.crimp.nominal = 25'510_um;
    after.revision = "2";
    CHECK(changes(before, after) == Texts{"revision 1 > 2", "crimp_mm 25.5 > 25.51"});
}

TEST_CASE("R4: inches are shown only where both sides are exact in inches; 25.4 mm = 1 in (1959 agreement)") {
    auto before = sample_row();
    auto after = before;
    before.depth.nominal = Length::from_nm(38'100'000);  // 1.5 in
    after.depth.nominal = Length::from_nm(38'112'700);   // 1.5005 in
    CHECK(changes(before, after, LengthUnit::inch) == Texts{"depth_in 1.5 > 1.5005"});
    CHECK(changes(before, after) == Texts{"depth_mm 38.1 > 38.1127"});
    after.depth.nominal = 38'000_um;
    CHECK(changes(before, after, LengthUnit::inch) == Texts{"depth_mm 38.1 > 38"});
}

TEST_CASE("A rating given in another unit says so on both sides") {
    const auto before = sample_row();
    auto after = before;
    after.hose.working_pressure = *Rating::parse("280", PressureUnit::bar);
    CHECK(changes(before, after) == Texts{"hose_wp_bar 275 > 280"});
    after.hose.working_pressure = *Rating::parse("4000", PressureUnit::psi);
    CHECK(changes(before, after) == Texts{"hose_wp_psi 275 bar > 4000 psi"});
}

TEST_CASE("What is asked for and what is not asked for any more are empty cells on one side") {
    const auto before = sample_row();
    auto after = before;
    after.bore_pin = 9'500_um;
    after.skive = Skive::outer;
    after.skive_outer = Toleranced{30'000_um, 500_um, 500_um};
    after.rule = {RuleKind::simple, 0};
    after.flats = {1, 2};
    CHECK(changes(before, after) == Texts{"flats 1;3;4 > 1;2", "skive none > outer", "skive_outer_mm  > 30",
                                          "skive_outer_minus_mm  > 0.5", "skive_outer_plus_mm  > 0.5",
                                          "bore_pin_mm  > 9.5", "rule guarded > simple", "guard_factor 1.65 > "});
    CHECK(changes(after, before).size() == 8);
}

TEST_CASE("Whatever member of a row changes, a cell tells it: none slips past the second signature") {
    const auto base = example("demo_table.csv").front();
    const auto other = example("demo_table_in.csv").front();
    REQUIRE(base.geometry.has_value());
    // Each column of the other table's first row, put into the base row alone where a table would still be right.
    const auto ours = written_cells(base, LengthUnit::mm);
    const auto theirs = written_cells(other, LengthUnit::mm);
    int tried = 0;
    for (std::size_t i = 0; i < ours.size(); ++i) {
        if (ours[i].stem == "spec_id" || ours[i] == theirs[i]) continue;
        std::vector<std::string> header, cells;
        for (std::size_t k = 0; k < ours.size(); ++k) {
            header.push_back(k == i ? theirs[k].column : ours[k].column);
            cells.push_back(k == i ? theirs[k].text : ours[k].text);
        }
        const auto mixed = parse_spec_table(csv_row(header) + csv_row(cells));
        if (!mixed) continue;
        ++tried;
        const auto all = row_differences(in_force({base}), mixed->rows, LengthUnit::mm);
        INFO(header[i]);
        REQUIRE(all.size() == 1);
        REQUIRE(all[0].cells.size() == 1);
        CHECK(all[0].cells[0].column == header[i]);
        CHECK(all[0].cells[0].after.find(cells[i]) == 0);
    }
    CHECK(tried >= 15);
}

TEST_CASE("R3: a row that the new table does not name stays in force and is told as kept; a new one comes whole") {
    auto left_out = sample_row();
    left_out.spec_id = "A-LEFT-OUT";
    left_out.crimper = "K-9";
    auto fresh = sample_row();
    fresh.spec_id = "Z-NEW";
    fresh.crimper = "K-7";
    const auto all = row_differences(in_force({sample_row(), left_out}), {fresh, sample_row()}, LengthUnit::mm);
    REQUIRE(all.size() == 3);
    CHECK(all[0].spec_id == "Z-NEW");
    CHECK(all[0].change == RowChange::added);
    CHECK(all[0].cells.front() == CellDifference{"spec_id", "", "Z-NEW"});
    CHECK(std::none_of(all[0].cells.begin(), all[0].cells.end(),
                       [](const auto& cell) { return cell.after.empty() || !cell.before.empty(); }));
    CHECK(all[1].change == RowChange::same);
    CHECK(all[2] == RowDifference{"A-LEFT-OUT", RowChange::kept, {}, {}});
}

TEST_CASE("A row for the same hose, fitting and crimper under another id is named: both would stay in force") {
    auto renamed = sample_row();
    renamed.spec_id = "NH-NEW-NAME";
    const auto all = row_differences(in_force({sample_row()}), {renamed}, LengthUnit::mm);
    REQUIRE(all.size() == 2);
    CHECK(all[0].twin == sample_row().spec_id);
    CHECK(all[1].change == RowChange::kept);
    // The one that is in the file under its own id is replaced by it, so it is nobody's twin.
    CHECK(row_differences(in_force({sample_row()}), {sample_row()}, LengthUnit::mm)[0].twin.empty());
}

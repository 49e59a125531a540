// Gauge studies and uncertainty budgets as sheets: the published figures, as the text that a lead reads.
#include "reports/audit/study_sheets.h"

#include <cmath>

#include "reports/audit/figures.h"
#include "reports/audit/shown_cell.h"
#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::audit;
using statistics::data_rows;

namespace {

// The file's figures as millimetres.
StudyFacts study_in(const std::string& file) {
    StudyFacts facts;
    facts.study = "GS-1";
    facts.gauge = "CAL-1";
    facts.resolution = 10_um;
    for (const auto& row : data_rows(file))
        for (std::size_t t = 2; t < row.size(); ++t)
            facts.turns.push_back({row[1], row[0], static_cast<std::int64_t>(t) - 1,
                                   Length::from_nm(std::llround(1e6 * statistics::number(row[t])))});
    return facts;
}

const Sheet& sheet(const std::vector<Sheet>& sheets, const std::string& id) {
    for (const auto& s : sheets)
        if (s.id == id) return s;
    FAIL("no sheet " + id);
    throw std::logic_error(id);
}

std::string cell(const Sheet& s, const std::vector<std::string>& row, const std::string& column) {
    for (std::size_t i = 0; i < s.columns.size(); ++i)
        if (s.columns[i].id == column) return row[i];
    FAIL("no column " + column);
    return {};
}

// The cell in the row that begins with these cells.
std::string at(const Sheet& s, const std::vector<std::string>& begins, const std::string& column) {
    for (const auto& row : s.rows)
        if (std::equal(begins.begin(), begins.end(), row.begin())) return cell(s, row, column);
    FAIL("no such row in " + s.id);
    return {};
}

bool notes(const Sheet& s, std::string_view code) {
    for (const auto& note : s.notes)
        if (note.code == code) return true;
    return false;
}

std::vector<Sheet> must(const Result<std::vector<Sheet>>& sheets) {
    if (!sheets) FAIL(sheets.error().code);
    return *sheets;
}

}  // namespace

TEST_CASE("the manual's study of 10 pieces, 3 people and 3 trials reads as the manual prints it, both ways") {
    // AIAG MSA manual, 4th ed., figures III-B 16 to 18 (after public copies). By average and range: %EV 17.62, %AV
    // 20.04, %GRR 26.68, %PV 96.38, ndc 5. By analysis of variance, pooled: EV 0.199933, AV 0.226838, PV 1.042327,
    // % of total 18.4, 20.9, 27.9, 96.0, ndc 4.
    const auto sheets = must(study_sheets(study_in("grr_aiag.csv")));
    const auto& parts = sheet(sheets, "study_variation");
    const auto share = [&](const char* method, const char* part) {
        return at(parts, {method, part}, "study_variation_pct");
    };
    CHECK(share("average_and_range", "repeatability") == "17.6");
    CHECK(share("average_and_range", "reproducibility") == "20.0");
    CHECK(share("average_and_range", "gauge_together") == "26.7");
    CHECK(share("average_and_range", "between_pieces") == "96.4");
    CHECK(share("anova_pooled", "repeatability") == "18.4");
    CHECK(share("anova_pooled", "reproducibility") == "20.9");
    CHECK(share("anova_pooled", "gauge_together") == "27.9");
    CHECK(share("anova_pooled", "between_pieces") == "96.0");
    CHECK(at(parts, {"anova_pooled", "repeatability"}, "sd_mm") == "0.19993");
    CHECK(at(parts, {"anova_pooled", "reproducibility"}, "sd_mm") == "0.22684");
    CHECK(at(parts, {"anova_pooled", "between_pieces"}, "sd_mm") == "1.04233");
    CHECK(at(parts, {"anova_kept", "interaction"}, "put_to_zero") == "yes");
    CHECK(notes(parts, "study.put_to_zero"));

    const auto& answer = sheet(sheets, "study_answer");
    CHECK(answer.rows.front().front() == "anova_pooled");  // the answer stands first
    CHECK(at(answer, {"average_and_range"}, "categories") == "5");
    CHECK(at(answer, {"anova_pooled"}, "categories") == "4");
    CHECK(at(answer, {"anova_pooled"}, "by_141") == "4.86");
    CHECK(at(answer, {"anova_pooled"}, "is_answer") == "yes");
    CHECK(at(answer, {"anova_kept"}, "is_answer").empty());
    CHECK(at(answer, {"anova_pooled"}, "guideline") == "gauge_conditional");
    CHECK(notes(answer, "study.pooled"));
    CHECK_FALSE(notes(answer, "study.kept"));

    const auto& anova = sheet(sheets, "study_anova");
    CHECK(at(anova, {"anova_kept", "between_pieces"}, "squares_mm2").substr(0, 7) == "88.3619");
    CHECK(at(anova, {"anova_kept", "interaction"}, "p") == "0.9741");
    CHECK(at(anova, {"anova_pooled", "people_alone"}, "f") == "39.617");
    CHECK(at(anova, {"anova_pooled", "repeatability"}, "df") == "78");
    CHECK(at(anova, {"anova_pooled", "repeatability"}, "mean_square_mm2").substr(0, 6) == "0.0399");

    // Person B on piece 4: range 1.02 over the limit 0.880 (0.87965 exactly; the manual rounds its factor).
    const auto& beyond = sheet(sheets, "study_beyond_range");
    REQUIRE(beyond.rows.size() == 1);
    CHECK(beyond.rows[0] == std::vector<std::string>{"B", "4", "1.0200", "0.8797"});
    CHECK(sheet(sheets, "study_readings").rows.size() == 90);
}

TEST_CASE("an interaction that is there stays in the answer, and the note says why") {
    // Montgomery's thermal impedance study (see tests/statistics): p of the interaction 5.06e-07.
    const auto sheets = must(study_sheets(study_in("grr_thermal_impedance.csv")));
    const auto& answer = sheet(sheets, "study_answer");
    CHECK(at(answer, {"anova_kept"}, "is_answer") == "yes");
    CHECK(at(answer, {"anova_kept"}, "categories") == "7");
    REQUIRE(notes(answer, "study.kept"));
    for (const auto& note : answer.notes)
        if (note.code == "study.kept") CHECK(note.detail("p") == "5.1e-07");
}

TEST_CASE("against a tolerance the gauge's share is of the tolerance; without one that column is empty") {
    auto facts = study_in("grr_aiag.csv");
    CHECK(at(sheet(must(study_sheets(facts)), "study_answer"), {"anova_pooled"}, "tolerance_pct").empty());
    facts.lower = Length::from_nm(-9'071'146);  // 6 x 0.302371522 mm over a width of 18.142292 mm: a tenth
    facts.upper = Length::from_nm(9'071'146);
    const auto sheets = must(study_sheets(facts));
    CHECK(at(sheet(sheets, "study_answer"), {"anova_pooled"}, "tolerance_pct") == "10.0");
    facts.inches = true;
    const auto inches = must(study_sheets(facts));
    CHECK(at(sheet(inches, "study_variation"), {"anova_pooled", "repeatability"}, "sd_in") == "0.007871");
}

TEST_CASE("linearity reads as the manual prints it") {
    // AIAG MSA manual, 4th ed., chapter III-B: bias = 0.7367 - 0.1317 x, R squared 71.4 %, linearity 13.2 %.
    StudyFacts facts;
    facts.kind = StudyOf::linearity;
    facts.gauge = "CAL-1";
    for (const auto& row : data_rows("linearity_aiag.csv")) {
        const auto size = Length::from_nm(std::llround(1e6 * statistics::number(row[0])));
        bool known = false;
        for (const auto& p : facts.pieces)
            known = known || p.piece == row[0];
        if (!known) facts.pieces.push_back({row[0], size});
        facts.turns.push_back({"A", row[0], 1, Length::from_nm(std::llround(1e6 * statistics::number(row[1])))});
    }
    const auto sheets = must(study_sheets(facts));
    const auto& line = sheet(sheets, "study_linearity");
    REQUIRE(line.rows.size() == 1);
    CHECK(cell(line, line.rows[0], "readings") == "60");
    CHECK(cell(line, line.rows[0], "slope").substr(0, 7) == "-0.1316");
    CHECK(cell(line, line.rows[0], "intercept_mm") == "0.7367");
    CHECK(cell(line, line.rows[0], "r_squared_pct") == "71.4");
    CHECK(cell(line, line.rows[0], "linearity_pct") == "13.2");
    CHECK(cell(line, line.rows[0], "no_bias") == "no");
    CHECK(notes(line, "study.not_linear"));
    CHECK(sheet(sheets, "study_bias").rows.size() == 5);
}

TEST_CASE("a type 1 study gives Cg and Cgk, and says what speaks against it") {
    StudyFacts facts;
    facts.kind = StudyOf::type1;
    facts.gauge = "CAL-1";
    facts.pieces = {{"RING-25", 25'000_um}};
    facts.lower = 24'800_um;
    facts.upper = 25'200_um;
    facts.resolution = 10_um;
    // 25 readings, 12 at -0.01 mm, 12 at +0.01 mm and one in the middle: mean 25, s = sqrt(24 x 0.01^2 / 24) = 0.01.
    // Cg = 0.2 x 0.4 / (6 x 0.01) = 1.33 and so is Cgk.
    for (int i = 0; i < 25; ++i)
        facts.turns.push_back({"OPA", "RING-25", i + 1, i == 24 ? 25'000_um : i % 2 == 0 ? 24'990_um : 25'010_um});
    const auto sheets = must(study_sheets(facts));
    const auto& s = sheet(sheets, "study_type1");
    REQUIRE(s.rows.size() == 1);
    CHECK(cell(s, s.rows[0], "mean_mm") == "25.0000");
    CHECK(cell(s, s.rows[0], "sd_mm") == "0.01000");
    CHECK(cell(s, s.rows[0], "cg") == "1.33");
    CHECK(cell(s, s.rows[0], "cgk") == "1.33");
    CHECK(cell(s, s.rows[0], "resolution_pct") == "2.5");
    CHECK(notes(s, "gauge_study.type1_under_recommended"));
    facts.pieces[0].size.reset();
    CHECK(study_sheets(facts).error().code == "gauge_study.no_reference");
}

TEST_CASE("the uncertainty comes from resolution, certificate, people, scatter and temperature, rounded up") {
    // Worked out beside the program: EV 0.199933 and AV 0.226838 mm (AIAG, pooled), d = 0.01 mm twice, U = 0.02 mm
    // with k = 2, 2 K (half-width) over 25 mm of steel: 25e6 nm x 11.5e-6 x 2 / sqrt 3 = 331.98 nm.
    const auto facts = study_in("grr_aiag.csv");
    BudgetAsked asked;
    asked.calibration_expanded = 20_um;
    asked.temperature_half_width_mk = 2000;
    asked.length = 25'000_um;
    const auto proposed = propose_uncertainty(facts, asked);
    REQUIRE(proposed);
    const double resolution = 5'000 / std::sqrt(3.0) * std::sqrt(2.0);
    const double temperature = 25e6 * 11.5e-6 * 2 / std::sqrt(3.0);
    const double u = std::sqrt(199'933.1797 * 199'933.1797 + 226'838.1 * 226'838.1 + 10'000.0 * 10'000.0 +
                               resolution * resolution + temperature * temperature);
    CHECK(std::abs(static_cast<double>(proposed->standard.nm()) - u) < 2);
    CHECK(static_cast<double>(proposed->standard.nm()) >= u - 1);
    REQUIRE(proposed->parts.size() == 5);
    CHECK(proposed->parts[1].part == "calibration");
    CHECK(proposed->parts[1].standard == 10_um);
    CHECK(proposed->parts[4].standard == 332_nm);  // 331.98 rounded up
    // Three people leave two degrees of freedom to what is between them; k is larger than 2 for it.
    CHECK(proposed->degrees_of_freedom > 0);
    CHECK(proposed->degrees_of_freedom < 10);
    CHECK(proposed->coverage_permille > 2000);
    CHECK(proposed->expanded > proposed->standard);
    const auto& sum = sheet(proposed->sheets, "study_uncertainty");
    CHECK(cell(sum, sum.rows.at(0), "df") == std::to_string(proposed->degrees_of_freedom));
    CHECK(sheet(proposed->sheets, "study_budget").rows.size() == 5);

    auto other = facts;
    other.kind = StudyOf::type1;
    CHECK(propose_uncertainty(other, asked).error().code == "study.not_repeatability");
    asked.calibration_k_permille = 0;
    CHECK(propose_uncertainty(facts, asked).error().code == "uncertainty.bad_input");
}

TEST_CASE("a study with a hole in it is not worked out, and the hole is named") {
    auto facts = study_in("grr_aiag.csv");
    facts.turns.pop_back();
    CHECK(study_sheets(facts).error().code == "gauge_study.missing_cell");
}

TEST_CASE("R9: a study's paper says how it was measured and what was approved of it, by whom") {
    StudyFacts facts = study_in("grr_aiag.csv");
    facts.people = 3;
    facts.trials = 3;
    facts.lower = 25'300_um;
    facts.upper = 25'700_um;
    facts.seed = "00000000000000c5";
    facts.planned_by = "LEA";
    facts.planned_seq = 41;
    facts.planned_ms = 1'764'000'000'000;
    const auto before = must(study_sheets(facts));
    for (const auto& s : before)
        CHECK(s.id != "study_approved");
    const auto& plan = sheet(before, "study_plan");
    REQUIRE(plan.rows.size() == 1);
    const auto& row = plan.rows.front();
    CHECK(cell(plan, row, "kind") == "study_repeatability");
    CHECK(cell(plan, row, "people") == "3");
    CHECK(cell(plan, row, "tolerance_from_mm") == "25.3000");
    CHECK(cell(plan, row, "resolution_mm") == "0.0100");
    CHECK(cell(plan, row, "planned_at") == "2025-11-24T16:00:00.000Z");
    CHECK(cell(plan, row, "seq") == "41");
    CHECK(notes(plan, "study.drawn_again"));
    const auto kind_of = [](const Sheet& s, std::string_view id) {
        for (const auto& column : s.columns)
            if (column.id == id) return column.kind;
        FAIL("no column");
        return Cell::text;
    };
    CHECK(kind_of(plan, "planned_by") == Cell::person);
    CHECK(kind_of(sheet(before, "study_readings"), "person") == Cell::person);
    // 1.41 and such are figures, whatever their column is called.
    CHECK(kind_of(sheet(before, "study_answer"), "by_141") == Cell::number);

    ApprovedFact approved;
    approved.seq = 77;
    approved.ms = facts.planned_ms + 1000;
    approved.person = "LEA";
    approved.reason = "yearly study";
    approved.uncertainty = Length::from_nm(13'457);
    approved.before = 12_um;
    approved.expanded = Length::from_nm(27'000);
    approved.coverage_permille = 2'003;
    facts.approved.push_back(approved);
    facts.inches = true;
    const auto after = must(study_sheets(facts));
    const auto& set = sheet(after, "study_approved");
    REQUIRE(set.rows.size() == 1);
    CHECK(cell(set, set.rows.front(), "person") == "LEA");
    CHECK(cell(set, set.rows.front(), "uncertainty_in") == "0.00053");
    CHECK(cell(set, set.rows.front(), "coverage") == "2.003");
    CHECK(cell(set, set.rows.front(), "df").empty());
    CHECK(cell(set, set.rows.front(), "reason") == "yearly study");
}

TEST_CASE("people are called by name where a name is known, in cells and in sentences") {
    Audit audit;
    Sheet sheet;
    sheet.columns = {{"person", Cell::person}, {"what", Cell::message}, {"level", Cell::text}};
    sheet.rows = {{"MO", message_text(message("told.voided").with("who", "JV").with("seq", "MO")), "TR"}};
    sheet.notes.push_back(message("audit.note.frozen_limits").with("person", "TR"));
    audit.sheets.push_back(sheet);
    name_people(audit, {{"MO", "Mara Olsen"}, {"JV", "Jon Vik"}, {"TR", "Tore Rud"}, {"XX", "Nobody Here"}});
    CHECK(audit.people.size() == 3);  // nobody who does not stand in it
    Reader reader;
    reader.people = audit.people;
    CHECK(shown_cell(sheet.columns[0], "MO", reader) == "Mara Olsen (MO)");
    CHECK(shown_cell(sheet.columns[0], "QQ", reader) == "QQ");
    CHECK(shown_cell(sheet.columns[0], "", reader).empty());
    CHECK(shown_cell(sheet.columns[2], "TR", reader) == "TR");  // a lot may be called like somebody
    CHECK(shown_cell(sheet.columns[1], sheet.rows[0][1], reader) == "told.voided: seq=MO; who=Jon Vik (JV)");
}

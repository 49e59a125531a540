#include "tests/support/catch.h"

#include "tests/audit/small_facts.h"

using namespace audit_test;

TEST_CASE("by end: verdicts of every judgement, level and spread of those that count, off the band's middle") {
    SmallFacts f;
    f.assembly("S1");
    f.assembly("S2");
    f.end("S1", "a", 25'010_um);
    f.end("S1", "b", 25'030_um);
    f.end("S2", "a", 25'250_um, 20_um, "fails", {{"crimp_diameter", "fails", "above"}});
    f.end("S2", "a", 25'050_um, 20_um, "conforms", {}, 2);
    const Audit audit = make_audit(f.facts);
    const Sheet& by_end = sheet_of(audit, "by_end");
    REQUIRE(by_end.rows.size() == 2);
    // A: off the middle of 25.000 by 0.010, 0.250, 0.050: mean 0.10333, squares about it 0.0087111 + 0.0215111 +
    // 0.0028444 = 0.0330667, sd sqrt(0.0330667 / 2) = 0.128582.
    CHECK(by_end.rows[0] == std::vector<std::string>{"a", "3", "2", "1", "0", "66.7", "0.1033", "0.12858"});
    CHECK(by_end.rows[1] == std::vector<std::string>{"b", "1", "1", "0", "0", "100.0", "0.0300", ""});
    // Places: flat 1 lies 0.010 below each mean, flat 2 above.
    const Sheet& by_place = sheet_of(audit, "by_place");
    CHECK(cell(by_place, 0, "readings") == "4");
    CHECK(cell(by_place, 0, "off_middle_mm") == "0.0750");  // (0.010 + 0.030 + 0.250 + 0.050) / 4 - 0.010
    CHECK(cell(by_place, 1, "off_middle_mm") == "0.0950");
    CHECK(cell(sheet_of(audit, "by_gauge"), 0, "gauge") == "G1");
    CHECK(cell(sheet_of(audit, "by_gauge"), 0, "ends") == "4");
    CHECK(sheet_of(audit, "by_fitting_lot").rows.size() == 2);
}

TEST_CASE("R4: a shop in inches gets inches, from the same whole nanometres") {
    SmallFacts f;
    f.facts.inches = true;
    f.assembly("S1");
    f.end("S1", "a", Length::from_nm(25'000'000 + 25'400));  // 0.001 in above the middle
    const Audit audit = make_audit(f.facts);
    CHECK(audit.unit == "in");
    CHECK(cell(sheet_of(audit, "by_end"), 0, "off_middle_in") == "0.00100");
}

#include "tests/support/catch.h"

#include "tests/audit/small_facts.h"

using namespace audit_test;

TEST_CASE("passed first time is what passed without a re-crimp, a hold or a concession") {
    SmallFacts f;
    f.assembly("S1");
    f.assembly("S2");
    f.assembly("S3").recrimps = 1;  // held, re-crimped, passed
    f.hold("S3", "failed", "recrimp");
    f.assembly("S4").concession_reference = "K-17";
    f.hold("S4", "failed", "concession");
    f.assembly("S5", "scrapped");
    f.hold("S5", "failed", "scrap");
    f.assembly("S6", "on_hold");
    f.hold("S6", "suspect");
    f.assembly("S7", "in_work");
    f.assembly("S8");  // held by hand, then measured again: passed, but not at once
    f.hold("S8", "person", "remeasure");
    const Audit audit = make_audit(f.facts);
    const Sheet& made = sheet_of(audit, "made");
    REQUIRE(made.rows.size() == 1);
    CHECK(cell(made, 0, "started") == "8");
    CHECK(cell(made, 0, "passed") == "5");             // 1 2 3 4 8
    CHECK(cell(made, 0, "passed_first_time") == "2");  // 1 2
    CHECK(cell(made, 0, "recrimped") == "1");
    CHECK(cell(made, 0, "scrapped") == "1");
    CHECK(cell(made, 0, "on_concession") == "1");
    CHECK(cell(made, 0, "on_hold") == "1");
    CHECK(cell(made, 0, "suspect") == "1");
    CHECK(cell(made, 0, "in_work") == "1");
    CHECK(cell(made, 0, "yield_pct") == "71.4");             // 5 of the 7 that are decided or stopped: 71.43
    CHECK(cell(made, 0, "first_pass_yield_pct") == "28.6");  // 2 of 7: 28.57
}

TEST_CASE("a shift in which nothing was made has no yield instead of a wrong one") {
    SmallFacts f;
    const Audit audit = make_audit(f.facts);
    CHECK(cell(sheet_of(audit, "made"), 0, "started") == "0");
    CHECK(cell(sheet_of(audit, "made"), 0, "yield_pct").empty());
    CHECK(sheet_of(audit, "reasons").rows.empty());
}

TEST_CASE("reasons come commonest first, an end counted once for each reason, with what they make up together") {
    SmallFacts f;
    for (const char* serial : {"S1", "S2", "S3", "S4"})
        f.assembly(serial);
    const std::vector<FindingFact> over{{"crimp_diameter", "fails", "above"}};
    f.end("S1", "a", 25'300_um, 20_um, "fails", over);
    f.end("S1", "a", 25'250_um, 20_um, "fails", over, 2);  // again after the re-crimp: the same end
    f.end("S2", "b", 25'300_um, 20_um, "fails", over);
    f.end("S3", "a", 24'700_um, 20_um, "fails",
          {{"crimp_diameter", "fails", "below"}, {"depth", "uncertain", "above"}});
    f.hold("S4", "suspect");
    const Audit audit = make_audit(f.facts);
    const Sheet& reasons = sheet_of(audit, "reasons");
    REQUIRE(reasons.rows.size() == 4);
    CHECK(reasons.rows[0] == std::vector<std::string>{"oversize", "2", "40.0", "40.0"});
    CHECK(cell(reasons, 1, "reason") == "depth_too_close");
    CHECK(cell(reasons, 2, "reason") == "gauge_doubted");
    CHECK(cell(reasons, 3, "reason") == "undersize");
    CHECK(cell(reasons, 3, "cumulative_pct") == "100.0");
    REQUIRE(audit.charts.size() >= 1);
    CHECK(audit.charts[0].kind == "pareto");
    CHECK(audit.charts[0].points[0].serial == "oversize");
    CHECK(audit.charts[0].points[0].value == "2");
}

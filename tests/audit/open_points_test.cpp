#include <algorithm>

#include "reports/audit/cell_message.h"
#include "tests/audit/small_facts.h"
#include "tests/support/catch.h"

using namespace audit_test;

namespace {

std::vector<std::string> said(const Audit& audit) {
    std::vector<std::string> out;
    for (const auto& row : sheet_of(audit, "open_points").rows)
        out.push_back(row[1].substr(9, row[1].find('"', 9) - 9));
    return out;
}

ProofFact proof(SmallFacts& f, const std::string& gauge, Length error, bool passed) {
    ProofFact p;
    p.seq = f.next();
    p.ms = f.at(p.seq);
    p.gauge = gauge;
    p.error = error;
    p.limit = 20_um;
    p.passed = passed;
    return p;
}

GaugeFact gauge(const std::string& name, const std::string& due) {
    GaugeFact g;
    g.gauge = name;
    g.calibration_due = due;
    g.resolution = 10_um;
    return g;
}

}  // namespace

TEST_CASE("what may have left wrong comes before what is unfinished, the oldest hold first") {
    SmallFacts f;
    f.assembly("S1", "on_hold");
    f.assembly("S2", "on_hold");
    f.assembly("S3", "on_hold").passed_seq = 7;  // has its tag
    f.hold("S1", "failed").end = "a";
    f.hold("S2", "person");
    f.hold("S3", "suspect");
    f.shift("2025-11-25/1", 1);
    f.facts.journal.verified_seq = 10;
    f.facts.journal.last_seq = 900;
    const auto codes = said(make_audit(f.facts));
    CHECK(codes == std::vector<std::string>{"audit.open.suspect_left", "audit.open.failed", "audit.open.put_aside",
                                            "audit.open.shift_never_closed", "audit.open.journal_not_verified"});
    const auto audit = make_audit(f.facts);
    const auto& failed = audit.sheets.front().rows.at(1);
    CHECK(std::find(failed.begin(), failed.end(), "S1") != failed.end());
    // Ends are called as on the bench and on tags.
    CHECK(message_in(failed.at(1)).detail("end") == "A");
    f.facts.journal.verified_seq = 0;
    CHECK(said(make_audit(f.facts)).back() == "audit.open.journal_unread");
    f.facts.journal.damage = message("journal.cut");
    CHECK(said(make_audit(f.facts)).front() == "audit.open.journal_damaged");
}

TEST_CASE("nothing is open when everything is settled, proved, closed and read through") {
    SmallFacts f;
    f.facts.proofs.push_back(proof(f, "G1", 0_um, true));
    f.assembly("S1");
    f.end("S1", "a", 25'010_um);
    f.hold("S1", "person", "remeasure");
    f.facts.proofs.push_back(proof(f, "G1", 10_um, true));
    f.facts.gauges.push_back(gauge("G1", "2026-06-30"));
    f.shift("2025-11-25/1", 1, 90);
    CHECK(said(make_audit(f.facts)).empty());
}

TEST_CASE("a gauge that failed, was not proved after work, or whose calibration runs out is pointed to") {
    SmallFacts f;
    f.facts.proofs.push_back(proof(f, "G1", 0_um, true));
    f.assembly("S1");
    f.end("S1", "a", 25'010_um);
    f.facts.gauges.push_back(gauge("G1", "2025-12-09"));  // 14 days from 2025-11-25
    CHECK(said(make_audit(f.facts)) ==
          std::vector<std::string>{"audit.open.gauge_not_proved_after", "audit.open.calibration_soon"});
    f.facts.gauges[0].calibration_due = "2025-12-10";
    CHECK(said(make_audit(f.facts)) == std::vector<std::string>{"audit.open.gauge_not_proved_after"});
    f.facts.proofs.push_back(proof(f, "G1", -30_um, false));
    f.facts.gauges[0].calibration_due = "2025-11-24";
    const Audit audit = make_audit(f.facts);
    CHECK(said(audit) == std::vector<std::string>{"audit.open.gauge_failed", "audit.open.calibration_over"});
    const Sheet& gauges = sheet_of(audit, "gauges");
    CHECK(cell(gauges, 0, "readings") == "2");
    CHECK(cell(gauges, 0, "proofs") == "2");
    CHECK(cell(gauges, 0, "failed_proofs") == "1");
    CHECK(cell(gauges, 0, "worst_error_mm") == "-0.0300");
    CHECK(cell(gauges, 0, "of_limit_pct") == "150.0");
    CHECK(cell(gauges, 0, "days_left") == "-1");
    CHECK(cell(gauges, 0, "passed_after") == "no");
    // Proved well since: no longer the first thing to look at.
    f.facts.proofs.push_back(proof(f, "G1", 10_um, true));
    CHECK(said(make_audit(f.facts)).front() != "audit.open.gauge_failed");
}

TEST_CASE("R11: a tag that failed is open until one of that assembly was printed or found after all") {
    SmallFacts f;
    const auto tag = [&](const std::string& serial, std::int64_t copy, const std::string& state) {
        TagFact t;
        t.serial = serial;
        t.copy = copy;
        t.state = state;
        t.seq = f.next();
        t.state_seq = f.next();
        t.state_ms = f.at(t.state_seq);
        f.facts.tags.push_back(t);
        return t.state_seq;
    };
    tag("S1", 0, "printed");
    const auto failed = tag("S1", 1, "failed");  // the reprint: the first one says nothing about it
    tag("S2", 0, "printing");
    tag("S3", 0, "in_doubt");
    const Audit audit = make_audit(f.facts);
    CHECK(said(audit) == std::vector<std::string>{"audit.open.tag_in_doubt", "audit.open.tag_failed"});
    CHECK(cell(sheet_of(audit, "open_points"), 1, "serial") == "S1");
    CHECK(cell(sheet_of(audit, "open_points"), 1, "seq") == std::to_string(failed));
    tag("S2", 1, "printed");  // another assembly's
    CHECK(said(make_audit(f.facts)).back() == "audit.open.tag_failed");
    tag("S1", 2, "printed");
    tag("S3", 1, "printed");
    CHECK(said(make_audit(f.facts)).empty());
}

TEST_CASE("while a shift runs, the proof at its end is not yet missing") {
    SmallFacts f;
    f.facts.proofs.push_back(proof(f, "G1", 0_um, true));
    f.assembly("S1");
    f.end("S1", "a", 25'010_um);
    f.facts.gauges.push_back(gauge("G1", "2026-06-30"));
    f.shift("2025-11-25/1", 1).running = true;
    CHECK(said(make_audit(f.facts)).empty());
}

TEST_CASE("five proofs off by exactly nothing are too good; one that is off a step is not") {
    SmallFacts f;
    f.facts.gauges.push_back(gauge("G1", "2026-06-30"));
    for (int i = 0; i < 5; ++i)
        f.facts.proofs.push_back(proof(f, "G1", 0_um, true));
    CHECK(said(make_audit(f.facts)) == std::vector<std::string>{"audit.open.proofs_too_good"});
    f.facts.proofs.push_back(proof(f, "G1", 10_um, true));
    CHECK(said(make_audit(f.facts)).empty());
}

TEST_CASE("R3: what comes for a shift after its signature shows as late, each entry once") {
    SmallFacts f;
    f.assembly("S1");
    f.end("S1", "a", 25'010_um);          // 2, 3: readings, 4: judged
    f.hold("S1", "person", "remeasure");  // 5, 6
    ShiftFact& shift = f.shift("2025-11-25/1", 1, 4);
    shift.signed_off_by = "lea";
    shift.signed_off_seq = 5;
    shift.upto_seq = 4;
    HappeningFact h;
    h.seq = 5;
    h.ms = f.at(5);
    h.type = "assembly.held";
    h.serial = "S1";
    h.told = message("told.held_person").with("serial", "S1");
    f.facts.happenings.push_back(h);
    const Audit audit = make_audit(f.facts);
    const Sheet& late = sheet_of(audit, "late");
    REQUIRE(late.rows.size() == 2);
    CHECK(cell(late, 0, "seq") == "5");
    CHECK(cell(late, 0, "what").find("told.held_person") != std::string::npos);
    CHECK(cell(late, 1, "what").find("audit.late.settled") != std::string::npos);
    CHECK(cell(sheet_of(audit, "shifts"), 0, "late_entries") == "2");
    CHECK(cell(sheet_of(audit, "shifts"), 0, "state") == "closed");
    CHECK(said(audit).front() == "audit.open.late_entries");
}

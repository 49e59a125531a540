#include "tests/support/catch.h"

#include <fstream>
#include <iterator>
#include <set>

#include "reports/audit/table.h"
#include "reports/statistics/run_rules.h"
#include "tests/audit/year_facts.h"

using namespace audit_test;

namespace {

std::string catalogue() {
    std::string all;
    for (const char* language : {"en", "de"}) {
        std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/station/words/" + language + ".json");
        all += std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    }
    return all;
}

bool has_words(const std::string& words, const std::string& code) {
    const auto first = words.find("\n  \"" + code + "\": ");
    return first != std::string::npos && words.find("\n  \"" + code + "\": ", first + 1) != std::string::npos;
}

std::string code_in(const std::string& message_cell) {
    const std::string head = "{\"code\":\"";
    if (message_cell.rfind(head, 0) != 0) return "no message: " + message_cell;
    return message_cell.substr(head.size(), message_cell.find('"', head.size()) - head.size());
}

void check_sheets(const Audit& audit, const std::string& words) {
    std::set<std::string> ids;
    for (const Sheet& sheet : audit.sheets) {
        INFO(sheet.id);
        CHECK(ids.insert(sheet.id).second);
        CHECK(has_words(words, "audit.sheet." + sheet.id));
        std::set<std::string> columns;
        for (const Column& column : sheet.columns) {
            INFO(column.id);
            CHECK(columns.insert(column.id).second);
            CHECK(has_words(words, "audit.column." + column.id));
            const std::string end = column.id.size() > 3 ? column.id.substr(column.id.size() - 3) : column.id;
            CHECK((column.kind == Cell::length) == (end == "_mm" || end == "_in"));
            if (column.kind == Cell::length) CHECK(end == "_" + audit.unit);
        }
        for (const auto& row : sheet.rows) {
            REQUIRE(row.size() == sheet.columns.size());
            for (std::size_t i = 0; i < row.size(); ++i) {
                INFO(sheet.columns[i].id + ": " + row[i]);
                if (row[i].empty()) continue;
                if (sheet.columns[i].kind == Cell::code) CHECK(has_words(words, "audit.value." + row[i]));
                if (sheet.columns[i].kind == Cell::message && code_in(row[i]).rfind("told.", 0) != 0)
                    CHECK(has_words(words, code_in(row[i])));
                CHECK(row[i] != "nan");
                CHECK(row[i] != "-0.0000");
            }
        }
        for (const Message& note : sheet.notes)
            CHECK(has_words(words, note.code));
    }
    for (const Chart& chart : audit.charts)
        for (const Message& note : chart.notes)
            CHECK(has_words(words, note.code));
}

// A shift with everything in it that can go wrong.
AuditFacts busy_shift() {
    SmallFacts f;
    for (int i = 0; i < 20; ++i) {
        const std::string serial = "S" + std::to_string(i);
        f.assembly(serial).passed_seq = f.next();
        f.end(serial, "a", Length::from_um(25'000 + 7 * (i % 5)), Length::from_um(20 + 2 * (i % 3)));
        f.end(serial, "b", Length::from_um(25'010 + 5 * (i % 4)));
    }
    f.assembly("F1", "on_hold");
    f.end("F1", "a", 25'300_um, 20_um, "fails", {{"crimp_diameter", "fails", "above"}, {"bore_pin", "fails", "none"}});
    f.hold("F1", "failed").end = "a";
    f.hold("S1", "suspect").gauge = "G1";
    f.hold("S2", "overturned");
    f.hold("S3", "uncertain", "concession");
    f.facts.readings[4].voided_seq = f.next();
    f.facts.readings[4].voided_by = "ana";
    GaugeFact g;
    g.gauge = "G1";
    g.calibration_due = "2025-12-01";
    g.resolution = 10_um;
    g.proof_limit = 20_um;
    f.facts.gauges.push_back(g);
    for (int i = 0; i < 5; ++i) {
        ProofFact p;
        p.seq = i + 1;
        p.ms = f.at(i + 1);
        p.gauge = "G1";
        p.limit = 20_um;
        p.passed = true;
        f.facts.proofs.push_back(p);
    }
    ShiftFact& shift = f.shift("2025-11-25/1", 1);
    shift.signed_off_by = "lea";
    shift.remark = "fine";
    shift.signed_off_seq = 100;
    shift.upto_seq = 100;
    for (const char* type :
         {"reading.voided", "clock.stepped", "tag.in_doubt", "tag.failed", "drift.warned", "gauge.lost", "hold.settled",
          "limits.set", "tag.printing", "station.started", "person.added", "screen.set"}) {
        HappeningFact h;
        h.seq = f.next();
        h.ms = f.at(h.seq);
        h.type = type;
        h.person = "ana";
        h.serial = "S1";
        h.told = message("told.voided").with("who", "ana");
        f.facts.happenings.push_back(h);
    }
    f.facts.tags.push_back({f.next(), f.at(400), "S1", "", "", 0, "failed", f.next(), f.at(410)});
    f.facts.tags.push_back({f.next(), f.at(420), "S2", "ana", "torn", 1, "in_doubt", f.next(), f.at(430)});
    for (const char* person : {"ana", "ben"})
        for (int i = 0; i < 30; ++i)
            f.facts.confirmations.push_back({f.next(), f.at(3'000 + 10 * i) + (person[0] == 'a' ? 0 : 9'000 * (i % 2)),
                                             person, "S1", "a", "mark_after", "conforms", 1, 0});
    f.facts.refusals.push_back({f.next(), f.at(500), "ana", "G1", "S1", message("driver.low_battery")});
    SetupFact s;
    s.seq = 2;
    s.spec = "S16";
    s.passed = true;
    f.facts.setups.push_back(s);
    f.facts.journal.damage = message("journal.broken").with("seq", "7");
    f.facts.journal.verified_seq = 6;
    return f.facts;
}

}  // namespace

TEST_CASE("every row has a cell for every column, and every code its words in both languages") {
    const std::string words = catalogue();
    REQUIRE(words.size() > 10'000);
    for (const bool inches : {false, true}) {
        AuditFacts facts = busy_shift();
        facts.inches = inches;
        const Audit audit = make_audit(facts);
        CHECK(audit.sheets.size() == 26);
        CHECK(audit.unit == (inches ? "in" : "mm"));
        check_sheets(audit, words);
    }
    Planted planted;
    planted.die_wears = planted.setting_bumped = planted.gauge_off = planted.hose_lot_ragged = true;
    AuditFacts facts = year_facts(5, planted);
    for (const auto rule : statistics::all_run_rules)
        facts.watch_rules.emplace_back(statistics::code_of(rule));
    check_sheets(make_audit(facts), words);
    for (const auto code : value_words())
        CHECK(has_words(words, std::string(code)));
}

TEST_CASE("an audit of nothing has all its sheets, and says nothing that is not so") {
    const Audit audit = make_audit({});
    CHECK(audit.sheets.size() == 26);
    for (const Sheet& sheet : audit.sheets) {
        INFO(sheet.id);
        CHECK(sheet.rows.size() == (sheet.id == "made" || sheet.id == "journal" ? 1 : 0));
    }
}

TEST_CASE("the same facts give the same audit, and without charts the same sheets") {
    const AuditFacts facts = busy_shift();
    const Audit once = make_audit(facts), again = make_audit(facts);
    Choices bare;
    bare.charts = false;
    const Audit without = make_audit(facts, bare);
    CHECK(without.charts.empty());
    REQUIRE(once.sheets.size() == again.sheets.size());
    for (std::size_t i = 0; i < once.sheets.size(); ++i) {
        CHECK(once.sheets[i].rows == again.sheets[i].rows);
        CHECK(once.sheets[i].rows == without.sheets[i].rows);
    }
}

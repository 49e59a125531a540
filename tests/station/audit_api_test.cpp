// The audit over HTTP: what the lead and the auditor get, in which form, and what is refused.
#include "tests/support/catch.h"

#include <boost/json.hpp>

#include "station/bench/state.h"
#include "station/daemon/audit_source.h"
#include "station/http/audit_query.h"
#include "station/http/guard.h"
#include "tests/station/api_work.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

ApiReply must(const Result<ApiReply>& reply) {
    if (!reply) FAIL(reply.error().code);
    return *reply;
}

std::string code_in(const ApiReply& reply) {
    return reply.code();
}

Entry last_of(ApiStation& station, const std::string& type) {
    Entry found;
    for (auto& entry : station.entries())
        if (entry.type == type) found = std::move(entry);
    return found;
}

// A shift by OPA in which an end was crimped for each of `crimps`, its first place that wide; the shift's name.
std::string work_a_shift(ApiStation& station, const std::vector<std::string>& crimps) {
    ready_for_work(station);
    for (const auto& mm : crimps)
        work_end(station, mm);
    return std::string(last_of(station, "shift.started").body.at("shift").as_string());
}

void end_the_shift(ApiStation& station) {
    REQUIRE(station.run(commands::ProveGauge{"CAL-1", "RING-25"}, "OPA").empty());
    station.press("25.00");
    REQUIRE(station.run(commands::EndShift{}, "OPA").empty());
}

}  // namespace

TEST_CASE("the lead and the auditor read a shift's audit; an operator does not") {
    ApiStation station;
    station.set_up();
    const auto shift = work_a_shift(station, {"25.50", "25.51"});
    for (const char* who : {"LEA", "AUD"}) {
        auto client = station.client(who, false);
        const auto reply = must(client.get("/api/audit?shift=" + shift));
        INFO(reply.text.substr(0, 300));
        REQUIRE(reply.status == 200);
        CHECK(reply.json.at("scope") == json::object{{"shift", shift}});
        CHECK(reply.json.at("unit") == "mm");
        CHECK(reply.json.at("time_zone") == "Europe/Berlin");
        CHECK(reply.json.at("journal").at("last_seq").as_int64() > 0);
        CHECK(reply.json.at("journal").at("last_hash").as_string().size() == 64);
        // Every row has a cell for each column, and each cell is text.
        REQUIRE(reply.json.at("sheets").as_array().size() > 3);
        for (const auto& sheet : reply.json.at("sheets").as_array()) {
            INFO(std::string(sheet.at("id").as_string()));
            const auto columns = sheet.at("columns").as_array().size();
            CHECK(columns > 0);
            for (const auto& row : sheet.at("rows").as_array()) {
                CHECK(row.as_array().size() == columns);
                for (const auto& cell : row.as_array())
                    CHECK(cell.is_string());
            }
        }
    }
    auto operator_ = station.client("OPA", false);
    const auto refused = must(operator_.get("/api/audit?shift=" + shift));
    CHECK(refused.status == 403);
    CHECK(code_in(refused) == "api.office_only");
}

TEST_CASE("a question that is not understood is refused by the name of what is wrong with it") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    const auto refused = [&](const std::string& query, int status, const std::string& code) {
        INFO(query);
        const auto reply = must(lead.get(query));
        CHECK(reply.status == status);
        CHECK(code_in(reply) == code);
        CHECK_FALSE(reply.json.at("words").as_string().empty());
        return reply.json;
    };
    refused("/api/audit", 400, "audit.scope_empty");
    refused("/api/audit?charts=no", 400, "audit.scope_empty");
    CHECK(refused("/api/audit?shfit=x", 400, "api.unknown_parameter").at("details").at("name") == "shfit");
    CHECK(refused("/api/audit?order=A-100&order=A-200", 400, "http.doubled_parameter").at("details").at("name") ==
          "order");
    refused("/api/audit?order=", 400, "api.empty_parameter");
    refused("/api/audit?order=A-100&charts=maybe", 400, "api.bad_parameter");
    refused("/api/audit?order=A-100&sheet=made", 400, "api.unknown_parameter");  // of the CSV only
    refused("/api/audit?shift=2026-11-25/9", 404, "audit.no_shift");
    refused("/api/audit?order=A-7", 404, "audit.no_order");
    refused("/api/audit?from=2026-11-31", 400, "date.no_such_day");
    refused("/api/audit?from=2026-11-25&to=2026-11-24", 400, "audit.days_reversed");
    refused("/api/audit.csv?order=A-100", 400, "api.no_sheet");
    refused("/api/audit.csv?order=A-100&sheet=mad", 404, "audit.no_sheet");
    refused("/api/audit.pdf?order=A-100&paper=a3", 400, "api.bad_parameter");
    refused("/api/audit.pdf?order=A-100&language=xx", 400, "api.bad_parameter");
}

TEST_CASE("a parameter that stands twice is refused wherever it is asked, since either may be meant") {
    CHECK(parse_target("/a?x=1&y=2")->query.size() == 2);
    CHECK(parse_target("/a?x=1&x=1").error().code == "http.doubled_parameter");
    CHECK(parse_target("/a?x=1&%78=2").error().code == "http.doubled_parameter");
}

TEST_CASE("one sheet goes out as a CSV file whose cells are those of the audit") {
    ApiStation station;
    station.set_up();
    const auto shift = work_a_shift(station, {"25.50", "25.51"});
    auto lead = station.client("LEA", false);
    const auto whole = must(lead.get("/api/audit?charts=no&shift=" + shift));
    CHECK(whole.json.at("charts").as_array().empty());
    const auto csv = must(lead.get("/api/audit.csv?sheet=made&shift=" + shift));
    REQUIRE(csv.status == 200);
    CHECK(csv.header("content-type") == "text/csv; charset=utf-8");
    for (const auto& sheet : whole.json.at("sheets").as_array()) {
        if (sheet.at("id") != "made") continue;
        std::string expected = "\xEF\xBB\xBF";
        const auto line = [&](const json::array& cells, auto text) {
            for (std::size_t i = 0; i < cells.size(); ++i)
                expected += (i == 0 ? "" : ",") + text(cells[i]);
            expected += "\r\n";
        };
        line(sheet.at("columns").as_array(), [](const auto& c) { return std::string(c.at("id").as_string()); });
        for (const auto& row : sheet.at("rows").as_array())
            line(row.as_array(), [](const auto& c) { return std::string(c.as_string()); });
        CHECK(csv.text == expected);
    }
}

TEST_CASE("the audit goes out on paper, and as a file to keep") {
    ApiStation station;
    station.set_up();
    const auto shift = work_a_shift(station, {"25.50", "25.51"});
    auto auditor = station.client("AUD", false);
    for (const std::string more : {"", "&paper=letter", "&language=de"}) {
        const auto pdf = must(auditor.get("/api/audit.pdf?shift=" + shift + more));
        INFO(more);
        REQUIRE(pdf.status == 200);
        CHECK(pdf.header("content-type") == "application/pdf");
        CHECK(pdf.text.substr(0, 5) == "%PDF-");
    }
    const auto file = must(auditor.get("/api/audit.json?shift=" + shift));
    CHECK(file.status == 200);
    CHECK(std::string_view(file.json.at("scope").at("shift").as_string()) == shift);
}

TEST_CASE("R9: a lead signs a closed shift off, once it is closed, and nobody else does") {
    ApiStation station;
    station.set_up();
    const auto shift = work_a_shift(station, {"25.50", "25.51"});
    auto lead = station.client("LEA", false);
    const json::object body{{"shift", shift}, {"remark", "all good"}};
    CHECK(code_in(must(lead.post("/api/shifts/sign-off", body))) == "bench.shift_still_running");
    end_the_shift(station);
    for (const char* who : {"OPA", "SET", "AUD"}) {
        INFO(who);
        CHECK(must(station.client(who, false).post("/api/shifts/sign-off", body)).status == 403);
    }
    auto list = must(lead.get("/api/shifts"));
    REQUIRE(list.json.at("shifts").as_array().size() == 1);
    CHECK_FALSE(list.json.at("shifts").at(0).as_object().contains("signed_off_by"));
    REQUIRE(must(lead.post("/api/shifts/sign-off", body)).status == 200);
    list = must(lead.get("/api/shifts"));
    const auto& signed_off = list.json.at("shifts").at(0).as_object();
    CHECK(signed_off.at("signed_off_by") == "LEA");
    CHECK(signed_off.at("remark") == "all good");
    CHECK(signed_off.at("started") == 1);
    CHECK(signed_off.at("passed") == 1);
    CHECK(signed_off.at("late_entries") == 0);
    CHECK_FALSE(list.json.contains("running"));
    // Something that comes for it afterwards shows as late.
    const std::string serial(last_of(station, "assembly.started").body.at("serial").as_string());
    REQUIRE(station.run(commands::HoldAssembly{"scratched on the rack", serial}, "LEA").empty());
    list = must(lead.get("/api/shifts"));
    CHECK(list.json.at("shifts").at(0).at("late_entries").as_int64() > 0);
    CHECK(code_in(must(lead.post("/api/shifts/sign-off", {{"shift", "2026-01-01/1"}, {"remark", ""}}))) ==
          "bench.no_such_shift");
}

TEST_CASE("R9: a lead freezes the limits of a chart, reckoned from the journal's own ends, and takes them back") {
    ApiStation station;
    station.set_up();
    work_a_shift(station, {"25.50", "25.56", "25.47", "25.53"});
    const auto stream = stream_of(bench_row());
    const auto last = station.last_seq();
    auto lead = station.client("LEA", false);
    json::object body{{"stream", stream}, {"chart", "means"},          {"from_seq", 1},
                      {"to_seq", last},   {"left_out", json::array{}}, {"reason", "the first shift"}};
    for (const char* who : {"OPA", "SET", "AUD"}) {
        INFO(who);
        CHECK(must(station.client(who, false).post("/api/charts/freeze", body)).status == 403);
    }
    REQUIRE(must(lead.post("/api/charts/freeze", body)).status == 200);
    const auto frozen = last_of(station, "chart.limits_frozen");
    // Means of three places: 25.50, 25.52, 25.49, 25.51 mm. Moving ranges 0.02, 0.03, 0.02: mean 0.023333; d2(2) =
    // 2 / sqrt(pi) = 1.128379 (ISO 7870-2, NIST/SEMATECH 6.3.2.2): sigma 0.0206786, limits 3 sigma from 25.505.
    CHECK(frozen.body.at("points") == 4);
    CHECK(frozen.body.at("centre_nm") == 25'505'000);
    CHECK(frozen.body.at("sigma_nm") == 20'679);
    CHECK(frozen.body.at("lower_nm") == 25'442'964);
    CHECK(frozen.body.at("upper_nm") == 25'567'036);
    CHECK(frozen.who == "LEA");

    // Spreads 0.00, 0.06, 0.03, 0.03 mm of three places: mean 0.03; D3(3) = 0, D4(3) = 2.574 (ASTM MNL 7, three
    // decimals), so the upper limit is 0.0772 mm.
    body["chart"] = "spreads";
    REQUIRE(must(lead.post("/api/charts/freeze", body)).status == 200);
    const auto spreads = last_of(station, "chart.limits_frozen").body;
    CHECK(spreads.at("chart") == "spreads");
    CHECK(spreads.at("centre_nm") == 30'000);
    CHECK(spreads.at("lower_nm") == 0);
    CHECK(std::abs(spreads.at("upper_nm").as_int64() - 77'220) <= 30);

    // A point left out is named by its entry; a number that is none of them is refused.
    std::vector<std::int64_t> ends;
    for (const auto& entry : station.entries())
        if (entry.type == "end.judged") ends.push_back(entry.seq);
    body["chart"] = "means";
    body["left_out"] = json::array{ends.at(1)};
    REQUIRE(must(lead.post("/api/charts/freeze", body)).status == 200);
    CHECK(last_of(station, "chart.limits_frozen").body.at("points") == 3);
    body["left_out"] = json::array{ends.at(1) + 1};
    CHECK(code_in(must(lead.post("/api/charts/freeze", body))) == "chart.not_a_point");
    body["left_out"] = json::array{};
    body["from_seq"] = last + 100;
    body["to_seq"] = last + 200;
    CHECK(code_in(must(lead.post("/api/charts/freeze", body))) == "chart.no_points");
    body["to_seq"] = 1;
    CHECK(code_in(must(lead.post("/api/charts/freeze", body))) == "chart.range_reversed");

    const json::object release{{"stream", stream}, {"chart", "means"}, {"reason", "new die set"}};
    CHECK(must(station.client("SET", false).post("/api/charts/release", release)).status == 403);
    CHECK(must(lead.post("/api/charts/release", release)).status == 200);
    CHECK(code_in(must(lead.post("/api/charts/release", release))) == "bench.no_frozen_limits");
}

TEST_CASE("the drift watch is read by everybody and set by a lead or a setter") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET", false);
    const auto before = must(station.client("OPA", false).get("/api/watch"));
    CHECK(before.json.at("on") == true);
    CHECK(before.json.at("points") == 30);
    json::object watch = before.json;
    watch["points"] = 40;
    watch["on"] = false;
    CHECK(must(station.client("OPA", false).post("/api/watch", watch)).status == 403);
    CHECK(must(station.client("AUD", false).post("/api/watch", watch)).status == 403);
    REQUIRE(must(setter.post("/api/watch", watch)).status == 200);
    CHECK(must(setter.get("/api/watch")).json == watch);
    watch["points"] = 400;
    CHECK(code_in(must(setter.post("/api/watch", watch))) == "bench.out_of_range");
}

TEST_CASE("R3: an audit says how far and when the station last read its journal through, and what came after that") {
    ApiStation station;
    station.set_up();
    const auto shift = work_a_shift(station, {"25.50", "25.51"});
    auto lead = station.client("LEA", false);
    const auto asked = [&] { return must(lead.get("/api/audit?charts=no&shift=" + shift)).json; };
    const auto soundness = [](const json::object& audit) {
        for (const auto& sheet : audit.at("sheets").as_array()) {
            if (sheet.at("id") != "open_points") continue;
            for (const auto& row : sheet.at("rows").as_array())
                if (row.at(0) == "19") return json::parse(row.at(1).as_string()).as_object();
        }
        return json::object{};
    };
    const auto before = asked();
    CHECK(before.at("journal").at("verified_seq") == 0);
    CHECK_FALSE(before.at("journal").as_object().contains("verified_utc_ms"));
    CHECK(soundness(before).at("code") == "audit.open.journal_unread");

    const auto read = must(lead.post("/api/journal/verify", json::object{})).json;
    REQUIRE(read.at("sound") == true);
    const auto seq = read.at("entries").as_int64();
    const auto after = asked();
    CHECK(after.at("journal").at("verified_seq") == seq);
    CHECK(after.at("journal").at("last_seq") == seq);
    const auto at = after.at("journal").at("verified_utc_ms").as_int64();
    CHECK(at > 0);
    CHECK(at <= after.at("made_utc_ms").as_int64());
    CHECK(soundness(after).empty());
    for (const auto& sheet : after.at("sheets").as_array())
        if (sheet.at("id") == "journal") {
            CHECK(sheet.at("rows").at(0).at(3) == json::value(std::to_string(seq)));
            CHECK_FALSE(sheet.at("rows").at(0).at(4).as_string().empty());
        }

    // What was written since then was not read.
    REQUIRE(station.run(commands::SetWatch{entries::WatchSet{}}, "LEA").empty());
    const auto later = asked();
    CHECK(later.at("journal").at("verified_seq") == seq);
    CHECK(later.at("journal").at("verified_utc_ms") == at);
    CHECK(soundness(later).at("code") == "audit.open.journal_not_verified");
    CHECK(soundness(later).at("details").at("verified") == json::value(std::to_string(seq)));
}

TEST_CASE("R3: what the last reading of the journal found damaged stands on top of every audit") {
    ApiStation station;
    station.set_up();
    const auto shift = work_a_shift(station, {"25.50"});
    station.on_loop([&] {
        const auto journal = Journal::open(station.folder / "bench.journal", [] {
            JournalOptions options;
            options.access = JournalAccess::read;
            return options;
        }());
        REQUIRE(journal.has_value());
        AuditSetting setting;
        setting.now_ms = 1'764'000'000'000;
        Verification found;
        found.entries = 7;
        found.damage = message("verify.gap").with("seq", "8").with("found", "9");
        setting.read_through = ReadThrough{1'763'000'000'000, found};
        AuditWanted wanted;
        wanted.scope.shift = shift;
        const auto audit = audit_of(*journal, wanted, setting);
        REQUIRE(audit.has_value());
        CHECK(audit->sheets.front().rows.front().front() == "1");
        CHECK(audit->journal.verified_seq == 7);
        CHECK(audit->verified_ms == 1'763'000'000'000);
    });
}

TEST_CASE("a study or a sample is asked for alone, blind until it is complete, and only by those who may see audits") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    const auto refused = [&](const std::string& query, int status, const std::string& code) {
        INFO(query);
        const auto reply = must(lead.get(query));
        CHECK(reply.status == status);
        CHECK(code_in(reply) == code);
    };
    const json::object plan{{"kind", "repeatability"},
                            {"gauge", "CAL-1"},
                            {"pieces", json::array{json::object{{"piece", "P1"}}, json::object{{"piece", "P2"}}}},
                            {"people", json::array{"OPA", "LEB"}},
                            {"trials", 2},
                            {"lower_nm", 25'300'000},
                            {"upper_nm", 25'700'000}};
    REQUIRE(must(lead.post("/api/studies/plan", plan)).status == 200);
    for (const std::string file :
         {"/api/audit?", "/api/audit.json?", "/api/audit.pdf?", "/api/audit.csv?sheet=study_plan&"}) {
        refused(file + "study=GS-1", 409, "bench.study_incomplete");
        refused(file + "study=GS-2", 404, "bench.no_study");
        refused(file + "sample=RM-1", 404, "bench.no_sample");
        refused(file + "study=GS-1&sample=RM-1", 400, "audit.study_alone");
        refused(file + "study=GS-1&order=A-100", 400, "audit.study_alone");
        CHECK(must(station.client("OPA", false).get(file + "study=GS-1")).status == 403);
    }
}

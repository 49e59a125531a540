// Setting the shop up through the API: tables, references, limits, the screen, lines of gauges, printers.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <chrono>
#include <fstream>
#include <iterator>
#include <thread>

#include "api_station.h"
#include "drivers/pty.h"
#include "raw_client.h"
#include "specs/csv_write.h"
#include "specs/row_differences.h"
#include "specs/spec_table.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;
using std::chrono::milliseconds;

namespace {

ApiReply get(ApiClient& client, const std::string& target) {
    auto reply = client.get(target);
    REQUIRE(reply.has_value());
    return *reply;
}

ApiReply post(ApiClient& client, const std::string& target, const json::object& body = {}) {
    auto reply = client.post(target, body);
    REQUIRE(reply.has_value());
    return *reply;
}

std::string demo_table() {
    std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/specs/examples/demo_table.csv", std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
}

std::string csv_of(const std::vector<SpecRow>& rows) {
    std::string csv;
    for (const auto& row : rows) {
        std::vector<std::string> header, cells;
        for (const auto& cell : written_cells(row, LengthUnit::mm)) {
            header.push_back(cell.column);
            cells.push_back(cell.text);
        }
        if (csv.empty()) csv = csv_row(header);
        csv += csv_row(cells);
    }
    return csv;
}

json::object limits_body() {
    return {{"proof_interval_min", 120},
            {"repeats_allowed", 2},
            {"prove_after_reconnect", true},
            {"own_hold_may_be_settled", true},
            {"hose_age_years", 3},
            {"sign_out_after_min", 30},
            {"simple_acceptance_allowed", true},
            {"scrap_by_operator", true},
            {"concession_needs_second", false},
            {"shown_unit", "inch"}};
}

// The first of `list` whose member `name` says `value`; an empty object when there is none.
json::object one_of(const json::value& list, const char* name, const std::string& value) {
    for (const auto& each : list.as_array())
        if (const auto* found = each.as_object().if_contains(name); found != nullptr && *found == json::string(value))
            return each.as_object();
    return {};
}

}  // namespace

TEST_CASE("A table is checked against the rows in force without a word being written") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    auto opa = station.client("OPA");
    const std::string csv = demo_table();
    const auto before = station.last_seq();
    const auto checked = post(lead, "/api/tables/check", {{"name", "corvane.csv"}, {"csv", csv}});
    INFO(checked.text);
    REQUIRE(checked.ok());
    const auto rows = parse_spec_table(csv).value().rows.size();
    CHECK(checked.json.at("rows") == rows);
    CHECK(checked.json.at("counts").at("new") == rows);
    CHECK(checked.json.at("counts").at("kept") == 1);  // the row that the station began with
    const auto kept = one_of(checked.json.at("differences"), "change", "kept");
    CHECK(kept.at("spec_id") == json::string(bench_row().spec_id));
    CHECK(checked.json.at("warnings").is_array());
    CHECK(station.last_seq() == before);

    const auto torn = post(lead, "/api/tables/check", {{"name", "x.csv"}, {"csv", "spec_id,revision\nA,1\n"}});
    CHECK(torn.status == 422);
    CHECK(torn.json.at("errors").as_array().size() > 10);
    CHECK(torn.json.at("errors").as_array()[0].as_object().contains("words"));
    CHECK(post(opa, "/api/tables/check", {{"name", "x.csv"}, {"csv", csv}}).status == 403);
}

TEST_CASE("R9: whoever signs second sees each cell that changes, and what is in force says who signed it") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    auto lead = station.client("LEA", false);
    const auto original = parse_spec_table(demo_table()).value().rows;
    const auto adopt = [&](const std::vector<SpecRow>& rows) {
        const auto proposed =
            post(setter, "/api/tables", {{"name", "demo.csv"}, {"csv", csv_of(rows)}, {"acknowledge_warnings", true}});
        INFO(proposed.text);
        REQUIRE(proposed.ok());
        return proposed.json.at("entries").at(0).at("seq").as_int64();
    };
    CHECK(post(lead, "/api/tables/adopt", {{"proposed_seq", adopt(original)}}).ok());

    auto changed = original;
    changed.resize(1);
    changed[0].revision = "77";
    changed[0].depth.nominal = changed[0].depth.nominal + Length::from_um(250);
    const auto seq = adopt(changed);
    const auto tables = get(lead, "/api/tables");
    REQUIRE(tables.ok());
    const auto& proposals = tables.json.at("proposals").as_array();
    REQUIRE(proposals.size() == 1);
    const auto& proposal = proposals[0].as_object();
    CHECK(proposal.at("proposed_seq") == seq);
    CHECK(proposal.at("proposed_by") == "SET");
    CHECK(proposal.at("table") == "demo.csv");
    const auto row = one_of(proposal.at("differences"), "spec_id", original[0].spec_id);
    CHECK(row.at("change") == "changed");
    const auto& cells = row.at("cells").as_array();
    REQUIRE(cells.size() == 2);
    CHECK(cells[0].at("column") == "revision");
    CHECK(cells[0].at("after") == "77");
    CHECK(cells[1].at("column") == "depth_mm");
    CHECK(proposal.at("counts").at("kept") == static_cast<std::int64_t>(original.size()));

    const auto in_force = one_of(tables.json.at("in_force"), "spec_id", original[0].spec_id);
    CHECK(in_force.at("table") == "demo.csv");
    CHECK(in_force.at("adopted_by") == "LEA");
    CHECK(in_force.at("revision") == json::string(original[0].revision));
    CHECK(in_force.at("hose").at("type") == json::string(original[0].hose.type));
    CHECK(post(lead, "/api/tables/adopt", {{"proposed_seq", seq}}).ok());
    const auto after = get(lead, "/api/tables");
    CHECK(after.json.at("proposals").as_array().empty());
    CHECK(one_of(after.json.at("in_force"), "spec_id", original[0].spec_id).at("revision") == "77");
}

TEST_CASE("References and limits are read by whoever is signed in, and limits are set by the setter alone") {
    ApiStation station;
    station.set_up();
    auto opa = station.client("OPA");
    auto setter = station.client("SET");
    const auto references = get(opa, "/api/references");
    REQUIRE(references.ok());
    CHECK(references.json.at("references").at(0).at("reference") == "RING-25");
    CHECK(references.json.at("references").at(0).at("size_nm") == 25'000'000);

    const auto configured = get(opa, "/api/limits");
    REQUIRE(configured.ok());
    CHECK(configured.json.at("proof_interval_min") == 240);
    CHECK(configured.json.at("shown_unit") == "mm");
    CHECK(post(opa, "/api/limits", limits_body()).status == 403);
    CHECK(post(setter, "/api/limits", limits_body()).ok());
    CHECK(get(opa, "/api/limits").json == json::value(limits_body()));
    auto wild = limits_body();
    wild["proof_interval_min"] = 1;
    CHECK(post(setter, "/api/limits", wild).code() == "bench.out_of_range");
    auto half = limits_body();
    half.erase("repeats_allowed");
    CHECK(post(setter, "/api/limits", half).code() == "json.missing");
    CHECK(get(opa, "/api/limits").json == json::value(limits_body()));
}

TEST_CASE("The operator's screen is measured by the setter and shown at the bench") {
    ApiStation station;
    station.set_up();
    auto opa = station.client("OPA");
    auto setter = station.client("SET");
    CHECK(post(opa, "/api/screen", {{"um_per_pixel", 250}, {"sound", false}}).status == 403);
    CHECK(post(setter, "/api/screen", {{"um_per_pixel", 5}, {"sound", true}}).code() == "bench.out_of_range");
    CHECK(post(setter, "/api/screen", {{"um_per_pixel", 250}, {"sound", false}}).ok());
    const auto screen = get(opa, "/api/bench").json.at("screen");
    CHECK(screen.at("um_per_pixel") == 250);
    CHECK(screen.at("sound") == false);
}

TEST_CASE("R1: a line set at the station is opened, shown, and its gauge proves itself before it measures again") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    auto opa = station.client("OPA");
    CHECK(post(opa, "/api/shift/start").ok());
    CHECK(post(opa, "/api/gauges/prove", {{"gauge", "CAL-1"}, {"reference", "RING-25"}}).ok());
    station.press("25.00");
    const auto gauge = [&] { return one_of(get(opa, "/api/bench").json.at("gauges"), "gauge", "CAL-1"); };
    REQUIRE(gauge().at("ready") == true);

    auto opened = Pty::open();
    REQUIRE(opened.has_value());
    Pty end = std::move(*opened);
    const auto set = [&](const std::string& id, const std::string& port, const std::string& profile) {
        return post(setter, "/api/gauges/line", {{"gauge", id}, {"port", port}, {"profile", profile}});
    };
    CHECK(set("CAL-1", end.device(), "no_such_profile").code() == "gauge.no_profile");
    CHECK(set("CAL-1", "/dev/null", "padded_sign_line").code() == "port.not_a_port");
    CHECK(set("", end.device(), "padded_sign_line").code() == "bench.field_empty");
    CHECK(post(opa, "/api/gauges/line", {{"gauge", "CAL-1"}, {"port", end.device()}, {"profile", "padded_sign_line"}})
              .status == 403);
    const auto done = set("CAL-1", end.device(), "padded_sign_line");
    INFO(done.text);
    REQUIRE(done.ok());
    CHECK(done.json.at("entries").at(0).at("type") == "gauge.line_set");
    CHECK(gauge().at("ready") == false);
    CHECK(gauge().at("why").at("code") == "bench.gauge_not_proved");
    CHECK(one_of(get(opa, "/api/gauges").json.at("gauges"), "gauge", "CAL-1").at("needs_proof") == true);
    CHECK(set("CAL-2", end.device(), "padded_sign_line").code() == "bench.port_taken");

    json::object port;
    for (int i = 0; i < 600 && !(port.contains("connected") && port.at("connected") == true); ++i) {
        std::this_thread::sleep_for(milliseconds(100));
        port = one_of(get(setter, "/api/ports").json.at("ports"), "gauge", "CAL-1");
    }
    CHECK(port.at("path") == json::string(end.device()));
    CHECK(port.at("profile") == "padded_sign_line");
    CHECK(port.at("set_here") == true);
    CHECK(get(opa, "/api/ports").status == 403);

    // Registered anew, the gauge has the profile of its line.
    CHECK(post(setter, "/api/gauges",
               {{"gauge", "CAL-1"},
                {"resolution_nm", 10'000},
                {"uncertainty_nm", 12'000},
                {"proof_limit_nm", 20'000},
                {"calibrated", "2026-03-02"},
                {"calibration_due", "2027-03-01"},
                {"certificate", "C-2041"}})
              .ok());
    CHECK(station.entries().back().body.at("profile") == "padded_sign_line");
}

TEST_CASE("A line is watched live: bytes, frames and readings of a free port, which is closed when nobody watches") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    auto opened = Pty::open();
    REQUIRE(opened.has_value());
    Pty end = std::move(*opened);
    const std::string target = "/api/lines/listen?port=" + end.device() + "&profile=signed_decimal_unit";
    auto opa = station.client("OPA");
    CHECK(get(opa, target).status == 403);
    CHECK(get(setter, "/api/lines/listen?port=" + end.device() + "&profile=none").code() == "gauge.no_profile");
    CHECK(get(setter, "/api/lines/listen?profile=signed_decimal_unit").code() == "line.bad_address");
    const auto before = station.last_seq();
    {
        RawClient watching(station.port());
        REQUIRE(watching.send("GET " + target + " HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer " +
                              setter.token() + "\r\n\r\n"));
        REQUIRE(watching.until("event: state\ndata: {\"connected\":true"));
        REQUIRE(end.write("+021.58mm\r\n"));
        REQUIRE(watching.until("event: reading\ndata: {\"resolution_nm\":10000,\"unit\":\"mm\""));
        REQUIRE(watching.until("\"value_nm\":21580000}"));
        CHECK(watching.got().find("event: bytes\ndata: {\"hex\":\"2b3032312e35386d6d0d0a\"") != std::string::npos);
        CHECK(watching.got().find("event: frame\ndata: {\"hex\":\"2b3032312e35386d6d0d0a\"") != std::string::npos);
    }
    CHECK(station.last_seq() == before);  // nothing of it is written down
    // The stream finds out at its next word that nobody is there.
    for (int i = 0; i < 600 && end.in_use(); ++i) {
        end.write("+021.58mm\r\n");
        std::this_thread::sleep_for(milliseconds(100));
    }
    CHECK_FALSE(end.in_use());
}

TEST_CASE("Profiles are listed with what the gauge sends, each under the hash of its file") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    const auto listed = get(setter, "/api/profiles");
    REQUIRE(listed.ok());
    const auto press = one_of(listed.json.at("profiles"), "profile", "signed_decimal_unit");
    CHECK(press.at("sends") == "on_press");
    CHECK(press.at("unit") == "as_sent");
    CHECK(press.at("sha256").as_string().size() == 64);
    CHECK(one_of(listed.json.at("profiles"), "profile", "continuous_still").at("sends") == "continuous");
    CHECK(one_of(listed.json.at("profiles"), "profile", "request_answer").at("sends") == "when_asked");
    CHECK(listed.json.at("unusable").as_array().empty());
}

TEST_CASE("A printer is chosen by the setter; its name is a queue's or refused; the list says what is in use") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    auto opa = station.client("OPA");
    auto listed = get(setter, "/api/printers");
    REQUIRE(listed.ok());
    CHECK(listed.json.at("in_use").at("size") == "100x150");
    CHECK(listed.json.at("printers").is_array());
    CHECK(listed.json.contains("why") == listed.json.at("printers").as_array().empty());
    const json::object choice{{"printer", "rack-printer"}, {"size", "100x50"}, {"dpi", 300}};
    CHECK(post(opa, "/api/printer", choice).status == 403);
    CHECK(post(setter, "/api/printer", choice).ok());
    CHECK(get(setter, "/api/printers").json.at("in_use") == json::value(choice));
    CHECK(post(setter, "/api/printer", {{"printer", "a/b#c"}, {"size", "100x50"}, {"dpi", 300}}).code() ==
          "printer.bad_name");
    CHECK(post(setter, "/api/printer", {{"printer", ""}, {"size", "huge"}, {"dpi", 300}}).code() ==
          "bench.no_tag_size");
    CHECK(post(opa, "/api/tags/retry").code() == "api.no_printer");
}

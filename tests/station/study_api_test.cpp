// Gauge studies and samples over HTTP: who plans, what stays unseen while people measure, what is shown afterwards.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <chrono>
#include <cmath>

#include "study_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

json::array entries_told(ApiStation& station, const std::string& who, const std::string& type) {
    auto client = station.client(who, false);
    json::array out;
    const auto reply = must(client.get("/api/entries?from=1&limit=1000"));
    for (const auto& entry : reply.json.at("entries").as_array())
        if (std::string_view(entry.at("type").as_string()) == type) out.push_back(entry);
    return out;
}

const json::object& sheet(const json::object& whole, std::string_view id) {
    for (const auto& s : whole.at("sheets").as_array())
        if (std::string_view(s.at("id").as_string()) == id) return s.as_object();
    FAIL("no sheet " << id);
    throw std::logic_error("no sheet");
}

}  // namespace

TEST_CASE("a study is planned by a lead; its turns come from a seed that nobody chose, or from one that was given") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    for (const char* who : {"OPA", "SET", "AUD"}) {
        INFO(who);
        CHECK(must(station.client(who, false).post("/api/studies/plan", plan_body())).status == 403);
    }
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    auto given = plan_body();
    given["seed"] = "00000000000000c5";
    REQUIRE(must(lead.post("/api/studies/plan", given)).status == 200);
    given["seed"] = "chance";
    CHECK(must(lead.post("/api/studies/plan", given)).code() == "pick.seed_not_hex");
    given = plan_body();
    given["people"] = json::array{"OPA"};
    CHECK(must(lead.post("/api/studies/plan", given)).code() == "bench.study_too_small");
    given = plan_body();
    given["kind"] = "thorough";
    CHECK(must(lead.post("/api/studies/plan", given)).status == 400);

    const json::array list = must(station.client("OPA", false).get("/api/studies")).json.at("studies").as_array();
    REQUIRE(list.size() == 3);
    CHECK(list[0].at("study") == "GS-1");
    CHECK(list[0].at("turns") == 8);
    CHECK(list[0].at("measured") == 0);
    CHECK(list[0].at("planned_by_name").is_string());
    CHECK(list[0].at("seed").as_string().size() == 16);
    CHECK(list[0].at("seed") != list[1].at("seed"));
    CHECK(list[2].at("seed") == "00000000000000c5");
}

TEST_CASE("blind: until a study is complete nobody gets a value of it, by whatever way they ask") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    begin(station);
    measure(station, 7);
    for (const char* who : {"LEA", "SET", "AUD"}) {
        INFO(who);
        const auto told = entries_told(station, who, "study.measured");
        REQUIRE(told.size() == 7);
        for (const auto& entry : told) {
            CHECK(entry.as_object().size() == 4);
            CHECK(entry.at("withheld") == true);
            CHECK(entry.at("seq").as_int64() > 0);
            CHECK(entry.at("hash").as_string().size() == 64);
        }
        CHECK(must(station.client(who, false).get("/api/studies/GS-1")).code() == "bench.study_incomplete");
    }
    // The stream of a page and that of a program.
    for (const char* names : {"&names=no", ""}) {
        INFO(names);
        const auto last = station.last_seq();
        auto reader = EventReader::open("127.0.0.1", station.port(), "/api/events?from=1" + std::string(names));
        REQUIRE(reader);
        int withheld = 0;
        for (std::int64_t id = 0; id < last;) {
            const auto event = reader->next(std::chrono::seconds(20));
            REQUIRE(event);
            id = std::max(id, event->id);
            if (event->data.find("study.measured") == std::string::npos) continue;
            ++withheld;
            CHECK(event->data.find("\"withheld\":true") != std::string::npos);
            CHECK(event->data.find("value") == std::string::npos);
        }
        CHECK(withheld == 7);
    }
    const auto bench = must(lead.get("/api/bench"));
    CHECK(bench.text.find("\"value_nm\":254") == std::string::npos);
    CHECK(bench.text.find("\"value_nm\":256") == std::string::npos);
    CHECK(bench.json.at("open_studies").at(0).at("measured") == 7);
    CHECK(bench.json.at("study") == "GS-1");
    const auto list = must(lead.get("/api/studies"));
    CHECK(list.text.find("value") == std::string::npos);

    measure(station);
    const auto told = entries_told(station, "AUD", "study.measured");
    REQUIRE(told.size() == 8);
    for (const auto& entry : told)
        CHECK(entry.at("body").at("value_nm").as_int64() > 25'000'000);
    CHECK_FALSE(must(lead.get("/api/bench")).json.contains("open_studies"));
}

TEST_CASE("what was read in a study that was given up may be seen, and leads to nothing") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    begin(station);
    measure(station, 2);
    const json::object drop{{"study", "GS-1"}, {"reason", "wrong pieces"}};
    CHECK(must(station.client("OPA", false).post("/api/studies/drop", drop)).status == 403);
    REQUIRE(must(lead.post("/api/studies/drop", drop)).status == 200);
    const auto told = entries_told(station, "LEA", "study.measured");
    REQUIRE(told.size() == 2);
    CHECK(told[0].at("body").at("value_nm").is_int64());
    CHECK(must(lead.get("/api/studies/GS-1")).code() == "bench.study_incomplete");
    CHECK(must(lead.post("/api/studies/approve", approve_body())).code() == "bench.no_study");
    CHECK(must(lead.get("/api/studies/GS-9")).status == 404);
}

TEST_CASE("R9: the uncertainty is the station's to reckon and a lead's to approve, from the readings in the journal") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    CHECK(must(lead.post("/api/studies/approve", approve_body())).code() == "bench.study_incomplete");
    begin(station);
    measure(station);
    auto told = must(lead.get("/api/studies/GS-1"));
    REQUIRE(told.status == 200);
    CHECK_FALSE(told.json.contains("proposed"));
    CHECK(sheet(told.json, "study_readings").at("rows").as_array().size() == 8);
    CHECK(sheet(told.json, "study_answer").at("rows").as_array().size() == 3);
    CHECK(must(station.client("OPA", false).get("/api/studies/GS-1")).status == 403);
    CHECK(must(lead.get("/api/studies/GS-1?calibration_expanded_nm=much")).code() == "api.bad_number");

    told =
        must(lead.get("/api/studies/GS-1?calibration_expanded_nm=6000&calibration_k_permille=2000"
                      "&temperature_half_width_mk=2000&length_nm=25500000"));
    REQUIRE(told.status == 200);
    const auto proposed = told.json.at("proposed").at("uncertainty_nm").as_int64();
    // Beside the program: cells differ by 0.01 mm from trial to trial and by nothing else, people by 0.02. Mean
    // squares: error 8 x 0.005^2 / 4 = 5e-5 mm2, people 8 x 0.01^2 / 1 = 8e-4, interaction 0 (pooled: 2e-4 / 5 = 4e-5).
    // EV^2 = 4e-5, AV^2 = (8e-4 - 4e-5) / 4 = 1.9e-4 mm2; resolution 2 x 0.01^2 / 12 = 1.6667e-5; calibration 9e-6;
    // temperature (25.5 x 11.5e-6 x 2)^2 / 3 = 1.147e-7.
    const double u = std::sqrt(4e-5 + 1.9e-4 + 0.0002 / 12 + 9e-6 + std::pow(25.5 * 11.5e-6 * 2, 2) / 3) * 1e6;
    CHECK(std::abs(static_cast<double>(proposed) - u) < 2);

    for (const char* who : {"OPA", "SET", "AUD"})
        CHECK(must(station.client(who, false).post("/api/studies/approve", approve_body())).status == 403);
    // Who measured does not approve.
    CHECK(must(station.client("LEB", false).post("/api/studies/approve", approve_body())).code() == "bench.study_own");
    auto wrong = approve_body();
    wrong["calibration_k_permille"] = 0;
    CHECK(must(lead.post("/api/studies/approve", wrong)).code() == "uncertainty.bad_input");
    REQUIRE(must(lead.post("/api/studies/approve", approve_body())).status == 200);
    told = must(lead.get("/api/studies/GS-1"));
    REQUIRE(told.json.at("approved").as_array().size() == 1);
    CHECK(told.json.at("approved").at(0).at("uncertainty_nm") == proposed);
    CHECK(told.json.at("approved").at(0).at("before_nm") == 12'000);
    CHECK(told.json.at("approved").at(0).at("who") == "LEA");
    CHECK(told.json.at("gauge_uncertainty_nm") == proposed);
    CHECK(must(lead.get("/api/bench")).json.at("gauges").at(0).at("uncertainty_nm") == proposed);
    const auto set = entries_told(station, "AUD", "gauge.uncertainty_set");
    REQUIRE(set.size() == 1);
    CHECK(set[0].at("body").at("parts").as_array().size() == 5);
}

TEST_CASE("a turn is taken back over the API by whoever took it; the study is left and goes on") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    begin(station);
    measure(station, 1);
    const auto who = step_of(station).at("person");
    auto op = station.client(std::string(who.as_string()), true);
    CHECK(must(op.post("/api/studies/void-turn", {{"reason", ""}})).status == 400);
    REQUIRE(must(op.post("/api/studies/void-turn", {{"reason", "slipped"}})).status == 200);
    CHECK(step_of(station).at("turn") == 1);
    REQUIRE(must(op.post("/api/studies/leave", json::object{})).status == 200);
    CHECK(step_of(station).at("ask") == "shift");
    CHECK(must(op.post("/api/studies/leave", json::object{})).code() == "bench.no_study_running");
    REQUIRE(must(op.post("/api/studies/begin", {{"study", "GS-1"}})).status == 200);
    CHECK(step_of(station).at("ask") == "study");
    CHECK(must(op.post("/api/studies/begin", {{"study", "GS-9"}})).status == 404);
}

TEST_CASE("a sample is drawn by a lead, and what its plan promises is shown before anything is measured") {
    ApiStation station;
    station.set_up();
    make_one(station);
    auto lead = station.client("LEA", false);
    const auto shift = must(lead.get("/api/bench")).json.at("shift");
    auto draw = draw_body(std::string(shift.as_string()));
    CHECK(must(station.client("OPA", false).post("/api/samples/draw", draw)).status == 403);
    REQUIRE(must(lead.post("/api/samples/draw", draw)).status == 200);
    draw["plan"] = "half";
    draw["shift"] = "2026-11-24/7";
    CHECK(must(lead.post("/api/samples/draw", draw)).code() == "bench.no_such_shift");

    auto op = station.client("OPA", false);
    const auto list = must(op.get("/api/samples")).json.at("samples").as_array();
    REQUIRE(list.size() == 1);
    CHECK(list[0].at("sample") == "RM-1");
    CHECK(list[0].at("places") == 6);  // one assembly, two ends, three flats
    CHECK(list[0].at("measured") == 0);
    CHECK(list[0].at("judged") == false);
    CHECK(must(op.get("/api/samples/RM-1")).status == 403);
    const auto told = must(lead.get("/api/samples/RM-1"));
    REQUIRE(told.status == 200);
    CHECK(sheet(told.json, "sample_plan").at("rows").as_array().size() == 1);
    for (const auto& s : told.json.at("sheets").as_array())
        CHECK(s.at("id") != "sample_pairs");
    CHECK(must(lead.get("/api/samples/RM-9")).status == 404);

    auto at_bench = station.client("OPA", true);
    REQUIRE(must(at_bench.post("/api/samples/begin", {{"sample", "RM-1"}})).status == 200);
    const auto step = step_of(station);
    CHECK(step.at("ask") == "sample");
    CHECK(step.at("places") == 6);
    // The picture is that of the part in hand, and the first reading is no part of it.
    const auto bench = must(lead.get("/api/bench"));
    CHECK(std::string_view(bench.json.at("row").at("spec_id").as_string()) == bench_row().spec_id);
    CHECK_FALSE(bench.json.contains("assembly"));
    station.press("25.50");
    CHECK(must(lead.get("/api/bench")).json.at("last").at("why").at("code") == "bench.sample_same_gauge");
    REQUIRE(must(at_bench.post("/api/samples/leave", json::object{})).status == 200);
    CHECK(step_of(station).at("ask") != "sample");
}

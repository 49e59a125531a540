// Returned hoses over HTTP: from the first word of a customer to the report, by those who may, with the answers that a
// page lives on.
#include "tests/support/catch.h"

#include <algorithm>
#include <boost/json.hpp>

#include "tests/reports/outside.h"
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

// One assembly that passed, with CAL-1 proved and OPA at the bench.
std::string made(ApiStation& station) {
    ready_for_work(station);
    return work_assembly(station);
}

json::object answer(const char* question, const char* said) {
    return {{"return", "RT-1"}, {"question", question}, {"answer", said}};
}

}  // namespace

TEST_CASE("a return over HTTP: opened, answered, measured at the bench, ranked, concluded, and its report read back") {
    ApiStation station;
    station.set_up();
    const auto serial = made(station);
    REQUIRE_FALSE(serial.empty());
    const auto customer = std::string(must(station.client("LEA", false).get("/api/assemblies/" + serial))
                                          .json.at("assembly")
                                          .at("customer")
                                          .as_string());
    auto operator_ = station.client("OPA");
    const auto opened = must(
        operator_.post("/api/returns",
                       {{"serial", serial}, {"customer", customer}, {"reported", "came off"}, {"someone_hurt", true}}));
    REQUIRE(opened.status == 200);
    CHECK(opened.json.at("return") == "RT-1");
    for (const auto& [question, said] : {std::pair{"place", "came_off"}, {"end", "a"}, {"grip", "last_missing"}})
        REQUIRE(must(operator_.post("/api/returns/answer", answer(question, said))).status == 200);
    CHECK(must(operator_.post("/api/returns/answer", answer("place", "elsewhere"))).status == 400);
    CHECK(must(operator_.post("/api/returns/answer", answer("seat", "loose"))).code() == "returned.not_asked");
    CHECK(must(operator_.post("/api/returns/answer", answer("use.pressure", "3,5"))).status == 400);

    REQUIRE(must(operator_.post("/api/returns/begin", {{"return", "RT-1"}})).status == 200);
    auto bench = must(operator_.get("/api/bench")).json;
    CHECK(bench.at("step").at("ask") == "returned");
    CHECK(bench.at("step").at("places") == 8);
    CHECK(bench.at("step").at("upper_nm") == 25'700'000);
    CHECK_FALSE(bench.at("step").as_object().contains("guard_nm"));  // nothing is judged
    station.press("25.52");
    bench = must(operator_.get("/api/bench")).json;
    CHECK(bench.at("step").at("last").at("value_nm") == 25'520'000);
    REQUIRE(must(operator_.post("/api/returns/leave")).status == 200);

    const auto shown = must(operator_.get("/api/returns/RT-1")).json;
    CHECK(shown.at("about").at("serial") == json::value(serial));
    CHECK(shown.at("assembly").at("stage") == "passed");  // R1
    CHECK(shown.at("ranking").at("modes").at(0).at("mode") == "not_pushed_home");
    CHECK(shown.at("ranking").at("cautions").at(0).at("code") ==
          "returned.caution.evidence");  // R13: somebody was hurt
    CHECK(shown.at("measured").as_array().size() == 1);
    CHECK(shown.at("notices").at(0).at("code") == "returned.note.never_sent");
    // Each sum is the sum of its lines.
    for (const auto& mode : shown.at("ranking").at("modes").as_array()) {
        std::int64_t sum = 0;
        for (const auto& line : mode.at("lines").as_array())
            sum += line.at("weight").as_int64();
        CHECK(sum == mode.at("points").as_int64());
    }
    // Questions in order, each with its answers, and only those that the answers lead to.
    std::vector<std::string> asked;
    for (const auto& question : shown.at("questions").as_array())
        asked.emplace_back(question.at("code").as_string());
    CHECK(asked.at(0) == "hurt");
    CHECK(std::ranges::find(asked, "grip") != asked.end());
    CHECK(std::ranges::find(asked, "seat") == asked.end());

    auto lead = station.client("LEA", false);
    CHECK(must(operator_.post("/api/returns/conclude", {{"return", "RT-1"}, {"remark", "x"}})).status == 403);
    const auto before = must(lead.get("/api/returns.pdf?return=RT-1"));
    REQUIRE(before.status == 200);
    REQUIRE(must(lead.post(
                     "/api/returns/conclude",
                     {{"return", "RT-1"}, {"cause", "not_pushed_home"}, {"bench_action", "Look at the marking step."}}))
                .status == 200);
    const auto concluded = station.entries().back();
    CHECK(concluded.type == "return.concluded");
    CHECK(concluded.who == "LEA");
    CHECK(concluded.body.at("ranking").at(0).at("mode") == "not_pushed_home");
    CHECK(must(operator_.post("/api/returns/answer", answer("hurt", "no"))).status == 409);

    const outside::PdfFile internal(must(lead.get("/api/returns.pdf?return=RT-1")).text);
    CHECK(internal.text().find("Internal paper") != std::string::npos);
    CHECK(internal.text().find("Look at the marking step.") != std::string::npos);
    const outside::PdfFile copy(
        must(lead.get("/api/returns.pdf?return=RT-1&copy=customer&paper=letter&language=de")).text);
    CHECK(copy.text().find("Ausfertigung f\u00FCr den Kunden") != std::string::npos);
    CHECK(outside::run("pdfinfo " + copy.path()).out.find("612 x 792") != std::string::npos);
    CHECK(must(lead.get("/api/returns.pdf?return=RT-1&copy=everybody")).status == 400);
    CHECK(must(lead.get("/api/returns.pdf?return=RT-9")).status == 404);
    CHECK(must(lead.get("/api/returns.pdf")).status == 400);

    REQUIRE(must(lead.post("/api/returns/reopen", {{"return", "RT-1"}, {"reason", "pictures came"}})).status == 200);
    const auto list = must(operator_.get("/api/returns")).json.at("returns").as_array();
    REQUIRE(list.size() == 1);
    CHECK(list[0].at("concluded") == false);
}

TEST_CASE("R12: whoever sent back another customer's hose gets no copy of the report") {
    ApiStation station;
    station.set_up();
    const auto serial = made(station);
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/returns", {{"serial", serial}, {"customer", "Quillhaven (invented)"}})).status == 200);
    const auto shown = must(lead.get("/api/returns/RT-1")).json;
    CHECK(shown.at("notices").at(1).at("code") == "returned.note.other_customer");
    const auto refused = must(lead.get("/api/returns.pdf?return=RT-1&copy=customer"));
    CHECK(refused.status == 403);
    CHECK(refused.code() == "returned.not_their_hose");
    CHECK(must(lead.get("/api/returns.pdf?return=RT-1")).status == 200);
}

TEST_CASE("a return that is not there, a serial that is not ours, and a body with too little are told apart") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    CHECK(must(lead.get("/api/returns/RT-9")).status == 404);
    CHECK(must(lead.post("/api/returns", {{"serial", "K1-NONE"}})).status == 409);
    CHECK(must(lead.post("/api/returns", json::object{})).code() == "returned.nothing_known");
    const auto unknown = must(lead.post(
        "/api/returns", {{"read_off", json::array{json::object{{"what", "standard"}, {"value", "EN 853 2SN"}}}}}));
    REQUIRE(unknown.status == 200);
    const auto shown = must(lead.get("/api/returns/RT-1")).json;
    CHECK(shown.at("ranking").at("record_says") == "no_record");
    CHECK(shown.at("groups").as_array().empty());
    CHECK(must(lead.get("/api/returns.pdf?return=RT-1&copy=customer")).code() == "returned.no_sender");
}

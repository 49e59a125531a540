// Deliveries and recalls over HTTP: what a lead sends, what a refusal tells, and letters with nobody else's data.
#include "tests/support/catch.h"

#include <boost/json.hpp>

#include "api_station.h"
#include "station/daemon/recall_source.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

ApiReply must(const Result<ApiReply>& reply) {
    if (!reply) FAIL(reply.error().code);
    return *reply;
}

RecallMade two_customers() {
    RecallMade made;
    made.station = "bench-1";
    made.found.upto_seq = 77;
    made.found.list_sha256 = std::string(64, 'a');
    for (const auto& [serial, customer, delivery] : {std::tuple{"K1-1", "Fennick (invented)", "DL-1"},
                                                     {"K1-2", "Quillhaven (invented)", "DL-2"},
                                                     {"K1-3", "Fennick (invented)", ""},
                                                     {"K1-4", "Quillhaven (invented)", "DL-2"}}) {
        RecallRow row;
        row.serial = serial;
        row.customer = customer;
        row.delivery = delivery;
        row.margin_nm = -50'000;
        made.rows.push_back(row);
        auto& share = made.found.customers[customer];
        ++share.assemblies;
        ++made.found.assemblies;
        if (!row.delivery.empty()) {
            ++share.delivered;
            ++made.found.delivered;
        }
    }
    return made;
}

}  // namespace

TEST_CASE("R12: a recall's letter holds what was delivered to that customer, and nothing of any other") {
    const auto made = two_customers();
    const auto letter = recall_letter_to(made, "Fennick (invented)", "the cover splits");
    REQUIRE(letter);
    REQUIRE(letter->lines.size() == 1);
    CHECK(letter->lines[0].serial == "K1-1");
    const auto other = recall_letter_to(made, "Quillhaven (invented)", "the cover splits");
    REQUIRE(other);
    CHECK(other->lines.size() == 2);
    CHECK(recall_letter_to(made, "Nobody (invented)", "the cover splits").error().code == "recall.none_delivered");
}

TEST_CASE("R12: a reason that names another customer goes into no letter") {
    const auto made = two_customers();
    const auto letter = recall_letter_to(made, "Fennick (invented)", "one burst at Quillhaven (invented)");
    REQUIRE_FALSE(letter);
    CHECK(letter.error().code == "recall.names_other");
    CHECK(recall_letter_to(made, "Quillhaven (invented)", "one burst at Quillhaven (invented)"));
}

TEST_CASE("a recall goes through JSON and comes back as it was") {
    const auto made = two_customers();
    const auto back = recall_in(json::parse(json::serialize(recall_json(made))).as_object());
    REQUIRE(back);
    CHECK(back->found.customers == made.found.customers);
    REQUIRE(back->rows.size() == 4);
    CHECK(back->rows[3].serial == "K1-4");
    CHECK(back->rows[3].margin_nm == made.rows[3].margin_nm);
    CHECK_FALSE(recall_in(json::object{{"rows", json::array{}}}));
}

TEST_CASE("times of a recall are the shop's clock: a day counts whole, an hour of the day when the clock changes too") {
    RecallWanted wanted;
    wanted.from = "2026-11-25";
    wanted.to = "2026-11-25";
    auto asked = recall_asked(wanted, "Europe/Berlin");
    REQUIRE(asked);
    CHECK(*asked->from_ms == 1'795'561'200'000);  // 2026-11-24T23:00:00Z
    CHECK(*asked->to_ms - *asked->from_ms == 24LL * 3'600'000);
    wanted.from = "2026-11-25T08:30";
    CHECK(*recall_asked(wanted, "Europe/Berlin")->from_ms == 1'795'591'800'000);  // 07:30 UTC
    // On 29 March 2026 the clock goes from 02:00 to 03:00 (Directive 2000/84/EC): noon is 10:00 UTC.
    wanted.from = "2026-03-29T12:00";
    CHECK(*recall_asked(wanted, "Europe/Berlin")->from_ms == 1'774'778'400'000);
    for (const char* bad : {"yesterday", "2026-02-30", "2026-11-25T25:00", "2026-11-25T8:30", "2026-11-25 "}) {
        INFO(bad);
        wanted.from = bad;
        const auto refused = recall_asked(wanted, "Europe/Berlin");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "recall.bad_time");
    }
}

TEST_CASE("a lead sends nothing that is not there: the refusal has every reason with its serials") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    const auto refused = must(lead.post(
        "/api/deliveries", {{"customer", "X"}, {"to", "gate"}, {"serials", json::array{"K1-1", "K1-1", "K1-2"}}}));
    CHECK(refused.status == 409);
    CHECK(refused.code() == "delivery.refused");
    const auto& faults = refused.json.at("faults").as_array();
    REQUIRE(faults.size() == 2);
    CHECK(faults[0].at("code") == "delivery.not_known");
    CHECK(faults[0].at("serials").as_array().size() == 2);
    CHECK(faults[1].at("code") == "delivery.twice");
    CHECK_FALSE(std::string_view(faults[0].at("words").as_string()).empty());
    const auto list = must(lead.get("/api/deliveries"));
    CHECK(list.ok());
    CHECK(list.json.at("deliveries").as_array().empty());
    CHECK(must(lead.get("/api/deliveries/DL-1")).status == 404);
    CHECK(must(lead.get("/api/sendable")).status == 400);
}

TEST_CASE("a recall over HTTP says what it does not know, and what was not asked") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    CHECK(must(lead.get("/api/recall")).code() == "recall.nothing_asked");
    CHECK(must(lead.get("/api/recall?hose_lot=NO-SUCH")).code() == "recall.not_known");
    CHECK(must(lead.get("/api/recall?colour=red")).code() == "api.unknown_parameter");
    CHECK(must(lead.get("/api/recall?from=soon")).code() == "recall.bad_time");
    CHECK(must(lead.get("/api/recall?gauge=CAL-1&limit=x")).code() == "api.bad_number");
    const auto none = must(lead.get("/api/recall?gauge=CAL-1"));
    CHECK(none.ok());
    CHECK(none.json.at("assemblies") == 0);
    const json::object draw{{"criteria", json::array{json::object{{"what", "gauge"}, {"value", "CAL-1"}}}},
                            {"reason", "in doubt"}};
    CHECK(must(lead.post("/api/recall/draw", draw)).code() == "recall.nothing_found");
    CHECK(must(lead.get("/api/recall.pdf?recall=RC-1&customer=X")).status == 404);
    CHECK(must(lead.get("/api/recall.csv?gauge=CAL-1")).text.starts_with("\xEF\xBB\xBFserial,"));
}

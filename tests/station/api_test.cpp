// The API: who may do what, what is refused and in which words.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <fstream>
#include <iterator>
#include <map>

#include "api_station.h"
#include "station/http/routes.h"
#include "station/people/pins.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

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

std::string text(const json::value& value) {
    return std::string(value.as_string());
}

std::string file_text(const std::string& path) {
    std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/" + path, std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
}

// To the first reading of the first assembly; OPA stands at the bench.
void begin_work(ApiStation& station, ApiClient& opa) {
    CHECK(post(opa, "/api/shift/start").ok());
    CHECK(post(opa, "/api/gauges/prove", {{"gauge", "CAL-1"}, {"reference", "RING-25"}}).ok());
    station.press("25.00");
    CHECK(post(opa, "/api/orders/take", {{"order", "A-100"}}).ok());
    CHECK(post(opa, "/api/lots/confirm", {{"hose_lot", "H-1"}, {"fitting_a_lot", "FA-1"}, {"fitting_b_lot", "FB-1"}})
              .ok());
    const auto row = bench_row();
    CHECK(
        post(opa, "/api/die/confirm", {{"die_set", row.die_set}, {"crimper", row.crimper}, {"setting", "21.0"}}).ok());
    for (int i = 0; i < 3; ++i)
        station.press("25.50");
}

}  // namespace

TEST_CASE("what is not there and what is used the wrong way is said in words") {
    ApiStation station;
    auto client = station.client();
    const auto nothing = get(client, "/api/hoses");
    CHECK(nothing.status == 404);
    CHECK(nothing.code() == "api.no_route");
    CHECK_THAT(nothing.words(), cqt::contains("/api/hoses"));
    const auto wrong = get(client, "/api/shift/start");
    CHECK(wrong.status == 405);
    CHECK(wrong.header("allow") == "POST");
    const auto put = client.request("PUT", "/api/orders", "{}");
    REQUIRE(put.has_value());
    CHECK(put->status == 405);
    CHECK(put->header("allow") == "GET, POST");
    CHECK(get(client, "/api/assemblies/a/b").status == 404);
}

TEST_CASE("a body with a mistake names the member, and nothing is done") {
    ApiStation station;
    station.set_up();
    auto opa = station.client("OPA");
    const auto before = station.last_seq();
    const auto missing = post(opa, "/api/gauges/prove", {{"gauge", "CAL-1"}});
    CHECK(missing.status == 400);
    CHECK(missing.code() == "json.missing");
    CHECK_THAT(missing.words(), cqt::contains("reference"));
    CHECK(post(opa, "/api/orders/take", {{"order", 7}}).code() == "json.wrong_kind");
    CHECK(post(opa, "/api/orders/take", {{"order", "A-100"}, {"colour", "red"}}).code() == "json.unknown");
    CHECK(post(opa, "/api/steps/confirm", {{"what", "taste"}}).code() == "json.wrong_kind");
    CHECK(opa.request("POST", "/api/orders/take", "{\"order\":null}")->code() == "json.null");
    CHECK(opa.request("POST", "/api/orders/take", "{\"order\":")->code() == "json.malformed");
    CHECK(opa.request("POST", "/api/orders/take", "[]")->status == 400);
    CHECK(station.last_seq() == before);
}

TEST_CASE("R9: nobody acts without a name, and a role does what it may and no more") {
    ApiStation station;
    station.set_up();
    auto nobody = station.client();
    for (const auto& route : routes()) {
        if (route.needs == Needs::nobody || route.needs == Needs::here) continue;
        std::string path(route.path.substr(0, route.path.find('{')));
        if (path != route.path) path += "K1-1";
        INFO(std::string(route.method) + " " + path);
        const auto reply = nobody.request(std::string(route.method), path, route.method == "POST" ? "{}" : "");
        REQUIRE(reply.has_value());
        CHECK(reply->status == 401);
        CHECK(reply->code() == "api.sign_in");
        CHECK(reply->header("www-authenticate") == "Bearer");
    }

    const json::object settle{{"serial", "K1-1"}, {"how", "scrap"}, {"reason", "undersize"}};
    const json::object person{{"person", "NEW"}, {"name", "N"}, {"role", "setter"}, {"pin", "730284"}};
    const json::object withdraw{{"gauge", "CAL-1"}, {"reason", "fell"}};
    struct Case {
        const char* who;
        const char* path;
        json::object body;
        int status;
        const char* code;
    };
    const Case cases[] = {
        {"OPA", "/api/holds/settle", settle, 403, "bench.not_a_lead"},
        {"AUD", "/api/holds/settle", settle, 403, "bench.not_a_lead"},
        {"SET", "/api/holds/settle", settle, 403, "bench.not_a_lead"},
        {"LEA", "/api/holds/settle", settle, 409, "bench.not_on_hold"},
        {"OPA", "/api/people", person, 403, "bench.not_a_setter"},
        {"LEA", "/api/people", person, 403, "bench.not_a_setter"},
        {"OPA", "/api/gauges/withdraw", withdraw, 403, "bench.not_a_lead"},
        {"SET", "/api/shift/start", {}, 403, "bench.not_an_operator"},
        {"AUD", "/api/shift/start", {}, 403, "bench.not_an_operator"},
        {"OPA", "/api/tables", {{"name", "t"}, {"csv", ""}}, 403, "bench.not_a_setter"},
        {"OPA", "/api/orders", {{"csv", ""}}, 403, "api.office_only"},
        {"OPA", "/api/journal/verify", {}, 403, "api.office_only"},
        {"OPA", "/api/clock/accept", {}, 403, "bench.not_a_lead"},
    };
    for (const auto& c : cases) {
        INFO(std::string(c.who) + " " + c.path);
        auto client = station.client(c.who, false);
        const auto reply = post(client, c.path, c.body);
        CHECK(reply.status == c.status);
        CHECK(reply.code() == c.code);
        CHECK_FALSE(reply.words().empty());
    }
    auto operator_ = station.client("OPA", false);
    CHECK(get(operator_, "/api/entries").code() == "api.office_only");
}

TEST_CASE("R9: a lead settles at the operator's screen with their own PIN, and the operator stays signed in") {
    ApiStation station;
    station.set_up();
    auto opa = station.client("OPA");
    begin_work(station, opa);
    station.press("36.00");  // far too short a depth
    auto holds = get(opa, "/api/holds");
    REQUIRE(holds.json.at("holds").as_array().size() == 1);
    const std::string serial(holds.json.at("holds").as_array()[0].as_object().at("serial").as_string());
    CHECK(post(opa, "/api/assembly/quarantine", {{"serial", serial}}).ok());

    json::object settle{{"serial", serial}, {"how", "scrap"}, {"reason", "hose not pushed home"}};
    settle["by"] = json::object{{"person", "LEA"}, {"pin", "111111"}};
    CHECK(post(opa, "/api/holds/settle", settle).code() == "people.wrong_pin");
    settle["by"] = json::object{{"person", "LEA"}, {"pin", ApiStation::pin_of("LEA")}};
    CHECK(post(opa, "/api/holds/settle", settle).ok());
    const auto entries = station.entries();
    CHECK(entries.back().type == "hold.settled");
    CHECK(entries.back().who == "LEA");
    CHECK(get(opa, "/api/bench").json.at("person") == "OPA");

    const auto traced = get(opa, "/api/assemblies/" + serial);
    CHECK(traced.status == 200);
    CHECK(traced.json.contains("holds"));
    CHECK(get(opa, "/api/assemblies/K1-0").status == 404);
}

TEST_CASE("the waits after wrong PINs grow, and a right one ends them") {
    ApiStation station;
    station.set_up();
    auto client = station.client();
    const auto attempt = [&](const std::string& pin) {
        auto reply = client.sign_in("OPA", pin, false);
        REQUIRE(reply.has_value());
        return *reply;
    };
    for (int i = 0; i < 3; ++i)
        CHECK(attempt("592600").status == 401);
    const auto waiting = attempt(ApiStation::pin_of("OPA"));
    CHECK(waiting.status == 429);
    CHECK_THAT(waiting.words(), cqt::contains("Wait 1 seconds"));
    station.clock.pass_ms(1000);
    CHECK(attempt("592600").status == 401);
    CHECK_THAT(attempt("592600").words(), cqt::contains("Wait 2 seconds"));
    station.clock.pass_ms(2000);
    CHECK(attempt(ApiStation::pin_of("OPA")).status == 200);
    CHECK(attempt("592600").status == 401);
    CHECK(attempt(ApiStation::pin_of("OPA")).status == 200);

    int refused = 0;
    for (const auto& entry : station.entries())
        refused += entry.type == "person.sign_in_refused";
    CHECK(refused == 5);  // each PIN that was looked at and wrong; none of those that had to wait
}

TEST_CASE("a name that nobody has is told nothing, and is not written down") {
    ApiStation station;
    station.set_up();
    auto client = station.client();
    CHECK(client.sign_in("730284", "730284")->code() == "people.wrong_pin");
    for (const auto& entry : station.entries())
        CHECK(entry.bytes.find("730284") == std::string::npos);
}

TEST_CASE("a session ends when it is ended, and when nobody used it for long") {
    ApiStation station;
    station.set_up();
    auto lea = station.client("LEA", false);
    CHECK(get(lea, "/api/orders").status == 200);
    CHECK(post(lea, "/api/sign-out").ok());
    CHECK(get(lea, "/api/orders").status == 401);
    auto leb = station.client("LEB", false);
    station.clock.pass_ms(8 * 3'600'000 + 1);
    CHECK(get(leb, "/api/orders").status == 401);
}

TEST_CASE("the first person sets the station up and needs nobody's leave but the one-time code; the second does") {
    ApiStation station;
    auto client = station.client();
    json::object first{{"person", "SET"}, {"name", "Sela Tarn"}, {"role", "operator"}, {"pin", "730284"}};
    CHECK(post(client, "/api/people", first).code() == "people.wrong_code");
    first["code"] = "00000-00000";
    const auto wrong = post(client, "/api/people", first);
    CHECK(wrong.status == 401);
    CHECK(wrong.code() == "people.wrong_code");
    first["code"] = "k7q2m 0zr4t";  // as somebody types it
    CHECK(post(client, "/api/people", first).code() == "bench.first_person_sets_up");
    first["role"] = "setter";
    first["pin"] = "123456";
    CHECK(post(client, "/api/people", first).code() == "people.pin_too_common");
    first["pin"] = "730284";
    first["name"] = "Sela \xF0\x9F\x98\x80";
    CHECK(post(client, "/api/people", first).code() == "print.no_glyph");
    first["name"] = "Sela Tarn";
    CHECK(post(client, "/api/people", first).ok());
    first["person"] = "TWO";
    CHECK(post(client, "/api/people", first).status == 401);
}

TEST_CASE("the hash of a PIN never leaves, whoever asks") {
    ApiStation station;
    station.set_up();
    bool in_journal = false;
    for (const auto& entry : station.entries())
        in_journal = in_journal || entry.bytes.find("$argon2id$") != std::string::npos;
    CHECK(in_journal);
    auto lead = station.client("LEA", false);
    const boost::json::array read_off{{{"what", "dash"}, {"value", "8"}}};
    REQUIRE(post(lead, "/api/returns", {{"customer", "Marlow Quarry"}, {"read_off", read_off}}).ok());
    for (const char* who : {"LEA", "SET", "AUD"}) {
        auto client = station.client(who, false);
        int read = 0;
        for (const auto& route : routes()) {
            if (route.method != "GET" || route.path.find('{') != std::string_view::npos) continue;
            if (route.name == "events" || route.name == "listenToLine") continue;  // streams
            if (route.needs == Needs::setter && std::string(who) != "SET") continue;
            std::string target(route.path);
            if (target.starts_with("/api/audit")) target += "?from=2020-01-01";  // everything there is
            if (route.name == "auditSheet") target += "&sheet=made";
            const std::map<std::string, std::string> asked = {{"/api/orders/application", "?order=A-100"},
                                                              {"/api/sendable", "?customer=Marlow%20Quarry"},
                                                              {"/api/recall", "?hose_lot=H-1"},
                                                              {"/api/consistency", "?from=1&to=2"},
                                                              {"/api/returns.pdf", "?return=RT-1"},
                                                              {"/api/recall.csv", "?hose_lot=H-1"}};
            if (const auto what = asked.find(target); what != asked.end()) target += what->second;
            if (target == "/api/recall.pdf") continue;  // of a recall that was drawn
            const auto reply = get(client, target);
            INFO(target);
            CHECK(reply.status == 200);
            CHECK(reply.text.find("argon2") == std::string::npos);
            CHECK(reply.text.find("pin_hash") == std::string::npos);
            ++read;
        }
        CHECK(read >= 7);
        const auto entries = get(client, "/api/entries").json.at("entries").as_array();
        CHECK(entries[0].as_object().at("withheld") == true);
        CHECK(text(entries[0].as_object().at("hash")) == to_hex(station.entries()[0].hash));
    }
}

TEST_CASE("reading changes nothing") {
    ApiStation station;
    station.set_up();
    auto client = station.client("LEA", false);
    const auto before = station.last_seq();
    for (const auto& route : routes())
        if (route.method == "GET" && route.name != "events" && route.name != "listenToLine")
            get(client, std::string(route.path.substr(0, route.path.find('{'))));
    CHECK(station.last_seq() == before);
}

TEST_CASE("entries go out in the very bytes that their hashes stand for") {
    ApiStation station;
    station.set_up();
    auto client = station.client("AUD", false);
    const auto reply = get(client, "/api/entries?from=2&limit=1000");
    const auto entries = station.entries();
    std::size_t whole = 0;
    for (const auto& entry : entries)
        if (entry.seq >= 2 && entry.type != "person.added") {
            CHECK(reply.text.find(entry.bytes) != std::string::npos);
            ++whole;
        }
    CHECK(whole > 3);
    CHECK(get(client, "/api/entries?from=x").code() == "api.bad_number");
    CHECK(get(client, "/api/entries?limit=1001").code() == "api.bad_number");
}

TEST_CASE("a spec table with errors is refused whole with every one of them; a good one and its orders are taken") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    const std::string good = file_text("specs/examples/demo_table.csv");
    REQUIRE_FALSE(good.empty());
    const auto before = station.last_seq();
    std::string bad = good;
    bad.insert(bad.find('\n') + 1, "short,row\n");
    bad.insert(bad.find("revision"), "x");
    const auto refused = post(setter, "/api/tables", {{"name", "demo"}, {"csv", bad}});
    CHECK(refused.status == 422);
    CHECK(refused.code() == "api.file_refused");
    const auto& errors = refused.json.at("errors").as_array();
    REQUIRE(errors.size() >= 2);
    for (const auto& error : errors)
        for (const char* member : {"line", "column", "found", "expected", "code", "words"})
            CHECK(error.as_object().contains(member));
    CHECK(station.last_seq() == before);

    auto adopted = post(setter, "/api/tables", {{"name", "demo"}, {"csv", good}});
    if (adopted.code() == "bench.warnings_open") {
        CHECK_FALSE(adopted.json.at("warnings").as_array().empty());
        adopted = post(setter, "/api/tables", {{"name", "demo"}, {"csv", good}, {"acknowledge_warnings", true}});
    }
    INFO(adopted.text);
    CHECK(adopted.ok());
    const auto entries = station.entries();
    // sha256sum of the same bytes is what the record names.
    CHECK(text(entries.back().body.at("file_sha256")) == sha256_hex(good));
    // R9: not in force before a second person says so.
    const auto seq = adopted.json.at("entries").at(0).at("seq").as_int64();
    CHECK(post(setter, "/api/tables/adopt", {{"proposed_seq", seq}}).code() == "bench.own_proposal");
    auto lead = station.client("LEA");
    CHECK(post(lead, "/api/tables/adopt", {{"proposed_seq", seq}}).ok());

    const std::string orders = file_text("specs/examples/demo_order.csv");
    const auto opened = post(setter, "/api/orders", {{"csv", orders}});
    INFO(opened.text);
    CHECK(opened.ok());
    const auto again = post(setter, "/api/orders", {{"csv", orders}});
    CHECK(again.status == 422);
    CHECK(again.json.at("errors").as_array()[0].as_object().at("code") == "bench.order_known");
}

TEST_CASE("the journal is verified and backed up beside the work, and no file is ever overwritten") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    const auto verified = post(lead, "/api/journal/verify");
    CHECK(verified.json.at("sound") == true);
    CHECK(verified.json.at("entries") == station.last_seq());
    CHECK(post(lead, "/api/journal/rebuild-views").ok());
    const std::string to = (station.folder / "copy.journal").string();
    CHECK(post(lead, "/api/journal/backup", {{"to", to}}).ok());
    CHECK(std::filesystem::file_size(to) > 0);
    CHECK(post(lead, "/api/journal/backup", {{"to", to}}).code() == "backup.exists");
    CHECK(post(lead, "/api/journal/backup", {{"to", "copy.journal"}}).code() == "api.backup_place");
}

// What customers get through their links, over every route there is: their own and nothing else (R12).
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <fstream>
#include <set>

#include "station/http/link_token.h"
#include "station/http/routes.h"
#include "station/proof/evidence.h"
#include "station/proof/signing_key.h"
#include "tests/reports/outside.h"
#include "trace_page_kit.h"
#include "trace_words.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

TEST_CASE("a link's token is 26 characters of chance that nobody misreads, and is read as people type it") {
    std::set<std::string> seen;
    std::set<char> characters;
    for (int i = 0; i < 200; ++i) {
        const auto token = make_link_token();
        CHECK(token.size() == 26);
        CHECK(token.find_first_not_of("0123456789ABCDEFGHJKMNPQRSTVWXYZ") == std::string::npos);
        characters.insert(token.begin(), token.end());
        CHECK(seen.insert(token).second);
    }
    CHECK(characters.size() == 32);  // of 5200, each is missing with a chance of 10^-72
    CHECK(tidied_link_token("ab-Oil") == "AB011");
    CHECK(link_token_hash("abc0") == link_token_hash("A-B-C-O"));
    CHECK(link_token_hash("abc0") != link_token_hash("abc1"));
    // SHA-256 of "abc" is the example of FIPS 180-2 appendix B.1; tidied, it is that of "ABC".
    CHECK(link_token_hash("abc") == "b5d4045c3f466fa91fe2cc6abe79232a1a57cdf104f7a26e716e0a1e2789df78");
}

TEST_CASE("R12: over every route of every link, no byte of another customer's or another delivery's record") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1], &six = s.made[2];
    struct Case {
        TraceStation::Link link;
        std::vector<const TraceStation::Made*> own, others;
    };
    const std::vector<Case> cases = {
        {s.link(one.customer, one.delivery), {&one}, {&two, &six}},
        {s.link(one.customer, two.delivery), {&two}, {&one, &six}},
        {s.link(one.customer), {&one, &two}, {&six}},
        {s.link(six.customer), {&six}, {&one, &two}},
    };
    for (const auto& c : cases) {
        int shown = 0;
        for (const auto& route : customer_routes()) {
            for (const auto& of : s.made) {
                const auto path = TraceStation::path(route, of);
                INFO(c.link.number << " " << path);
                const auto reply = s.look(c.link.token, path);
                const bool mine = std::any_of(c.own.begin(), c.own.end(), [&](const auto* m) { return m == &of; });
                INFO(reply.text.substr(0, 300));
                if (!route.about.empty() && !mine) {
                    CHECK(reply.status == 404);
                    CHECK(reply.code() == "trace_page.not_there");
                } else {
                    CHECK(reply.status == 200);
                    CHECK(reply.header("referrer-policy") == "no-referrer");
                    CHECK(reply.header("cache-control") == "no-store");
                    ++shown;
                }
                const auto said = everything(reply);
                for (const auto* other : c.others) {
                    for (const auto& word : other->telling()) {
                        INFO(word);
                        CHECK_FALSE(holds(said, word));
                    }
                    if (other->customer != c.own.front()->customer) CHECK_FALSE(holds(said, other->customer));
                }
                CHECK_FALSE(holds(said, "$argon2id$"));
                CHECK_FALSE(holds(said, c.link.token));
            }
        }
        // Seven of serials, orders, lots and certificates for each own one; the five others for each asking.
        CHECK(shown == 7 * static_cast<int>(c.own.size()) + 5 * 3);
        for (const auto* own : c.own)
            CHECK(holds(s.look(c.link.token, "/list.json").text, own->serial));
    }
}

TEST_CASE("R12: a wrong, a revoked and an expired token get the same answer on every route") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto revoked = s.link(one.customer), expired = s.link(one.customer, one.delivery, "2026-11-26"),
               good = s.link(one.customer);
    CHECK(s.look(expired.token, "/overview.json").status == 200);
    s.run(commands::RevokeLink{revoked.number, "sent to the wrong address"}, "LEA");
    s.station.clock.pass_ms(3LL * 86'400'000);
    const std::string wrong = "00000000000000000000000000";
    for (const auto& route : customer_routes()) {
        const auto path = TraceStation::path(route, one);
        INFO(path);
        const auto expected = s.look(wrong, path);
        CHECK(expected.status == 404);
        CHECK_FALSE(holds(expected.text, one.serial));
        for (const auto& token : {revoked.token, expired.token, std::string("X"), good.token.substr(1),
                                  good.token + "0", std::string("A%27%20OR%201=1")}) {
            INFO(token);
            const auto reply = s.look(token, path);
            CHECK(reply.status == 404);
            CHECK(reply.text == expected.text);
            CHECK(reply.headers == expected.headers);
        }
        CHECK(s.look(good.token, path).status == 200);
    }
    auto anybody = s.station.client();
    CHECK(s.must(anybody.get("/t")).status == 404);
    CHECK(s.must(anybody.get("/t/")).status == 404);
    // As a person types it, the token is the same.
    std::string small = good.token;
    for (char& c : small)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    CHECK(s.look(small, "/overview.json").status == 200);
    CHECK(s.look(good.token, "/nothing.json").status == 404);
    CHECK(s.look(good.token, "/record/").status == 404);
    const auto written = s.must(anybody.post("/t/" + good.token + "/record/" + one.serial));
    CHECK(written.status == 405);
    CHECK_FALSE(holds(written.text, good.token));
}

TEST_CASE("R9: a link's token opens none of the office's routes") {
    TraceStation s;
    const auto link = s.link(s.made[0].customer);
    for (const auto& route : routes()) {
        if (route.needs == Needs::nobody) continue;
        INFO(std::string(route.path));
        HttpRequest request;
        request.method = route.method;
        request.path = route.path;
        if (route.method == "POST") request.body = "{}";
        request.authorization = "Bearer " + link.token;
        request.cookies["crimpgate"] = link.token;
        request.from_page = true;
        CHECK(s.station.ask(request).status == 401);
    }
}

TEST_CASE("every look is in the journal before it is answered, and the token is in no entry") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto link = s.link(one.customer, one.delivery);
    for (const auto& route : customer_routes())
        CHECK(s.look(link.token, TraceStation::path(route, one)).status == 200);
    CHECK(s.look(link.token, "/record/" + s.made[1].serial).status == 404);  // shows nothing, so it is no look
    std::vector<std::pair<std::string, std::string>> looks;
    for (const auto& entry : s.station.entries()) {
        CHECK_FALSE(holds(entry.bytes, link.token));
        if (entry.type != "link.looked") continue;
        CHECK(entry.body.at("link") == link.number.c_str());
        CHECK(entry.who.empty());
        looks.emplace_back(entry.body.at("what").as_string(), entry.body.at("subject").as_string());
    }
    CHECK(looks == std::vector<std::pair<std::string, std::string>>{{"overview", ""},
                                                                    {"overview", ""},
                                                                    {"record", one.serial},
                                                                    {"record", one.serial},
                                                                    {"list", one.order},
                                                                    {"list", one.lots[0]},
                                                                    {"list", ""},
                                                                    {"list", ""},
                                                                    {"certificate", one.certificate},
                                                                    {"evidence", one.serial},
                                                                    {"events", ""},
                                                                    {"events", one.serial}});
    auto lead = s.station.client("LEA", false);
    const auto list = s.must(lead.get("/api/links"));
    REQUIRE(list.json.at("links").as_array().size() == 1);
    CHECK(list.json.at("links").at(0).at("looks") == 12);
    CHECK(list.json.at("links").at(0).at("open") == true);
    CHECK_FALSE(holds(list.text, link.token));
    CHECK_FALSE(holds(list.text, link_token_hash(link.token)));
}

TEST_CASE(
    "a link is looked through thirty times a minute, unknown ones wait by address, and nobody else waits for them") {
    TraceStation s;
    const auto first = s.link(s.made[0].customer), second = s.link(s.made[2].customer);
    const auto at_once = [&](const std::string& token, const std::string& rest) { return s.look(token, rest, 0); };
    for (int i = 0; i < 30; ++i)
        CHECK(at_once(first.token, "/overview.json").status == 200);
    const auto waits = at_once(first.token, "/overview.json");
    CHECK(waits.status == 429);
    CHECK(waits.code() == "trace_page.wait");
    CHECK(waits.header("retry-after") == "60");
    CHECK(at_once(first.token, "").status == 429);
    CHECK(at_once(second.token, "/overview.json").status == 200);
    CHECK(s.look(first.token, "/overview.json", 59'000).status == 429);
    CHECK(s.look(first.token, "/overview.json", 1'000).status == 200);
    for (int i = 0; i < 10; ++i)
        CHECK(at_once("WRONG", "/overview.json").status == 404);
    CHECK(at_once("WRONG", "/overview.json").status == 429);
    CHECK(at_once(second.token, "/overview.json").status == 200);
    LooksAMinute looks(2);
    for (int i = 0; i < 5000; ++i)
        CHECK(looks.take("name" + std::to_string(i), i) == 0);  // a bounded number of names is kept
    CHECK(looks.take("name4999", 5000) == 0);
    CHECK(looks.take("name4999", 5000) == 60);
}

TEST_CASE("through a link comes what the certificate says, the certificate itself and a proof that holds") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto link = s.link(one.customer, one.delivery);
    const auto record = s.look(link.token, "/record/" + one.serial);
    INFO(record.text);
    REQUIRE(record.status == 200);
    CHECK(record.json.at("assembly").at("state") == "passed");
    const auto& told = record.json.at("record").as_object();
    CHECK(told.at("hose_made") == "2Q26");
    CHECK(told.at("working_pressure_kpa") == 27'500);
    CHECK(told.at("passed_by") == "Opal Reed (OPA)");
    // 25.50 in 25.30 to 25.70: two tenths from either limit, and the spread of three equal ones cannot be nearer.
    CHECK(told.at("worst").at("margin_nm") == 150'000);
    CHECK(told.at("worst").at("what") == "spread");
    CHECK(told.at("ends").as_array().size() == 2);
    // Small letters and hyphens, as a person types a serial.
    CHECK(s.look(link.token, "/record/" + one.serial.substr(0, 3) + "-" + one.serial.substr(3)).status == 200);

    auto lead = s.station.client("LEA", false);
    const auto paper = s.look(link.token, "/certificate/" + one.certificate + ".pdf");
    CHECK(paper.text == s.must(lead.get("/api/certificates/" + one.certificate + ".pdf")).text);
    CHECK(s.look(link.token, "/certificate/" + one.certificate + ".exe").status == 404);

    const auto evidence = s.look(link.token, "/evidence/" + one.serial);
    CHECK(evidence.header("content-disposition") == "attachment; filename=\"" + one.serial + "-evidence.json\"");
    const auto read = read_evidence(evidence.text);
    REQUIRE(read);
    const auto key = SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier();
    CHECK(check_evidence(*read, {key, {}}).good());
    CHECK(record.json.at("key") == key.text().c_str());
    // The delivery came after the certificate's checkpoint: one was signed for it.
    CHECK(holds(evidence.text, "delivery.sent"));

    const auto csv = s.look(link.token, "/list.csv");
    CHECK(csv.header("content-type") == "text/csv; charset=utf-8");
    CHECK(holds(csv.text, one.serial + "," + one.order + ","));
    CHECK(holds(csv.text, ",275.00,800.000,"));
}

TEST_CASE("R1: what is in question is said to be so, at once and without readings to stand on") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto link = s.link(one.customer);
    s.run(commands::HoldAssembly{"the caliper was dropped", one.serial}, "LEA");
    const auto overview = s.look(link.token, "/overview.json");
    CHECK(overview.json.at("counts").at("in_question") == 1);
    CHECK(overview.json.at("counts").at("assemblies") == 2);
    const auto record = s.look(link.token, "/record/" + one.serial);
    CHECK(record.json.at("assembly").at("state") == "in_question");
    CHECK_FALSE(record.json.contains("record"));
    // The shop's own remarks are the shop's.
    CHECK_FALSE(holds(record.text + overview.text, "dropped"));
}

TEST_CASE(
    "R12: what never left the house and did not pass is in no customer's list; what was taken back leaves a "
    "delivery's") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1];
    const auto all = s.link(one.customer), of_one = s.link(one.customer, one.delivery);
    s.run(commands::TakeOrder{one.order});
    s.run(commands::ConfirmLots{one.lots[0], one.lots[1], one.lots[2]});
    s.station.press("25.50");
    s.station.press("25.50");
    s.station.press("25.50");
    s.station.press("38.20");
    std::string begun;
    for (const auto& entry : s.station.entries())
        if (entry.type == "assembly.started") begun = std::string(entry.body.at("serial").as_string());
    REQUIRE(begun != s.made[2].serial);
    for (const auto& token : {all.token, of_one.token}) {
        CHECK_FALSE(holds(s.look(token, "/list.json").text, begun));
        CHECK(s.look(token, "/record/" + begun).status == 404);
    }
    entries::DeliveryTakenBack back;
    back.delivery = one.delivery;
    back.serials = {one.serial};
    back.reason = "stayed on the ramp";
    s.station.note(back);
    const auto gone = s.look(of_one.token, "/overview.json");
    CHECK(gone.json.at("counts").at("assemblies") == 0);
    CHECK(gone.json.at("counts").at("deliveries").at(0).at("sent") == 1);
    CHECK(s.look(of_one.token, "/record/" + one.serial).status == 404);
    CHECK(s.look(of_one.token, "/certificate/" + one.certificate + ".pdf").status == 404);
    // Sent again with the other one's delivery: the first link says nothing of that.
    entries::DeliverySent sent;
    sent.delivery = "DL-99";
    sent.customer = one.customer;
    sent.date = "2026-11-27";
    sent.to = "gate";
    sent.serials = {one.serial, two.serial};
    s.station.note(sent);
    const auto later = s.link(one.customer, "DL-99");
    const auto evidence = s.look(later.token, "/evidence/" + one.serial);
    CHECK(evidence.status == 200);
    CHECK(holds(evidence.text, "DL-99"));
    CHECK_FALSE(holds(evidence.text, one.delivery + "\\\""));
    CHECK(s.look(all.token, "/record/" + one.serial).status == 200);
}

TEST_CASE("R9: links are made by a lead, for a customer that there is, and for that customer's own delivery") {
    TraceStation s;
    const auto &one = s.made[0], &six = s.made[2];
    auto lead = s.station.client("LEA", false);
    const auto asked = [&](const json::object& body) { return s.must(lead.post("/api/links", body)); };
    const auto before = s.station.last_seq();
    CHECK(asked({{"customer", "Nobody (invented)"}}).code() == "link.no_customer");
    CHECK(asked({{"customer", ""}}).code() == "bench.field_empty");
    CHECK(asked({{"customer", six.customer}, {"delivery", one.delivery}}).code() == "link.other_customer");
    CHECK(asked({{"customer", one.customer}, {"delivery", "DL-1"}}).code() == "delivery.no_delivery");
    CHECK(asked({{"customer", one.customer}, {"valid_until", "2026-11-24"}}).code() == "link.day_past");
    CHECK(asked({{"customer", one.customer}, {"valid_until", "soon"}}).status == 400);
    CHECK(s.station.last_seq() == before);
    const auto made = asked({{"customer", one.customer}, {"valid_until", "2026-11-25"}});
    REQUIRE(made.status == 200);
    const std::string token(made.json.at("token").as_string());
    CHECK(std::string(made.json.at("address").as_string()).ends_with("/t/" + token));
    CHECK(s.look(token, "/overview.json").status == 200);  // today is its last day, and still one of its days
    CHECK(made.json.at("for_customers") == false);
    CHECK(made.json.at("code").as_array().size() > 29);  // version 2 with its quiet zone at the least
    CHECK(s.must(lead.post("/api/links/revoke", {{"link", "TL-9"}, {"reason", "lost"}})).status == 404);
    CHECK(s.must(lead.post("/api/links/revoke", {{"link", "TL-1"}, {"reason", ""}})).status == 400);
    CHECK(s.must(lead.post("/api/links/revoke", {{"link", "TL-1"}, {"reason", "lost"}})).status == 200);
    CHECK(s.must(lead.post("/api/links/revoke", {{"link", "TL-1"}, {"reason", "lost"}})).code() ==
          "link.revoked_already");
    CHECK(s.look(token, "/overview.json").status == 404);
}

TEST_CASE("events for supply chains are EPCIS 2.0 by its public schema, with names of the shop's own and no GS1 key") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto link = s.link(one.customer);
    for (const auto& path : {std::string("/events.jsonld"), "/events/" + one.serial}) {
        const auto events = s.look(link.token, path);
        INFO(events.text);
        REQUIRE(events.status == 200);
        CHECK(events.header("content-type") == "application/ld+json");
        const auto file = s.station.folder / "events.json";
        std::ofstream(file) << events.text;
        const auto judged = outside::run("/usr/bin/python3 " + std::string(CRIMPGATE_SOURCE_DIR) +
                                         "/tests/outside/epcis.py " + file.string());
        INFO(judged.out);
        if (judged.exit_code == 77) {
            WARN("skipped: the public schema ../shared/reference/data/third_party/EPCIS-JSON-Schema.json is not here");
        } else {
            CHECK(judged.exit_code == 0);
        }
        const auto document = json::parse(events.text);
        const auto& list = document.at("epcisBody").at("eventList").as_array();
        CHECK(list.size() == (path == "/events.jsonld" ? 6U : 3U));  // made, inspected, sent
        // Winter in the shop: an hour ahead of UTC.
        CHECK(list[0].at("eventTimeZoneOffset") == "+01:00");
        CHECK(list[0].at("bizStep") == "assembling");
        const auto& lengths = list[1].at("sensorElementList").at(0).at("sensorReport").at(0);
        CHECK(json::serialize(lengths.at("minValue")) == json::serialize(json::parse("25.5")));
        CHECK(list[1].at("disposition") == "conformant");
    }
}

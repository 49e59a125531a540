// The code on a tag as the way to its own assembly's record, and to nothing else (R12): over every route there is.
#include "tests/support/catch.h"

#include <boost/json.hpp>

#include <algorithm>

#include "station/daemon/station_key.h"
#include "station/http/link_token.h"
#include "station/http/tag_door.h"
#include "station/proof/base45.h"
#include "station/proof/evidence.h"
#include "station/proof/tag_statement.h"
#include "trace_page_kit.h"
#include "trace_words.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

// As on a tag's code behind /C/.
std::string tag_of(const std::string& serial, const StationKeys& keys = keys_of("bench-1", Seed{7})) {
    TagStatement statement;
    statement.key = keys.tags.verifier().id();
    statement.serial = serial;
    statement.order = "A-100";
    statement.date = 20261125;
    statement.pressure_kpa = 27'500;
    statement.margin_um = 150;
    statement.station = "bench-1";
    return to_base32(sign_tag(statement, keys.tags));
}

StationKey known(const std::string& name, const StationKeys& keys) {
    StationKey out;
    out.name = name;
    out.key = keys.checkpoints.verifier().text();
    out.tag_key = keys.tag_key_text();
    return out;
}

std::string small(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

// A link that the tags open, too.
TraceStation::Link opened_by_tags(TraceStation& s, const std::string& customer, const std::string& delivery = "",
                                  const std::string& until = "") {
    auto lead = s.station.client("LEA", false);
    json::object body{{"customer", customer}, {"opens_by_tag", true}};
    if (!delivery.empty()) body["delivery"] = delivery;
    if (!until.empty()) body["valid_until"] = until;
    const auto answer = s.must(lead.post("/api/links", body));
    INFO(answer.text);
    REQUIRE(answer.status == 200);
    return {std::string(answer.json.at("link").as_string()), std::string(answer.json.at("token").as_string())};
}

std::vector<entries::LinkLooked> looks(TraceStation& s) {
    std::vector<entries::LinkLooked> out;
    for (const auto& entry : s.station.entries()) {
        if (entry.type != "link.looked") continue;
        const auto* by = entry.body.if_contains("by_tag");
        entries::LinkLooked look;
        look.link = std::string(entry.body.at("link").as_string());
        look.subject = std::string(entry.body.at("subject").as_string());
        if (by != nullptr) look.by_tag = std::string(by->as_string());
        out.push_back(std::move(look));
    }
    return out;
}

// Both of the first customer's went with one delivery.
void send_together(TraceStation& s) {
    const auto &one = s.made[0], &two = s.made[1];
    for (const auto* each : {&one, &two}) {
        entries::DeliveryTakenBack back;
        back.delivery = each->delivery;
        back.serials = {each->serial};
        back.reason = "sent with the other";
        s.station.note(back);
    }
    entries::DeliverySent sent;
    sent.delivery = "DL-99";
    sent.customer = one.customer;
    sent.date = "2026-11-27";
    sent.to = "gate";
    sent.serials = {one.serial, two.serial};
    s.station.note(sent);
}

}  // namespace

TEST_CASE("the code on a tag is told from a link's token by its length and letters, and is read in either case") {
    const auto keys = keys_of("bench-1", Seed{7});
    const std::vector<StationKey> station = {known("bench-1", keys)};
    const auto tag = tag_of("K100ABCD", keys);
    CHECK(looks_like_tag_text(tag));
    CHECK(serial_of_tag(tag, station) == "K100ABCD");
    CHECK(serial_of_tag(small(tag), station) == "K100ABCD");
    for (int i = 0; i < 50; ++i)
        CHECK_FALSE(looks_like_tag_text(make_link_token()));
    // The least and the most that a statement may be: a serial, an order and a station of nothing, and of 64 letters.
    TagStatement statement;
    statement.key = keys.tags.verifier().id();
    CHECK(looks_like_tag_text(to_base32(sign_tag(statement, keys.tags))));
    statement.serial = statement.order = statement.station = std::string(64, 'W');
    statement.date = statement.pressure_kpa = std::int64_t{1} << 50;
    statement.margin_um = -(std::int64_t{1} << 50);
    statement.on_concession = true;
    CHECK(serial_of_tag(to_base32(sign_tag(statement, keys.tags)), station) == std::string(64, 'W'));
    for (const auto& none : {std::string(), std::string(26, 'A'), std::string(64, 'A'), std::string(123, 'A'),
                             std::string(4096, 'A'), tag + "-", tag + "1", tag + " ", "CG1:" + tag})
        CHECK_FALSE(looks_like_tag_text(none));
}

TEST_CASE("R3: a tag's code opens only as it was signed, by one of the station's keys, the earlier ones too") {
    const auto first = keys_of("bench-1", Seed{7}), second = keys_of("bench-1", Seed{8}),
               other = keys_of("bench-2", Seed{9});
    const std::vector<StationKey> station = {known("bench-1", first), known("bench-1", second)};
    CHECK(serial_of_tag(tag_of("K1", first), station) == "K1");
    CHECK(serial_of_tag(tag_of("K1", second), station) == "K1");
    CHECK_FALSE(serial_of_tag(tag_of("K1", other), station));
    CHECK_FALSE(serial_of_tag(tag_of("K1", first), {}));
    // A key is known under its name: the same bytes under another name are another key.
    CHECK_FALSE(serial_of_tag(tag_of("K1", first), {known("bench-2", first)}));
    auto broken = known("bench-1", first);
    broken.tag_key = "no key";
    CHECK_FALSE(serial_of_tag(tag_of("K1", first), {broken}));
    const auto tag = tag_of("K100ABCD", first);
    for (std::size_t at = 0; at < tag.size(); ++at) {
        auto altered = tag;
        altered[at] = altered[at] == 'B' ? 'C' : 'B';
        INFO(at);
        CHECK_FALSE(serial_of_tag(altered, station));
    }
    CHECK_FALSE(serial_of_tag(tag + "A", station));
    CHECK_FALSE(serial_of_tag(tag.substr(1), station));
    CHECK_FALSE(serial_of_tag(tag.substr(0, tag.size() - 1), station));
}

TEST_CASE("R12: by a tag, over every route, no byte of any assembly but its own, be it the same customer's") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1], &six = s.made[2];
    struct Case {
        const TraceStation::Made* own;
        std::string delivery;
    };
    for (const auto& c : {Case{&one, one.delivery}, Case{&two, ""}, Case{&six, ""}}) {
        const auto link = opened_by_tags(s, c.own->customer, c.delivery);
        const auto tag = tag_of(c.own->serial);
        int shown = 0;
        for (const auto& route : customer_routes()) {
            for (const auto& of : s.made) {
                const auto path = TraceStation::path(route, of);
                INFO(c.own->serial << " " << path);
                const auto reply = s.look(tag, path);
                INFO(reply.text.substr(0, 300));
                if (!route.about.empty() && &of != c.own) {
                    CHECK(reply.status == 404);
                    CHECK(reply.code() == "trace_page.not_there");
                } else {
                    CHECK(reply.status == 200);
                    CHECK(reply.header("referrer-policy") == "no-referrer");
                    CHECK(reply.header("cache-control") == "no-store");
                    ++shown;
                }
                const auto said = everything(reply);
                for (const auto& other : s.made) {
                    if (&other == c.own) continue;
                    for (const auto& word : other.telling()) {
                        INFO(word);
                        CHECK_FALSE(holds(said, word));
                    }
                    if (other.customer != c.own->customer) CHECK_FALSE(holds(said, other.customer));
                }
                CHECK_FALSE(holds(said, link.token));
                CHECK_FALSE(holds(said, link_token_hash(link.token)));
                CHECK_FALSE(holds(said, "$argon2id$"));
            }
        }
        int subjects = 0;
        for (const auto& route : customer_routes())
            subjects += route.about.empty() ? 0 : 1;
        CHECK(shown == subjects + 3 * (static_cast<int>(customer_routes().size()) - subjects));
        const auto overview = s.look(tag, "/overview.json");
        CHECK(overview.json.at("by_tag") == c.own->serial.c_str());
        CHECK(overview.json.at("counts").at("assemblies") == 1);
        CHECK(overview.json.at("counts").at("deliveries").as_array().size() == 1);
        CHECK(holds(s.look(tag, "/list.csv").text, c.own->serial));
        // A person sees the record at once.
        const auto page = s.look(small(tag), "");
        CHECK(holds(page.text, "\"by_tag\":\"" + c.own->serial + "\""));
        CHECK(holds(page.text, "\"worst\""));
        s.run(commands::RevokeLink{link.number, "tried"}, "LEA");
    }
}

TEST_CASE("R12: by a tag nothing names those that went with the same delivery, not even in what is attached") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1];
    send_together(s);
    auto lead = s.station.client("LEA", false);
    const auto issued = s.must(lead.post("/api/certificates", {{"subject", "serial"},
                                                               {"id", one.serial},
                                                               {"statement", "declaration"},
                                                               {"function", "QC lead"},
                                                               {"independent", false}}));
    REQUIRE(issued.status == 200);
    const std::string later(issued.json.at("certificate").as_string());
    for (const std::string delivery : {"DL-99", ""}) {
        const auto link = opened_by_tags(s, one.customer, delivery);
        const auto tag = tag_of(one.serial);
        // Through the link itself both certificates are there, and what went with it.
        if (delivery.empty()) {
            CHECK(holds(everything(s.look(link.token, "/certificate/" + later + ".pdf")), two.serial));
            CHECK(holds(s.look(link.token, "/evidence/" + one.serial).text, two.serial));
        }
        CHECK(s.look(tag, "/certificate/" + later + ".pdf").status == 404);
        CHECK(s.look(tag, "/certificate/" + one.certificate + ".pdf").status == 200);
        for (const auto& route : customer_routes()) {
            const auto reply = s.look(tag, TraceStation::path(route, one));
            INFO(std::string(route.path) << " " << reply.text.substr(0, 300));
            CHECK(reply.status == 200);
            CHECK_FALSE(holds(everything(reply), two.serial));
        }
        const auto overview = s.look(tag, "/overview.json");
        CHECK(overview.json.at("counts").at("deliveries").at(0).at("delivery") == "DL-99");
        CHECK(overview.json.at("counts").at("deliveries").at(0).at("sent") == 1);
        const auto read = read_evidence(s.look(tag, "/evidence/" + one.serial).text);
        REQUIRE(read);
        const auto key = SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier();
        CHECK(check_evidence(*read, {key, {}}).good());
        s.run(commands::RevokeLink{link.number, "tried"}, "LEA");
    }
}

TEST_CASE("R12: no tag leads to the address that is printed on the certificate of a delivery of one") {
    TraceStation s("https://records.corvane.example");
    const auto& one = s.made[0];
    auto lead = s.station.client("LEA", false);
    const auto issued = s.must(lead.post("/api/certificates", {{"subject", "delivery"},
                                                               {"id", one.delivery},
                                                               {"statement", "declaration"},
                                                               {"function", "QC lead"},
                                                               {"independent", false},
                                                               {"with_link", true}}));
    INFO(issued.text);
    REQUIRE(issued.status == 200);
    const std::string number(issued.json.at("certificate").as_string());
    const auto link = opened_by_tags(s, one.customer, one.delivery);
    CHECK(s.look(link.token, "/certificate/" + number + ".pdf").status == 200);
    const auto tag = tag_of(one.serial);
    CHECK(s.look(tag, "/certificate/" + number + ".pdf").status == 404);
    CHECK(s.look(tag, "/certificate/" + number + ".json").status == 404);
    CHECK_FALSE(holds(s.look(tag, "/record/" + one.serial).text, number));
    CHECK(s.look(tag, "/certificate/" + one.certificate + ".pdf").status == 200);
}

TEST_CASE("R12: a tag that opens nothing gets, on every route, the answer of a token that there is not") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1], &six = s.made[2];
    const auto tag = tag_of(one.serial);
    const auto refused = [&](const std::string& opened, const char* why) {
        for (const auto& route : customer_routes()) {
            const auto path = TraceStation::path(route, one);
            INFO(why << " " << path);
            const auto expected = s.look("00000000000000000000000000", path);
            const auto reply = s.look(opened, path);
            CHECK(expected.status == 404);
            CHECK(reply.status == 404);
            CHECK(reply.text == expected.text);
            CHECK(reply.headers == expected.headers);
        }
    };
    refused(tag, "no link at all");
    s.link(one.customer);
    s.link(one.customer, one.delivery);
    refused(tag, "links that the tags do not open");
    opened_by_tags(s, six.customer);
    opened_by_tags(s, one.customer, two.delivery);
    refused(tag, "another customer's link, another delivery's");
    const auto all = opened_by_tags(s, one.customer);
    CHECK(s.look(tag, "/overview.json").status == 200);
    refused(tag_of(one.serial, keys_of("bench-1", Seed{9})), "another station's key");
    auto altered = tag;
    altered.back() = altered.back() == 'A' ? 'B' : 'A';
    refused(altered, "an altered statement");
    refused(tag_of("K1NOSUCH"), "a serial that was never made");
    s.run(commands::RevokeLink{all.number, "the hose was sold on"}, "LEA");
    refused(tag, "revoked");
    opened_by_tags(s, one.customer, "", "2026-11-26");
    CHECK(s.look(tag, "/overview.json").status == 200);
    s.station.clock.pass_ms(3LL * 86'400'000);
    refused(tag, "run out");
    const auto written = s.must(s.station.client().post("/t/" + tag));
    CHECK(written.status == 405);
    CHECK_FALSE(holds(written.text, tag));
}

TEST_CASE("R12: under a delivery's link the tag of what was taken back opens nothing, one in question says so") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1];
    opened_by_tags(s, one.customer, one.delivery);
    opened_by_tags(s, two.customer, two.delivery);
    s.run(commands::HoldAssembly{"the caliper was dropped", one.serial}, "LEA");
    const auto record = s.look(tag_of(one.serial), "/record/" + one.serial);
    CHECK(record.json.at("assembly").at("state") == "in_question");
    CHECK_FALSE(record.json.contains("record"));
    CHECK(holds(s.look(tag_of(one.serial), "").text, "\"in_question\""));
    entries::DeliveryTakenBack back;
    back.delivery = two.delivery;
    back.serials = {two.serial};
    back.reason = "stayed on the ramp";
    s.station.note(back);
    CHECK(s.look(tag_of(two.serial), "").status == 404);
}

TEST_CASE("the tags of a key that was handed over go on opening, those of the new one too") {
    TraceStation s;
    const auto& one = s.made[0];
    opened_by_tags(s, one.customer);
    auto setter = s.station.client("SET", false);
    const auto changed = s.must(setter.post("/api/keys/hand-over", {{"reason", "a yearly change"}}));
    INFO(changed.text);
    REQUIRE(changed.status == 200);
    const auto seed = read_key_file(s.station.folder / "station.key");
    REQUIRE(seed);
    CHECK(*seed != Seed{7});
    CHECK(s.look(tag_of(one.serial), "/overview.json").status == 200);
    CHECK(s.look(tag_of(one.serial, keys_of("bench-1", *seed)), "/overview.json").status == 200);
}

TEST_CASE("each look by a tag is in the journal with its serial, under the newest link that it opens") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto tag = tag_of(one.serial);
    const auto first = opened_by_tags(s, one.customer), second = opened_by_tags(s, one.customer, one.delivery);
    s.link(one.customer);
    CHECK(s.look(tag, "").status == 200);
    CHECK(s.look(tag, "/list.csv").status == 200);
    CHECK(s.look(second.token, "/list.csv").status == 200);
    s.run(commands::RevokeLink{second.number, "only a try"}, "LEA");
    CHECK(s.look(tag, "/evidence/" + one.serial).status == 200);
    const auto seen = looks(s);
    REQUIRE(seen.size() == 4);
    CHECK(seen[0].link == second.number);
    CHECK(seen[0].subject == one.serial);  // the page is the record
    CHECK(seen[0].by_tag == one.serial);
    CHECK(seen[1].subject.empty());
    CHECK(seen[1].by_tag == one.serial);
    CHECK_FALSE(seen[2].by_tag);
    CHECK(seen[3].link == first.number);
    for (const auto& entry : s.station.entries())
        CHECK_FALSE(holds(entry.bytes, tag));
    auto lead = s.station.client("LEA", false);
    const auto list = s.must(lead.get("/api/links"));
    CHECK(list.json.at("for_customers") == false);
    CHECK_FALSE(list.json.at("links").at(0).as_object().contains("opens_by_tag"));
    CHECK(list.json.at("links").at(1).at("opens_by_tag") == true);
    CHECK(list.json.at("links").at(1).at("looks") == 3);
}

TEST_CASE("by each tag thirty looks a minute, and nobody waits for another's; what opens nothing waits by address") {
    TraceStation s;
    const auto &one = s.made[0], &two = s.made[1];
    const auto link = opened_by_tags(s, one.customer);
    const auto at_once = [&](const std::string& opened) { return s.look(opened, "/overview.json", 0).status; };
    for (int i = 0; i < 30; ++i)
        CHECK(at_once(tag_of(one.serial)) == 200);
    CHECK(at_once(tag_of(one.serial)) == 429);
    CHECK(at_once(tag_of(two.serial)) == 200);
    CHECK(at_once(link.token) == 200);
    for (int i = 0; i < 10; ++i)
        CHECK(at_once(tag_of(one.serial, keys_of("bench-1", Seed{9}))) == 404);
    CHECK(at_once(tag_of(one.serial, keys_of("bench-1", Seed{9}))) == 429);
    CHECK(at_once("WRONG") == 429);
    CHECK(at_once(tag_of(two.serial)) == 200);
}

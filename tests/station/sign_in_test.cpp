// Signing in: what proves who somebody is, lock-out, the first person's code, second signatures.
#include "tests/support/catch.h"

#include <boost/json.hpp>

#include "sign_in_kit.h"
#include "station/people/first_code.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

TEST_CASE("a badge goes with a PIN; a passphrase goes with the badge or the name on the list") {
    ApiStation station;
    station.set_up();
    REQUIRE(station.run(commands::GiveBadge{"LEA", "B-0417"}, "SET").empty());
    const auto sign_in = [&](const char* who, const char* kind, const std::string& secret) {
        return station.ask(request("POST", "/api/sign-in", {{"person", who}, {kind, secret}, {"at_bench", false}}));
    };
    const auto pin = ApiStation::pin_of("LEA"), phrase = ApiStation::passphrase_of("LEA");
    const auto by_badge = sign_in("B-0417", "pin", pin);
    CHECK(by_badge.status == 200);
    CHECK(json_of(by_badge).at("person") == "LEA");
    CHECK(json_of(by_badge).at("language") == "");  // none chosen: the reader's own
    CHECK(code_of(sign_in("LEA", "pin", pin)) == "people.wrong_pin");
    CHECK(sign_in("B-0417", "passphrase", phrase).status == 200);
    CHECK(sign_in("LEA", "passphrase", phrase).status == 200);
    CHECK(code_of(sign_in("LEA", "passphrase", pin)) == "people.wrong_pin");
    CHECK(code_of(sign_in("B-0417", "pin", phrase)) == "people.wrong_pin");
    CHECK(code_of(station.ask(request("POST", "/api/sign-in", {{"person", "LEA"}}))) == "people.one_secret");
    // Somebody without a passphrase has none that fits.
    CHECK(code_of(sign_in("OPA", "passphrase", "")) == "people.wrong_pin");

    const auto begun = of_type(station, "session.begun");
    CHECK(begun.back().body.at("person") == "LEA");
    CHECK(begun.back().body.at("secret") == "passphrase");
    CHECK(begun.back().body.at("from_here") == true);
}

TEST_CASE("from another machine a PIN is worth nothing, and nobody is at the bench") {
    ApiStation station;
    station.set_up();
    const auto from_afar = [&](const std::string& path, const json::object& body) {
        auto out = request("POST", path, body);
        out.from_here = false;
        return station.ask(out);
    };
    const auto before = station.last_seq();
    for (int i = 0; i < 6; ++i) {
        const auto refused = from_afar("/api/sign-in", pin_of("LEA"));
        CHECK(refused.status == 403);
        CHECK(code_of(refused) == "people.pin_only_here");
    }
    json::object settle{{"serial", "K1-1"}, {"how", "scrap"}, {"reason", "short"}, {"by", pin_of("LEA")}};
    CHECK(code_of(from_afar("/api/holds/settle", settle)) == "people.pin_only_here");
    CHECK(station.last_seq() == before);  // nothing was tried, so nobody has to wait either

    auto at_bench = passphrase_of("LEA");
    at_bench["at_bench"] = true;
    CHECK(code_of(from_afar("/api/sign-in", at_bench)) == "people.bench_only_here");
    CHECK(from_afar("/api/sign-in", passphrase_of("LEA")).status == 200);
    CHECK(of_type(station, "session.begun").back().body.at("from_here") == false);
    auto health = request("GET", "/api/bench");
    CHECK_FALSE(json_of(station.ask(health)).contains("person"));
    settle["by"] = passphrase_of("LEA");
    CHECK(code_of(from_afar("/api/holds/settle", settle)) == "bench.not_on_hold");
}

TEST_CASE("NIST SP 800-63B: a hundred wrong ones in a row lock a person out until a setter gives them a new secret") {
    ApiStation station;
    station.set_up();
    const auto wrong = json::object{{"person", "OPA"}, {"pin", "592600"}};
    for (std::int64_t i = 1; i < Api::most_wrong - 1; ++i)
        station.note(entries::SignInRefused{"OPA"});
    CHECK(code_of(station.ask(request("POST", "/api/sign-in", wrong))) == "people.wrong_pin");
    // The ninety-ninth was not the last: the right one still opens, and ends the row.
    CHECK(station.ask(request("POST", "/api/sign-in", pin_of("OPA"))).status == 200);
    for (std::int64_t i = 1; i < Api::most_wrong; ++i)
        station.note(entries::SignInRefused{"OPA"});
    CHECK(code_of(station.ask(request("POST", "/api/sign-in", wrong))) == "people.wrong_pin");
    const auto locked = station.ask(request("POST", "/api/sign-in", pin_of("OPA")));
    CHECK(locked.status == 403);
    CHECK(code_of(locked) == "people.locked");
    json::object by{{"by", pin_of("OPA")}};
    CHECK(code_of(station.ask(request("POST", "/api/shift/start", by))) == "people.locked");
    station.clock.pass_ms(24 * 60 * minute_ms);
    CHECK(code_of(station.ask(request("POST", "/api/sign-in", pin_of("OPA")))) == "people.locked");
    auto setter = station.client("SET");
    const auto listed = [&] {
        const auto reply = setter.get("/api/people");
        for (const auto& person : reply->json.at("people").as_array())
            if (person.at("person") == "OPA") return person.as_object();
        return json::object{};
    };
    CHECK(listed().at("locked") == true);
    CHECK(setter.post("/api/people/secret", {{"person", "OPA"}, {"pin", "481902"}})->ok());
    CHECK(listed().at("locked") == false);
    CHECK(station.ask(request("POST", "/api/sign-in", {{"person", "OPA"}, {"pin", "481902"}})).status == 200);
    CHECK(code_of(station.ask(request("POST", "/api/sign-in", pin_of("OPA")))) == "people.wrong_pin");
}

TEST_CASE("a right PIN for one action ends the row of wrong ones as a sign-in does, and the record says so") {
    ApiStation station;
    station.set_up();
    auto opa = station.client("OPA");
    for (int i = 0; i < 60; ++i)
        station.note(entries::SignInRefused{"LEA"});
    const json::object settle{{"serial", "K1-1"}, {"how", "scrap"}, {"reason", "x"}, {"by", pin_of("LEA")}};
    CHECK(opa.post("/api/holds/settle", settle)->code() == "bench.not_on_hold");
    for (int i = 0; i < 60; ++i)
        station.note(entries::SignInRefused{"LEA"});
    CHECK(opa.post("/api/holds/settle", settle)->code() == "bench.not_on_hold");
    CHECK(of_type(station, "session.begun").back().body.at("person") == "LEA");
    CHECK(of_type(station, "session.ended").back().body.at("person") == "LEA");
}

TEST_CASE("who is unknown, who has retired and who typed a wrong PIN get the same answer, and wait alike") {
    ApiStation station;
    station.set_up();
    REQUIRE(station.run(commands::RetirePerson{"LEB", "left"}, "SET").empty());
    const auto sign_in = [&](const std::string& person, const std::string& pin) {
        return station.ask(request("POST", "/api/sign-in", {{"person", person}, {"pin", pin}}));
    };
    std::vector<HttpResponse> wrong, unknown, retired;
    for (int i = 0; i < 4; ++i) {
        wrong.push_back(sign_in("OPA", "592600"));
        unknown.push_back(sign_in("NOBODY-AT-ALL", "592600"));
        retired.push_back(sign_in("LEB", ApiStation::pin_of("LEB")));
    }
    for (int i = 0; i < 4; ++i) {
        INFO(i);
        CHECK(wrong[i].status == (i < 3 ? 401 : 429));
        for (const auto* other : {&unknown[i], &retired[i]}) {
            CHECK(other->status == wrong[i].status);
            CHECK(other->body == wrong[i].body);
            CHECK(other->headers == wrong[i].headers);
        }
    }
    for (const auto& entry : of_type(station, "person.sign_in_refused"))
        CHECK((entry.body.at("person") == "OPA" || entry.body.at("person") == "unknown"));
}

TEST_CASE("the first person's code: a new one each time, read as people copy it, and wrong ones are slowed down") {
    const auto code = make_first_code();
    CHECK(code.size() == 11);
    CHECK(code[5] == '-');
    // Crockford's base 32: no I, L, O, U.
    CHECK(code.find_first_not_of("0123456789ABCDEFGHJKMNPQRSTVWXYZ-") == std::string::npos);
    CHECK(make_first_code() != code);
    CHECK(is_first_code("K7Q2M-0ZR41", "k7q2mozr4l"));
    CHECK(is_first_code("K7Q2M-0ZR41", " K7Q2M 0ZR4I "));
    CHECK_FALSE(is_first_code("K7Q2M-0ZR41", "K7Q2M-0ZR42"));
    CHECK_FALSE(is_first_code("K7Q2M-0ZR41", "K7Q2M-0ZR4"));
    CHECK_FALSE(is_first_code("", ""));

    ApiStation station;
    json::object first{{"person", "SET"}, {"name", "Sela Tarn"}, {"role", "setter"}, {"pin", "730284"}};
    const auto add = [&](const char* with) {
        first["code"] = with;
        return station.ask(request("POST", "/api/people", first));
    };
    for (int i = 0; i < 3; ++i)
        CHECK(code_of(add("00000-00000")) == "people.wrong_code");
    CHECK(add(ApiStation::first_code).status == 429);
    station.clock.pass_ms(1000);
    auto from_afar = request("POST", "/api/people", first);
    from_afar.from_here = false;
    CHECK(station.ask(from_afar).status == 401);
    CHECK(add(ApiStation::first_code).status == 200);
    first["person"] = "TWO";
    CHECK(add(ApiStation::first_code).status == 401);  // the code has done its work
}

TEST_CASE("R9: a concession is signed by two where the shop asks for it, each with a secret of their own") {
    ApiStation station;
    station.set_up();
    entries::LimitsSet limits;
    limits.concession_needs_second = true;
    REQUIRE(station.run(commands::SetLimits{limits}, "SET").empty());
    auto opa = station.client("OPA");
    const auto row = bench_row();
    CHECK(opa.post("/api/shift/start")->ok());
    CHECK(opa.post("/api/gauges/prove", {{"gauge", "CAL-1"}, {"reference", "RING-25"}})->ok());
    station.press("25.00");
    CHECK(opa.post("/api/orders/take", {{"order", "A-100"}})->ok());
    CHECK(opa.post("/api/lots/confirm", {{"hose_lot", "H-1"}, {"fitting_a_lot", "FA-1"}, {"fitting_b_lot", "FB-1"}})
              ->ok());
    CHECK(opa.post("/api/die/confirm", {{"die_set", row.die_set}, {"crimper", row.crimper}, {"setting", "4.2"}})->ok());
    for (int i = 0; i < 3; ++i)
        station.press("25.50");
    station.press("36.00");  // pushed in too short
    const auto holds = opa.get("/api/holds")->json.at("holds").as_array();
    REQUIRE(holds.size() == 1);
    const std::string serial(holds[0].at("serial").as_string());
    CHECK(opa.post("/api/assembly/quarantine", {{"serial", serial}})->ok());

    json::object settle{{"serial", serial},
                        {"how", "concession"},
                        {"reason", "the customer accepts it"},
                        {"customer_reference", "MAIL-17"},
                        {"by", pin_of("LEA")}};
    const auto code = [&] { return opa.post("/api/holds/settle", settle)->code(); };
    CHECK(code() == "bench.second_signature");
    settle["second"] = pin_of("LEA");
    CHECK(code() == "bench.second_signature");
    settle["second"] = pin_of("OPB");
    CHECK(code() == "people.wrong_pin");  // known to nobody here
    settle["second"] = json::object{{"person", "SET"}, {"pin", "592600"}};
    CHECK(code() == "people.wrong_pin");
    settle["second"] = json::object{{"person", "SET"}};
    CHECK(code() == "people.one_secret");
    settle["second"] = "SET";
    CHECK(code() == "json.wrong_kind");
    settle["second"] = passphrase_of("SET");
    CHECK(code().empty());
    const auto settled = of_type(station, "hold.settled");
    REQUIRE(settled.size() == 1);
    CHECK(settled[0].who == "LEA");
    CHECK(settled[0].body.at("second") == "SET");
    for (const auto& entry : station.entries())
        CHECK(entry.bytes.find(ApiStation::passphrase_of("SET")) == std::string::npos);
}

TEST_CASE("people are listed for the office with what is set and never with what it is") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET");
    CHECK(setter
              .post("/api/people", {{"person", "NEW"},
                                    {"name", "Nele Aske"},
                                    {"role", "auditor"},
                                    {"passphrase", "paper lasts for decades"},
                                    {"badge", "B-9"},
                                    {"language", "de"}})
              ->ok());
    CHECK(setter.post("/api/people/badge", {{"person", "NEW"}, {"badge", "OPA"}})->code() == "bench.badge_taken");
    CHECK(setter.post("/api/people/retire", {{"person", "SET"}, {"reason", "tired"}})->code() == "bench.last_setter");
    auto aud = station.client("AUD");
    CHECK(aud.post("/api/people/language", {{"language", "fr"}})->code() == "bench.no_language");
    CHECK(aud.post("/api/people/language", {{"language", "de"}})->ok());
    CHECK(aud.get("/api/session")->json.at("language") == "de");
    json::object nele;
    const auto list = aud.get("/api/people");
    for (const auto& person : list->json.at("people").as_array())
        if (person.at("person") == "NEW") nele = person.as_object();
    const json::object expected{{"person", "NEW"}, {"name", "Nele Aske"}, {"role", "auditor"},
                                {"badge", "B-9"},  {"language", "de"},    {"retired", false},
                                {"pin", false},    {"passphrase", true},  {"locked", false}};
    CHECK(nele == expected);

    // One's own secret needs no setter, another's does.
    CHECK(aud.post("/api/people/secret", {{"person", "LEA"}, {"pin", "481902"}})->code() == "bench.not_a_setter");
    CHECK(aud.post("/api/people/secret", {{"person", "AUD"}, {"pin", "123456"}})->code() == "people.pin_too_common");
    CHECK(aud.post("/api/people/secret", {{"person", "AUD"}, {"passphrase", "auda fenn auda fenn"}})->code() ==
          "people.passphrase_too_common");
    CHECK(aud.post("/api/people/secret", {{"person", "AUD"}, {"passphrase", "Corvane Hose Works 1"}})->code() ==
          "people.passphrase_too_common");
    CHECK(aud.post("/api/people/secret", {{"person", "AUD"}})->code() == "people.one_secret");
    CHECK(aud.post("/api/people/secret", {{"person", "AUD"}, {"pin", "481902"}})->ok());
    CHECK(aud.get("/api/session")->status == 401);  // whoever had a session by the old one has it no more
}

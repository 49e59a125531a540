// Signing in: what proves who somebody is, sessions of pages and of programs, lock-out, the first person's code, and
// being signed out when nobody is there.
#include "tests/support/catch.h"

#include <boost/json.hpp>

#include "api_station.h"
#include "station/people/first_code.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

constexpr std::int64_t minute_ms = 60'000;

HttpRequest request(const std::string& method, const std::string& path, const json::object& body = {}) {
    HttpRequest out;
    out.method = method;
    out.path = path;
    if (method == "POST") out.body = json::serialize(body);
    out.from_here = true;
    out.from_page = true;
    return out;
}

json::object json_of(const HttpResponse& response) {
    return json::parse(response.body).as_object();
}

std::string code_of(const HttpResponse& response) {
    const auto body = json_of(response);
    return body.contains("code") ? std::string(body.at("code").as_string()) : "";
}

std::string set_cookie(const HttpResponse& response) {
    for (const auto& [name, value] : response.headers)
        if (name == "Set-Cookie") return value;
    return "";
}

// The value of the cookie that the answer sets.
std::string token_in(const HttpResponse& response) {
    const auto text = set_cookie(response);
    const auto from = text.find('=') + 1;
    return text.substr(from, text.find(';') - from);
}

HttpRequest with_cookie(HttpRequest request, const std::string& token) {
    request.cookies["crimpgate"] = token;
    return request;
}

json::object pin_of(const std::string& person) {
    return {{"person", person}, {"pin", ApiStation::pin_of(person)}};
}

json::object passphrase_of(const std::string& person) {
    return {{"person", person}, {"passphrase", ApiStation::passphrase_of(person)}};
}

// A page at the station's own machine, signed in there and not at the bench unless it says so.
std::string page_of(ApiStation& station, const std::string& person, bool at_bench = false) {
    auto body = pin_of(person);
    body["cookie"] = true;
    body["at_bench"] = at_bench;
    const auto answer = station.ask(request("POST", "/api/sign-in", body));
    REQUIRE(answer.status == 200);
    return token_in(answer);
}

int status_of(ApiStation& station, const std::string& token, const std::string& path = "/api/session") {
    return station.ask(with_cookie(request("GET", path), token)).status;
}

std::vector<Entry> of_type(ApiStation& station, std::string_view type) {
    std::vector<Entry> out;
    for (auto& entry : station.entries())
        if (entry.type == type) out.push_back(std::move(entry));
    return out;
}

}  // namespace

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
    CHECK(json_of(by_badge).at("language") == "en");
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

TEST_CASE("a page's token is a cookie that no script and no other site can use, and is nowhere else") {
    ApiStation station;
    station.set_up();
    auto body = pin_of("LEA");
    body["cookie"] = true;
    const auto answer = station.ask(request("POST", "/api/sign-in", body));
    REQUIRE(answer.status == 200);
    CHECK_FALSE(json_of(answer).contains("token"));
    const auto token = token_in(answer);
    CHECK(token.size() == 32);
    CHECK(answer.body.find(token) == std::string::npos);
    CHECK(set_cookie(answer) == "crimpgate=" + token + "; HttpOnly; SameSite=Strict; Path=/");
    for (const auto& entry : station.entries())
        CHECK(entry.bytes.find(token) == std::string::npos);

    // Through TLS: a name that no plain connection and no other host of the domain can set (RFC 6265bis, __Host-).
    auto secure = request("POST", "/api/sign-in", body);
    secure.secure = true;
    const auto other = station.ask(secure);
    CHECK(set_cookie(other) == "__Host-crimpgate=" + token_in(other) + "; HttpOnly; SameSite=Strict; Path=/; Secure");
    auto through_tls = with_cookie(request("GET", "/api/session"), token_in(other));
    through_tls.secure = true;
    CHECK(station.ask(through_tls).status == 401);  // under the plain name it is not looked for there
    through_tls.cookies["__Host-crimpgate"] = token_in(other);
    CHECK(json_of(station.ask(through_tls)).at("person") == "LEA");

    // A program gets the token itself and no cookie.
    body["cookie"] = false;
    const auto program = station.ask(request("POST", "/api/sign-in", body));
    CHECK(json_of(program).at("token").as_string().size() == 32);
    CHECK(set_cookie(program).empty());
}

TEST_CASE("each sign-in gives a new token, and over a session that still runs it ends that one") {
    ApiStation station;
    station.set_up();
    const auto first = page_of(station, "LEA");
    CHECK(status_of(station, first) == 200);
    auto body = pin_of("LEB");
    body["cookie"] = true;
    const auto answer = station.ask(with_cookie(request("POST", "/api/sign-in", body), first));
    const auto second = token_in(answer);
    CHECK(second != first);
    CHECK(status_of(station, first) == 401);
    CHECK(status_of(station, second) == 200);
    const auto ended = of_type(station, "session.ended");
    REQUIRE(ended.size() == 1);
    CHECK(ended[0].body.at("person") == "LEA");

    const auto out = station.ask(with_cookie(request("POST", "/api/sign-out"), second));
    CHECK(out.status == 200);
    CHECK(set_cookie(out) == "crimpgate=; HttpOnly; SameSite=Strict; Path=/; Max-Age=0");
    CHECK(of_type(station, "session.ended").size() == 2);
}

TEST_CASE("a page's session ends when nobody touched it for as long as the shop allows; asking by itself is no touch") {
    ApiStation station;
    station.set_up();
    const auto page = page_of(station, "LEA");
    auto program = station.client("LEB", false);
    for (int i = 0; i < 3; ++i) {
        station.clock.pass_ms(10 * minute_ms);
        CHECK(status_of(station, page, "/api/orders") == 200);
    }
    station.clock.pass_ms(10 * minute_ms);
    CHECK(status_of(station, page, "/api/bench") == 200);
    CHECK(status_of(station, page, "/api/session") == 200);
    station.clock.pass_ms(5 * minute_ms + 1);
    CHECK(status_of(station, page) == 401);
    CHECK(program.get("/api/orders")->status == 200);
    CHECK(of_type(station, "session.ended").empty());
    station.tend();
    CHECK(of_type(station, "session.ended").back().body.at("person") == "LEA");

    entries::LimitsSet limits;
    limits.sign_out_after_min = 0;
    REQUIRE(station.run(commands::SetLimits{limits}, "SET").empty());
    const auto never = page_of(station, "LEA");
    station.clock.pass_ms(7 * 60 * minute_ms);
    CHECK(status_of(station, never, "/api/orders") == 200);
    station.clock.pass_ms(5 * 60 * minute_ms);
    CHECK(status_of(station, never, "/api/orders") == 200);
    station.clock.pass_ms(1);  // twelve hours, however busy it was
    CHECK(status_of(station, never, "/api/orders") == 401);
}

TEST_CASE("R9: who measures keeps the page they signed in with") {
    ApiStation station;
    station.set_up();
    const auto page = page_of(station, "OPA", true);
    const auto post = [&](const std::string& path, const json::object& body) {
        return station.ask(with_cookie(request("POST", path, body), page)).status;
    };
    CHECK(post("/api/shift/start", {}) == 200);
    CHECK(post("/api/gauges/prove", {{"gauge", "CAL-1"}, {"reference", "RING-25"}}) == 200);
    station.press("25.00");
    CHECK(post("/api/orders/take", {{"order", "A-100"}}) == 200);
    CHECK(post("/api/lots/confirm", {{"hose_lot", "H-1"}, {"fitting_a_lot", "FA-1"}, {"fitting_b_lot", "FB-1"}}) ==
          200);
    const auto row = bench_row();
    CHECK(post("/api/die/confirm", {{"die_set", row.die_set}, {"crimper", row.crimper}, {"setting", "4.2"}}) == 200);
    for (int i = 0; i < 3; ++i) {
        station.clock.pass_ms(14 * minute_ms);
        station.press("25.50");
        station.tend();
    }
    CHECK(status_of(station, page) == 200);
    CHECK(of_type(station, "reading.taken").size() >= 3);
    station.clock.pass_ms(15 * minute_ms);
    station.tend();
    CHECK(of_type(station, "person.signed_out").back().body.at("cause") == "idle");
}

TEST_CASE("R9: whoever neither measures nor asks for anything is signed out at the bench, and what is made stays") {
    ApiStation station;
    station.set_up();
    auto opa = station.client("OPA");
    const auto at_bench = [&] { return std::string(opa.get("/api/bench")->json.contains("person") ? "somebody" : ""); };
    CHECK(opa.post("/api/shift/start")->ok());
    station.clock.pass_ms(15 * minute_ms - 1);
    station.tend();
    CHECK(at_bench() == "somebody");
    CHECK(opa.post("/api/steps/confirm", {{"what", "lubricant"}, {"yes", true}})->status == 409);  // shows life too
    station.clock.pass_ms(15 * minute_ms - 1);
    station.tend();
    CHECK(at_bench() == "somebody");
    // Noise on the gauge's line is nobody, and nor is a lead who acts by their own name.
    Refusal noise;
    noise.why = message("driver.bad_frame");
    station.run(commands::GaugeSaid{"CAL-1", noise}, "");
    CHECK(opa.post("/api/holds/settle", {{"serial", "K1-1"}, {"how", "scrap"}, {"reason", "x"}, {"by", pin_of("LEA")}})
              ->code() == "bench.not_on_hold");
    station.clock.pass_ms(1);
    station.tend();
    CHECK(at_bench().empty());
    const auto out = of_type(station, "person.signed_out");
    REQUIRE(out.size() == 1);
    CHECK(out[0].body.at("person") == "OPA");
    CHECK(out[0].body.at("cause") == "idle");
    CHECK(out[0].who.empty());
    station.tend();
    CHECK(of_type(station, "person.signed_out").size() == 1);
    CHECK(opa.get("/api/bench")->json.at("shift").as_string().size() > 0);

    entries::LimitsSet limits;
    limits.sign_out_after_min = 0;
    REQUIRE(station.run(commands::SetLimits{limits}, "SET").empty());
    REQUIRE(station.run(commands::SignIn{}, "LEB").empty());
    station.clock.pass_ms(7LL * 24 * 60 * minute_ms);
    station.tend();
    CHECK(at_bench() == "somebody");
}

TEST_CASE("a session ends with what it stood on: another role, another secret, retired") {
    ApiStation station;
    station.set_up();
    const auto ends = [&](const char* who, const Command& command) {
        const auto token = page_of(station, who);
        const auto other = page_of(station, "AUD");
        REQUIRE(status_of(station, token) == 200);
        REQUIRE(station.run(command, "SET").empty());
        CHECK(status_of(station, token) == 401);
        CHECK(status_of(station, other) == 200);
    };
    ends("LEB", commands::GiveRole{"LEB", Role::operator_});
    ends("LEB", commands::SetSecret{"LEB", Secret::passphrase, "$argon2id$x"});
    ends("LEB", commands::RetirePerson{"LEB", "left the shop"});
    station.tend();
    CHECK(of_type(station, "session.ended").size() == 3);
    CHECK(code_of(station.ask(request("POST", "/api/sign-in", pin_of("LEB")))) == "people.wrong_pin");
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

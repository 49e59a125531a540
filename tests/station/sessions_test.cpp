// Sessions of pages and of programs: how they begin, what ends them, and being signed out when nobody is there.
#include "tests/support/catch.h"

#include <boost/json.hpp>

#include "sign_in_kit.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

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

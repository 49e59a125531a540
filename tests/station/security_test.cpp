// What the doors of the station hold against: PIN storms, a copied cookie, pages of other sites, bodies and paths that
// are too large or too clever, and text that is a script. Who may do what is in rights_test.cpp.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <fstream>
#include <iterator>

#include "api_station.h"
#include "desk_kit.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

std::string status_line(const std::string& answer) {
    return answer.substr(0, answer.find('\r'));
}

json::object sign_in_body(const std::string& person) {
    return {{"person", person}, {"pin", ApiStation::pin_of(person)}};
}

// As a page would: the cookie's value.
std::string page_cookie(ApiStation& station, const std::string& person) {
    auto client = station.client();
    auto body = sign_in_body(person);
    body["cookie"] = true;
    const auto reply = client.request("POST", "/api/sign-in", json::serialize(body), {{"X-Crimpgate", "page"}});
    REQUIRE(reply.has_value());
    REQUIRE(reply->status == 200);
    const auto set = reply->header("set-cookie");
    return set.substr(0, set.find(';'));
}

}  // namespace

TEST_CASE("a storm of wrong PINs costs a hash or two an hour, and the others still get in") {
    ApiStation station;
    station.set_up();
    auto client = station.client();
    const auto before = station.last_seq();
    int looked_at = 0, waited = 0;
    for (int i = 0; i < 300; ++i) {
        const auto reply = client.sign_in("LEA", std::to_string(500'000 + i * 7), false);
        REQUIRE(reply.has_value());
        looked_at += reply->status == 401;
        waited += reply->status == 429;
        CHECK(reply->status != 200);
    }
    CHECK(looked_at == 3);
    CHECK(waited == 297);
    CHECK(station.last_seq() == before + looked_at);
    CHECK(client.sign_in("LEB", ApiStation::pin_of("LEB"), false)->ok());

    // A day of it, as fast as the waits allow: 3 at once, then each twice as late as the one before, an hour at most.
    ApiStation patient;
    patient.set_up();
    int tries = 0;
    const auto until = patient.clock.utc_ms() + 24LL * 3600 * 1000;
    while (patient.clock.utc_ms() < until) {
        HttpRequest request;
        request.method = "POST";
        request.path = "/api/sign-in";
        request.body = R"({"person":"LEA","pin":"592600"})";
        request.from_here = true;
        const auto answer = patient.ask(request);
        if (answer.status == 401) {
            ++tries;
            continue;
        }
        REQUIRE(answer.status == 429);
        const auto seconds = json::parse(answer.body).at("details").at("seconds").as_string();
        patient.clock.pass_ms(1000 * std::stoll(std::string(seconds)));
    }
    CHECK(tries < 40);
    CHECK(tries > 20);
}

TEST_CASE("a cookie that somebody copied is worth nothing after its owner signed out") {
    ApiStation station;
    station.set_up();
    const auto cookie = page_cookie(station, "LEA");
    auto thief = station.client();
    const auto asks = [&] { return thief.request("GET", "/api/orders", "", {{"Cookie", cookie}})->status; };
    CHECK(asks() == 200);
    auto owner = station.client();
    CHECK(owner.request("POST", "/api/sign-out", "{}", {{"Cookie", cookie}, {"X-Crimpgate", "page"}})->status == 200);
    CHECK(asks() == 401);
    // Signing in again does not bring the old one back.
    page_cookie(station, "LEA");
    CHECK(asks() == 401);
}

TEST_CASE("a page of another site writes nothing, with or without the cookie that the browser sends along") {
    ApiStation station;
    station.set_up();
    const auto cookie = page_cookie(station, "SET");
    const std::string own = "http://127.0.0.1:" + std::to_string(station.port());
    const std::string body = R"({"person":"LEB","role":"setter"})";
    auto client = station.client();
    struct Case {
        const char* what;
        ApiClient::Headers headers;
        const char* code;
    };
    const Case cases[] = {
        {"a form: no header of its own", {{"Cookie", cookie}}, "api.not_from_page"},
        {"the header with another word", {{"Cookie", cookie}, {"X-Crimpgate", "yes"}}, "api.not_from_page"},
        {"another site's origin",
         {{"Cookie", cookie}, {"X-Crimpgate", "page"}, {"Origin", "http://evil.example"}},
         "http.foreign_origin"},
        {"a sandboxed frame's origin",
         {{"Cookie", cookie}, {"X-Crimpgate", "page"}, {"Origin", "null"}},
         "http.foreign_origin"},
        {"our name on another port",
         {{"Cookie", cookie}, {"X-Crimpgate", "page"}, {"Origin", "http://127.0.0.1:1"}},
         "http.foreign_origin"},
        {"what the browser says of it",
         {{"Cookie", cookie}, {"X-Crimpgate", "page"}, {"Origin", own}, {"Sec-Fetch-Site", "cross-site"}},
         "http.foreign_origin"},
        {"another name that leads here",
         {{"Cookie", cookie}, {"X-Crimpgate", "page"}, {"Host", "bench.evil.example"}},
         "http.strange_host"},
    };
    const auto before = station.last_seq();
    for (const auto& c : cases) {
        INFO(c.what);
        const auto reply = client.request("POST", "/api/people/role", body, c.headers);
        REQUIRE(reply.has_value());
        CHECK(reply->status == (c.code == std::string("http.strange_host") ? 421 : 403));
        CHECK(reply->code() == c.code);
        CHECK(reply->header("access-control-allow-origin").empty());
    }
    // Nor does it sign anybody in behind their back.
    auto sign_in = sign_in_body("OPA");
    sign_in["cookie"] = true;
    const auto reply = client.request("POST", "/api/sign-in", json::serialize(sign_in));
    CHECK(reply->code() == "api.not_from_page");
    CHECK(reply->header("set-cookie").empty());
    CHECK(station.last_seq() == before);
    const auto preflight = client.request("OPTIONS", "/api/people/role", "", {{"Origin", "http://evil.example"}});
    CHECK(preflight->status >= 400);
    CHECK(preflight->header("access-control-allow-origin").empty());

    const ApiClient::Headers ours = {
        {"Cookie", cookie}, {"X-Crimpgate", "page"}, {"Origin", own}, {"Sec-Fetch-Site", "same-origin"}};
    CHECK(client.request("POST", "/api/people/role", body, ours)->status == 200);
}

TEST_CASE("a body that is too large is refused before it is read, and what looks like two requests is one or none") {
    ApiStation station;
    station.set_up();
    const std::string host = "Host: 127.0.0.1:" + std::to_string(station.port()) + "\r\nConnection: close\r\n";
    const auto before = station.last_seq();
    const auto large = send_raw(
        station.port(), "POST /api/sign-in HTTP/1.1\r\n" + host + "Content-Length: 999999999999\r\n\r\n{\"person\":\"");
    CHECK_THAT(status_line(large), cqt::contains(" 413 "));
    const auto deep = std::string(10'000, '[') + std::string(10'000, ']');
    auto client = station.client();
    CHECK(client.request("POST", "/api/sign-in", deep)->status == 400);
    CHECK(client.request("POST", "/api/sign-in", "{\"person\":\"" + std::string(100'000, 'a') + "\",\"pin\":\"1\"}")
              ->status == 401);
    // Two lengths: which bytes belong to whom would depend on the reader (RFC 9112 section 6.3).
    const auto smuggled =
        send_raw(station.port(), "POST /api/sign-in HTTP/1.1\r\n" + host +
                                     "Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"
                                     "GET /api/health HTTP/1.1\r\n" +
                                     host + "\r\n");
    CHECK(smuggled.find("\"last_seq\"") == std::string::npos);
    const auto twice = send_raw(
        station.port(), "POST /api/sign-in HTTP/1.1\r\n" + host + "Content-Length: 2\r\nContent-Length: 3\r\n\r\n{} ");
    CHECK_THAT(status_line(twice), cqt::contains(" 400 "));
    // One wrong sign-in was looked at above; nothing else was done.
    CHECK(station.last_seq() == before + 1);
}

TEST_CASE("paths that climb, hide or double something lead nowhere") {
    ApiStation station;
    station.set_up();
    std::ofstream(station.folder / "secret.txt") << "the shop's secret";
    auto client = station.client("LEA", false);
    for (const char* path :
         {"/api/../secret.txt", "/../../../../etc/passwd", "/api/%2e%2e/%2e%2e/etc/passwd",
          "/api/assemblies/..%2f..%2fetc%2fpasswd", "/api/assemblies/%00", "//etc/passwd",
          "/api/assemblies/K1-1%00.html", "/api//people", "/API/people", "/api/people/", "/api/people%2f",
          "/api/bench/..;/people", "/api\\people", "/api/assemblies/%c0%ae%c0%ae", "/secret.txt", "/bench.journal"}) {
        INFO(path);
        const auto reply = client.get(path);
        REQUIRE(reply.has_value());
        CHECK((reply->status == 400 || reply->status == 404));
        CHECK(reply->text.find("root:") == std::string::npos);
        CHECK(reply->text.find("secret of") == std::string::npos);
    }
    // What may follow a backup's name is no way round: a whole path, a new file.
    CHECK(client.post("/api/journal/backup", {{"to", "../x"}})->code() == "api.backup_place");
}

TEST_CASE("a script in any text stays text: data by its type, never a page, and the record has it as it was typed") {
    ApiStation station;
    station.set_up();
    const std::string script = "\"><script>alert(1)</script><img src=x onerror=alert(2)>";
    auto setter = station.client("SET");
    const auto post = [&](const char* path, const json::object& body) {
        const auto reply = setter.post(path, body);
        REQUIRE(reply.has_value());
        INFO(path << " " << reply->text);
        CHECK(reply->ok());
        return *reply;
    };
    post("/api/people",
         {{"person", script}, {"name", script}, {"role", "lead"}, {"pin", "730284"}, {"badge", script + "b"}});
    post("/api/people/retire", {{"person", script}, {"reason", script}});
    post("/api/references", {{"reference", script},
                             {"kind", script},
                             {"size_nm", 1},
                             {"certificate", script},
                             {"calibration_due", "2027-01-01"}});
    post("/api/orders/open", {{"order", script},
                              {"customer", script},
                              {"customer_part", script},
                              {"quantity", 1},
                              {"spec_a", "NH-2SN-08"},
                              {"spec_b", "NH-2SN-08"},
                              {"overall_length_nm", 750'000'000},
                              {"length_rule", "din20066"},
                              {"hose_lots", json::array{json::object{{"lot", script}, {"made", "2Q26"}}}},
                              {"fitting_a_lots", json::array{json::object{{"lot", script}, {"made", ""}}}},
                              {"fitting_b_lots", json::array{json::object{{"lot", script}, {"made", ""}}}},
                              {"needed_pressure_kpa", 25'000},
                              {"due", "2026-12-04"},
                              {"notes", script}});
    const auto harmless = [&](const ApiReply& reply) {
        CHECK(reply.header("content-type") == "application/json");
        CHECK(reply.header("x-content-type-options") == "nosniff");
        CHECK_THAT(reply.header("content-security-policy"), cqt::contains("default-src 'none'"));
    };
    std::size_t seen = 0;
    for (const char* path : {"/api/people", "/api/orders", "/api/entries?limit=1000", "/api/bench"}) {
        INFO(path);
        const auto reply = setter.get(path);
        REQUIRE(reply.has_value());
        CHECK(reply->status == 200);
        harmless(*reply);
        const auto quoted = json::serialize(json::string(script));
        for (auto at = reply->text.find(quoted); at != std::string::npos; at = reply->text.find(quoted, at + 1))
            ++seen;
    }
    CHECK(seen > 10);
    // Nor in what is refused: the words hold what was typed, and are data too.
    const auto refused = setter.post("/api/holds/settle", {{"serial", script}, {"how", "scrap"}, {"reason", script}});
    harmless(*refused);
    const auto nowhere = setter.get("/api/%3Cscript%3Ealert(1)%3C%2Fscript%3E");
    CHECK(nowhere->status == 404);
    harmless(*nowhere);
    // A line break in a text would be a second line in a log or an event; in JSON it is two characters.
    post("/api/people/retire", {{"person", "LEB"}, {"reason", "left\r\ndata: {\"seq\":1}\r\n\r\n"}});
    auto events = EventReader::open("127.0.0.1", station.port(),
                                    "/api/events?names=no&from=" + std::to_string(station.last_seq()));
    REQUIRE(events.has_value());
    const auto event = events->next(std::chrono::seconds(20));
    REQUIRE(event.has_value());
    CHECK(json::parse(event->data).at("body").at("reason") == "left\r\ndata: {\"seq\":1}\r\n\r\n");
}

TEST_CASE("a script in a text is printed on a tag as any other text, and a tag never has anything that acts") {
    const std::string script = "</script><script>app.alert(1)</script>) /JS (x";
    Bench bench = Bench::set_up();
    auto order = bench_order("A-100-X");
    order.customer = script;
    order.customer_part = script;
    REQUIRE(bench.ask(commands::OpenOrder{order}, "SET").empty());
    bench.ask(commands::SignIn{}, "OPA");
    bench.ask(commands::StartShift{}, "OPA");
    bench.prove();
    REQUIRE(bench.ask(commands::TakeOrder{"A-100-X"}).empty());
    bench.ask(commands::ConfirmLots{"H-1", "FA-1", "FB-1"});
    bench.ask(commands::ConfirmDie{"D-26", "C-1", "4.2"});
    bench.good_setup();
    const auto serial = bench.good_assembly();
    DeskKit kit(bench);
    const auto fonts = FontSet::load(FontSet::built_directory());
    REQUIRE(fonts.has_value());
    TagSettings settings;
    settings.shop = "Corvane " + script;
    settings.folder = kit.folder / "tags";
    TagOutbox outbox(*kit.desk, *fonts, settings, nullptr);
    REQUIRE(outbox.recover());
    outbox.work();
    std::ifstream file(settings.folder / (serial + ".pdf"), std::ios::binary);
    const std::string pdf((std::istreambuf_iterator<char>(file)), {});
    REQUIRE(pdf.starts_with("%PDF-"));
    // ISO 32000-1: actions hang on these keys. Text in streams is glyph numbers; what stands in the open is escaped.
    for (const char* key : {"/JavaScript", "/JS ", "/JS(", "/OpenAction", "/AA", "/Launch", "/SubmitForm", "/XFA",
                            "/RichMedia", "<script"}) {
        INFO(key);
        CHECK(pdf.find(key) == std::string::npos);
    }
}

// The server in front of everything: who may come in, how much, and in what form. Real sockets on the loopback address.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <chrono>
#include <thread>

#include "api_station.h"
#include "raw_client.h"
#include "station/http/guard.h"

using namespace crimpgate;
using namespace crimpgate::test;

namespace {

const ApiClient::Headers no_headers;

ApiReply ask(const ApiStation& station, const std::string& method, const std::string& target,
             const std::string& body = {}, const ApiClient::Headers& headers = no_headers) {
    auto client = station.client();
    auto reply = client.request(method, target, body, headers);
    REQUIRE(reply.has_value());
    return *reply;
}

}  // namespace

TEST_CASE("a station asked for under a name that is not its own does not answer") {
    ApiStation station;
    // DNS rebinding: a page's own name made to point at this machine.
    const auto strange = ask(station, "GET", "/api/health", {}, {{"Host", "evil.example:8080"}});
    CHECK(strange.status == 421);
    CHECK(strange.code() == "http.strange_host");
    CHECK_THAT(strange.words(), cqt::contains("evil.example"));
    for (const char* own : {"localhost", "localhost:9", "127.0.0.1", "[::1]:80", "LocalHost"})
        CHECK(ask(station, "GET", "/api/health", {}, {{"Host", own}}).status == 200);
    CHECK(ask(station, "GET", "/api/health", {}, {{"Host", ""}}).status == 421);
}

TEST_CASE("a foreign page can read nothing into the station and change nothing in it") {
    ApiStation station;
    const std::string own = "127.0.0.1:" + std::to_string(station.port());
    const auto foreign = ask(station, "POST", "/api/sign-out", "{}", {{"Origin", "http://evil.example"}});
    CHECK(foreign.status == 403);
    CHECK(foreign.code() == "http.foreign_origin");
    // Another server on the same machine is foreign as well.
    CHECK(ask(station, "POST", "/api/sign-out", "{}", {{"Origin", "http://127.0.0.1:1"}}).code() ==
          "http.foreign_origin");
    CHECK(ask(station, "POST", "/api/sign-out", "{}", {{"Origin", "null"}}).code() == "http.foreign_origin");
    // The station's own page, and a program that is no browser, come through to the question who they are.
    CHECK(ask(station, "POST", "/api/sign-out", "{}", {{"Origin", "http://" + own}}).code() == "api.sign_in");
    CHECK(ask(station, "POST", "/api/sign-out", "{}").code() == "api.sign_in");
}

TEST_CASE("every answer carries what keeps a browser from being used against the station") {
    ApiStation station;
    for (const char* target : {"/api/health", "/api/nothing"}) {
        const auto reply = ask(station, "GET", target);
        for (const auto& [name, value] : safety_headers()) {
            std::string lower = name;
            for (char& c : lower)
                if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + 32);
            CHECK(reply.header(lower) == value);
        }
    }
}

TEST_CASE("too large a body is refused in words, and the station goes on") {
    HttpLimits limits;
    limits.body_bytes = 1000;
    ApiStation station(limits);
    const auto reply = ask(station, "POST", "/api/tables", std::string(200'000, 'x'));
    CHECK(reply.status == 413);
    CHECK(reply.code() == "http.body_too_large");
    CHECK_THAT(reply.words(), cqt::contains("1000 bytes"));
    CHECK(ask(station, "GET", "/api/health").status == 200);
    // Without a length beforehand, in chunks.
    std::string chunked = "POST /api/tables HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n";
    chunked += "800\r\n" + std::string(0x800, 'y') + "\r\n0\r\n\r\n";
    CHECK_THAT(send_raw(station.port(), chunked), cqt::contains("HTTP/1.1 413"));
}

TEST_CASE("a head that never ends, and what is no HTTP at all, are refused") {
    ApiStation station;
    const auto head = send_raw(
        station.port(), "GET /api/health HTTP/1.1\r\nHost: localhost\r\nX: " + std::string(40'000, 'a') + "\r\n\r\n");
    CHECK_THAT(head, cqt::contains("HTTP/1.1 431"));
    CHECK_THAT(send_raw(station.port(), "\x16\x03\x01 hello\r\n\r\n"), cqt::contains("HTTP/1.1 400"));
    CHECK_THAT(send_raw(station.port(), "GET /api/%zz HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"),
               cqt::contains("http.bad_target"));
    CHECK_THAT(send_raw(station.port(), "GET /api/%ff HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"),
               cqt::contains("http.bad_target"));
    CHECK_THAT(send_raw(station.port(), "GET /api/health HTTP/1.1\r\nHost: \xff\xfe\r\nConnection: close\r\n\r\n"),
               cqt::contains("HTTP/1.1 4"));
    CHECK(ask(station, "GET", "/api/health").status == 200);
}

TEST_CASE("two requests sent at once are answered one after the other") {
    ApiStation station;
    const std::string both =
        "GET /api/nothing HTTP/1.1\r\nHost: localhost\r\n\r\n"
        "GET /api/health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n";
    const auto answer = send_raw(station.port(), both);
    const auto first = answer.find("HTTP/1.1 404"), second = answer.find("HTTP/1.1 200");
    REQUIRE(first == 0);
    REQUIRE(second != std::string::npos);
    CHECK(answer.find("HTTP/1.1", second + 1) == std::string::npos);
}

TEST_CASE("more connections than the station takes are told so") {
    HttpLimits limits;
    limits.connections = 2;
    ApiStation station(limits);
    auto first = EventReader::open("127.0.0.1", station.port(), "/api/events");
    auto second = EventReader::open("127.0.0.1", station.port(), "/api/events");
    REQUIRE(first.has_value());
    REQUIRE(second.has_value());
    CHECK_THAT(send_raw(station.port(), ""), cqt::contains("http.too_many"));
}

TEST_CASE("a client that says nothing is let go") {
    HttpLimits limits;
    limits.idle = std::chrono::milliseconds(100);
    ApiStation station(limits);
    const auto before = std::chrono::steady_clock::now();
    CHECK(send_raw(station.port(), "GET /api/health HT").empty());
    CHECK(std::chrono::steady_clock::now() - before < std::chrono::seconds(20));  // of itself after 30
}

TEST_CASE("the station stops while clients hang on to it") {
    auto station = std::make_unique<ApiStation>();
    auto idle = station->client();
    REQUIRE(idle.get("/api/health").has_value());
    auto stream = EventReader::open("127.0.0.1", station->port(), "/api/events");
    REQUIRE(stream.has_value());
    const auto before = std::chrono::steady_clock::now();
    station.reset();                                                              // joins the loop's thread
    CHECK(std::chrono::steady_clock::now() - before < std::chrono::seconds(20));  // a silent client has 30
    CHECK_FALSE(stream->next(std::chrono::seconds(60)).has_value());
    CHECK(stream->ended());
    const auto gone = idle.get("/api/health");
    REQUIRE_FALSE(gone.has_value());
    CHECK(gone.error().code == "client.unreachable");
}

TEST_CASE("a target is taken apart as RFC 3986 section 2.1 has it, and a climbing one is none") {
    const auto target = parse_target("/api/assemblies/K1%2D7?x=a+b%26c&from=8");
    REQUIRE(target.has_value());
    CHECK(target->path == "/api/assemblies/K1-7");
    CHECK(target->query.at("from") == "8");
    CHECK(target->query.at("x") == "a b&c");
    for (const char* bad :
         {"", "api", "/a/../b", "/a/%2e%2e", "/%", "/%4", "/%00", "/%C3%28", "/x?%FF=1", "/x?from=7&from=8"})
        CHECK_FALSE(parse_target(bad).has_value());
}

TEST_CASE("a head has its time from its first byte: one byte after another does not keep a connection") {
    HttpLimits limits;
    limits.head = std::chrono::milliseconds(300);
    limits.idle = std::chrono::minutes(10);  // never reached here: what ends it is the head's own time
    ApiStation station(limits);
    RawClient client(station.port());
    const std::string head = "GET /api/health HTTP/1.1\r\nHost: localhost\r\nX-Slow: ";
    bool gone = false;
    for (int i = 0; i < 3000 && !gone; ++i) {
        const char byte = i < static_cast<int>(head.size()) ? head[static_cast<std::size_t>(i)] : 'a';
        gone = !client.send(std::string(1, byte)) || client.ended_within(std::chrono::milliseconds(20));
    }
    CHECK(gone);
    CHECK(client.got().empty());
    // The same head in time is fine, and so is silence before it.
    RawClient other(station.port());
    std::this_thread::sleep_for(std::chrono::milliseconds(600));
    other.send(head + "\r\n\r\n");
    CHECK(other.until("\"last_seq\""));
}

TEST_CASE("a body that trickles in has its time as well") {
    HttpLimits limits;
    limits.idle = std::chrono::milliseconds(300);
    ApiStation station(limits);
    RawClient client(station.port());
    client.send("POST /api/sign-out HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100000\r\n\r\n");
    bool gone = false;
    for (int i = 0; i < 3000 && !gone; ++i)
        gone = !client.send("x") || client.ended_within(std::chrono::milliseconds(20));
    CHECK(gone);
}

TEST_CASE("whoever waits to be told to send the body is told, and not when it would be too large") {
    HttpLimits limits;
    limits.body_bytes = 1000;
    ApiStation station(limits);
    RawClient client(station.port());
    client.send(
        "POST /api/sign-out HTTP/1.1\r\nHost: localhost\r\nExpect: 100-continue\r\nContent-Length: 2\r\n"
        "Connection: close\r\n\r\n");
    REQUIRE(client.until("HTTP/1.1 100 Continue\r\n\r\n"));
    client.send("{}");
    REQUIRE(client.until_end());
    CHECK_THAT(client.got(), cqt::contains("HTTP/1.1 401 Unauthorized"));
    RawClient large(station.port());
    large.send(
        "POST /api/sign-out HTTP/1.1\r\nHost: localhost\r\nExpect: 100-continue\r\nContent-Length: 1001\r\n\r\n");
    REQUIRE(large.until_end());
    CHECK(large.got().find("HTTP/1.1 413") == 0);
}

TEST_CASE("HEAD is GET without the content") {
    ApiStation station;
    const auto get =
        send_raw(station.port(), "GET /api/health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    const auto head =
        send_raw(station.port(), "HEAD /api/health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    REQUIRE(get.find("\r\n\r\n") != std::string::npos);
    CHECK(head == get.substr(0, get.find("\r\n\r\n") + 4));
    CHECK_THAT(head, cqt::contains("Content-Length: "));
    // Of a stream as well, which then ends.
    const auto stream = send_raw(station.port(), "HEAD /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n");
    CHECK_THAT(stream, cqt::contains("text/event-stream"));
    CHECK(stream.ends_with("\r\n\r\n"));
}

TEST_CASE("HTTP/1.0, and a request under two names") {
    ApiStation station;
    const auto old = send_raw(station.port(), "GET /api/health HTTP/1.0\r\nHost: localhost\r\n\r\n");
    CHECK_THAT(old, cqt::contains("200 OK"));  // and it ends, or send_raw would wait
    CHECK_THAT(old, cqt::contains("Connection: close"));
    const auto two =
        send_raw(station.port(), "GET /api/health HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\n\r\n");
    CHECK_THAT(two, cqt::contains("HTTP/1.1 400"));
}

TEST_CASE("one address takes its share of the connections and no more") {
    HttpLimits limits;
    limits.connections = 10;
    limits.per_peer = 3;
    ApiStation station(limits);
    std::vector<std::unique_ptr<RawClient>> held;
    for (int i = 0; i < 3; ++i) {
        held.push_back(std::make_unique<RawClient>(station.port()));
        held.back()->send("GET /api/health HTTP/1.1\r\nHost: localhost\r\n\r\n");
        REQUIRE(held.back()->until("\"last_seq\""));
    }
    CHECK_THAT(send_raw(station.port(), ""), cqt::contains("http.too_many"));
    RawClient other(station.port(), "127.0.0.2");
    other.send("GET /api/health HTTP/1.1\r\nHost: localhost\r\n\r\n");
    CHECK(other.until("\"last_seq\""));
    // The place of one that goes is free again.
    held.pop_back();
    bool again = false;
    for (int i = 0; i < 1000 && !again; ++i) {
        RawClient next(station.port());
        next.send("GET /api/health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
        next.until_end();
        again = next.got().find("200 OK") != std::string::npos;
        if (!again) std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    CHECK(again);
}

TEST_CASE("other machines leave the bench's own screen its places") {
    HttpLimits limits;
    limits.connections = 64;
    limits.per_peer = 24;
    CHECK(has_room(limits, 39, 0, 39, false));
    CHECK_FALSE(has_room(limits, 40, 0, 40, false));  // two that took all they could, and a third
    CHECK(has_room(limits, 40, 0, 40, true));
    CHECK(has_room(limits, 63, 23, 40, true));
    CHECK_FALSE(has_room(limits, 64, 23, 40, true));
    CHECK_FALSE(has_room(limits, 24, 24, 0, true));
    CHECK_FALSE(has_room(limits, 24, 24, 24, false));
}

TEST_CASE("cookies are read as RFC 6265 section 4.2.1 writes them, and what cannot be one is none") {
    const auto cookies =
        parse_cookies("crimpgate=7f; a=1;b=2 ; c=\"x\"; crimpgate=other; =no; bare; d=x,y; e f=1; g==");
    CHECK(cookies.at("crimpgate") == "7f");  // the first: of the longer path, section 5.4
    CHECK(cookies.at("a") == "1");
    CHECK(cookies.at("b") == "2");
    CHECK(cookies.at("c") == "x");
    CHECK(cookies.at("g") == "=");
    CHECK(cookies.size() == 5);
    CHECK(parse_cookies("").empty());
    std::string many;
    for (int i = 0; i < 1000; ++i)
        many += "n" + std::to_string(i) + "=1; ";
    CHECK(parse_cookies(many).size() == 32);
}

TEST_CASE("a write that a foreign site caused is refused by what the browser says of it (W3C Fetch Metadata)") {
    ApiStation station;
    for (const char* site : {"cross-site", "same-site"})
        CHECK(ask(station, "POST", "/api/sign-out", "{}", {{"Sec-Fetch-Site", site}}).code() == "http.foreign_origin");
    for (const char* site : {"same-origin", "none"})
        CHECK(ask(station, "POST", "/api/sign-out", "{}", {{"Sec-Fetch-Site", site}}).code() == "api.sign_in");
    // To follow a link to the station is no harm.
    CHECK(ask(station, "GET", "/api/health", {}, {{"Sec-Fetch-Site", "cross-site"}}).status == 200);
}

// TLS as two clients that are not ours see it (the openssl program, and OpenSSL through Asio), with certificates made
// by the openssl program for each run.
#include "tests/support/catch.h"
#include "tests/support/temp_folder.h"

#include <sys/stat.h>

#include <algorithm>
#include <atomic>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/asio/write.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <thread>

#include "raw_client.h"
#include "station/http/server.h"
#include "station/http/tls_wire.h"

using namespace crimpgate;
using crimpgate::test::RawClient;
namespace asio = boost::asio;
namespace fs = std::filesystem;

namespace {

// What a command says, on either stream.
std::string said(const std::string& command) {
    std::string out;
    FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
    if (pipe == nullptr) return out;
    char piece[4096];
    for (std::size_t n = 0; (n = std::fread(piece, 1, sizeof piece, pipe)) > 0;)
        out.append(piece, n);
    ::pclose(pipe);
    return out;
}

struct Folder {
    std::string file(const std::string& name) const { return (root / name).string(); }
    // A certificate of the shop's own making, with its key.
    void make(const std::string& name, const std::string& more = "-nodes") const {
        const auto told = said(
            "openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 " + more + " -days 2 -subj /CN=bench-1" +
            " -addext subjectAltName=DNS:Bench-1.Shop.Example,DNS:localhost,IP:127.0.0.1,IP:::1 -keyout " +
            file(name + ".key") + " -out " + file(name + ".crt"));
        INFO(told);
        REQUIRE(fs::exists(file(name + ".crt")));
        ::chmod(file(name + ".key").c_str(), 0600);
    }
    const crimpgate::test::TempFolder root;
};

// A server whose answers tell what it was asked.
struct Place {
    explicit Place(HttpDoor door, HttpLimits limits = {})
        : server(
              io, limits, [this](const HttpRequest& request) { return answer(request); }, std::move(door)) {
        REQUIRE(server.start("127.0.0.1", 0).has_value());
        port = server.port();
        loop = std::thread([this] { io.run(); });
    }
    ~Place() {
        asio::post(io, [this] { server.stop(); });
        loop.join();
    }
    HttpAnswer answer(const HttpRequest& request) {
        if (request.path == "/api/events") {
            EventStream stream;
            stream.read = [](std::int64_t from, std::int64_t) -> Result<std::vector<StreamEvent>> {
                std::vector<StreamEvent> out;
                if (from <= 3) out.push_back({from, "entry", "{}"});
                return out;
            };
            return stream;
        }
        HttpResponse response;
        response.content_type = "text/plain";
        if (request.path == "/large") response.body.assign(3'000'000, 'z');
        if (request.path == "/told")
            response.body = std::string("secure ") + (request.secure ? "yes" : "no") + ", page " +
                            (request.from_page ? "yes" : "no") + ", cookie " + request.cookie("crimpgate") + ", body " +
                            std::to_string(request.body.size());
        response.headers.emplace_back("Set-Cookie", "a=1; Secure");
        response.headers.emplace_back("Set-Cookie", "b=2\r\nX-Smuggled: 1");
        return response;
    }

    asio::io_context io;
    HttpServer server;
    std::uint16_t port = 0;
    std::thread loop;
};

HttpDoor door_of(const Folder& folder, const std::string& name = "own") {
    folder.make(name);
    auto tls = TlsIdentity::load(folder.file(name + ".crt"), folder.file(name + ".key"));
    REQUIRE(tls.has_value());
    HttpDoor door;
    door.tls = std::make_shared<const TlsIdentity>(std::move(*tls));
    return door;
}

// A blocking TLS client that trusts this one certificate.
class TlsClient {
  public:
    TlsClient(std::uint16_t port, const std::string& trusted, const std::string& name = "localhost")
        : context_(asio::ssl::context::tls_client), stream_(io_, context_) {
        context_.load_verify_file(trusted);
        stream_.set_verify_mode(asio::ssl::verify_peer);
        stream_.set_verify_callback(asio::ssl::host_name_verification(name));
        stream_.next_layer().connect({asio::ip::address_v4::loopback(), port});
        stream_.handshake(asio::ssl::stream_base::client);
    }
    void send(const std::string& bytes) { asio::write(stream_, asio::buffer(bytes)); }
    // Until that text has come, or the end.
    std::string until(const std::string& text) {
        boost::system::error_code ec;
        char piece[16384];
        while (got_.find(text) == std::string::npos && !ec) {
            const auto n = stream_.read_some(asio::buffer(piece), ec);
            got_.append(piece, n);
        }
        ended_cleanly = ec == asio::error::eof;
        return std::exchange(got_, {});
    }
    std::string ask(const std::string& head, const std::string& body = {}) {
        send(head + "\r\nConnection: close\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body);
        return until("never said");
    }
    bool ended_cleanly = false;

  private:
    asio::io_context io_;
    asio::ssl::context context_;
    asio::ssl::stream<asio::ip::tcp::socket> stream_;
    std::string got_;
};

std::string openssl_client(std::uint16_t port, const std::string& options) {
    return said(
        "printf 'GET /told HTTP/1.1\\r\\nHost: localhost\\r\\nConnection: close\\r\\n\\r\\n' | timeout 60 openssl "
        "s_client -ign_eof -connect 127.0.0.1:" +
        std::to_string(port) + " " + options);
}

}  // namespace

TEST_CASE("requests and answers of any size go through TLS unharmed, one after the other") {
    const Folder folder;
    Place place(door_of(folder));
    TlsClient client(place.port, folder.file("own.crt"));
    const std::string body(1'000'000, 'b');
    client.send(
        "POST /told HTTP/1.1\r\nHost: localhost\r\nX-Crimpgate: page\r\nCookie: x=1; crimpgate=7f\r\nContent-Length: " +
        std::to_string(body.size()) + "\r\n\r\n" + body);
    const auto first = client.until("body 1000000");
    CHECK_THAT(first, cqt::contains("HTTP/1.1 200 OK"));
    CHECK_THAT(first, cqt::contains("secure yes, page yes, cookie 7f, body 1000000"));
    const auto second = client.ask("GET /large HTTP/1.1\r\nHost: localhost");
    const auto start = second.find("\r\n\r\n");
    REQUIRE(start != std::string::npos);
    CHECK(second.substr(start + 4) == std::string(3'000'000, 'z'));
    CHECK(client.ended_cleanly);  // nothing was cut off: the end was said, RFC 8446 section 6.1
}

TEST_CASE("through TLS a browser is told to come that way for ever, though not under the name of every local program") {
    const Folder folder;
    auto door = door_of(folder);
    Place place(door);
    const auto at = [&](const std::string& host) {
        TlsClient client(place.port, folder.file("own.crt"));
        return client.ask("GET /told HTTP/1.1\r\nHost: " + host);
    };
    CHECK_THAT(at("bench-1.shop.example"), cqt::contains("Strict-Transport-Security: max-age=31536000\r\n"));
    CHECK(at("localhost:8443").find("Strict-Transport") == std::string::npos);
    const auto answer = at("localhost");
    CHECK_THAT(answer, cqt::contains("Set-Cookie: a=1; Secure\r\nSet-Cookie: b=2X-Smuggled: 1\r\n"));
    CHECK(answer.find("\r\nX-Smuggled") == std::string::npos);
    HttpDoor plain;
    Place clear(plain);
    RawClient client(clear.port);
    client.send("GET /told HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    REQUIRE(client.until_end());
    CHECK_THAT(client.got(), cqt::contains("secure no, page no, cookie , body 0"));
    CHECK(client.got().find("Strict-Transport") == std::string::npos);
}

TEST_CASE("the station answers to the names in its certificate, and to an https page alone") {
    const Folder folder;
    auto door = door_of(folder);
    CHECK(door.tls->names() == std::vector<std::string>{"bench-1.shop.example", "localhost", "127.0.0.1", "[::1]"});
    door.names = {"bench-one"};
    Place place(door);
    const auto status = [&](const std::string& headers) {
        TlsClient client(place.port, folder.file("own.crt"));
        return client.ask("POST /told HTTP/1.1\r\n" + headers).substr(0, 12);
    };
    CHECK(status("Host: Bench-1.shop.example:8443") == "HTTP/1.1 200");
    CHECK(status("Host: bench-one") == "HTTP/1.1 200");
    CHECK(status("Host: bench-2.shop.example") == "HTTP/1.1 421");
    CHECK(status("Host: localhost\r\nOrigin: https://localhost") == "HTTP/1.1 200");
    CHECK(status("Host: localhost\r\nOrigin: http://localhost") == "HTTP/1.1 403");
}

TEST_CASE("TLS 1.2 and 1.3 are spoken, with a key of their own for each connection, and nothing older") {
    const Folder folder;
    Place place(door_of(folder));
    const std::string trust = "-CAfile " + folder.file("own.crt") + " -verify_return_error -verify_hostname localhost ";
    for (const char* version : {"-tls1_2", "-tls1_3"}) {
        INFO(version);
        const auto told = openssl_client(place.port, trust + version);
        CHECK_THAT(told, cqt::contains("secure yes"));
        CHECK_THAT(told, cqt::contains("Verify return code: 0 (ok)"));
    }
    // Without @SECLEVEL=0 this client would not even offer them.
    CHECK(openssl_client(place.port, "-tls1_1 -cipher ALL:@SECLEVEL=0").find("secure yes") == std::string::npos);
    CHECK(openssl_client(place.port, "-tls1 -cipher ALL:@SECLEVEL=0").find("secure yes") == std::string::npos);
    // RFC 9325 section 4.1: no suite without forward secrecy, none without authenticated encryption.
    for (const char* suite : {"AES128-GCM-SHA256", "ECDHE-ECDSA-AES128-SHA256", "ECDHE-ECDSA-AES256-SHA", "NULL"}) {
        INFO(suite);
        CHECK(openssl_client(place.port, std::string("-tls1_2 -cipher ") + suite + ":@SECLEVEL=0").find("secure yes") ==
              std::string::npos);
    }
    CHECK_THAT(openssl_client(place.port, "-tls1_2 -cipher ECDHE-ECDSA-AES128-GCM-SHA256"),
               cqt::contains("secure yes"));
}

TEST_CASE("who comes to a TLS port and does not speak it, or says nothing, is let go") {
    const Folder folder;
    HttpLimits limits;
    limits.head = std::chrono::milliseconds(300);
    limits.idle = std::chrono::minutes(10);
    Place place(door_of(folder), limits);
    RawClient plain(place.port), silent(place.port);
    plain.send("GET /told HTTP/1.1\r\nHost: localhost\r\n\r\n");
    CHECK(plain.until_end());
    CHECK(plain.got().find("200") == std::string::npos);
    CHECK(silent.until_end());
    TlsClient client(place.port, folder.file("own.crt"));
    CHECK_THAT(client.ask("GET /told HTTP/1.1\r\nHost: localhost"), cqt::contains("secure yes"));
}

TEST_CASE("entries stream through TLS, and the station stops while a page listens") {
    const Folder folder;
    auto place = std::make_unique<Place>(door_of(folder));
    TlsClient client(place->port, folder.file("own.crt"));
    client.send("GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n");
    CHECK_THAT(client.until("id: 3\nevent: entry\ndata: {}\n\n"), cqt::contains("id: 1\nevent: entry"));
    TlsClient idle(place->port, folder.file("own.crt"));
    place.reset();  // joins the loop's thread
    CHECK(client.until("never said").empty());
}

TEST_CASE("a certificate or key that cannot protect anything keeps the station from starting, and it says why") {
    const Folder folder;
    folder.make("own");
    folder.make("other");
    folder.make("locked", "-passout pass:verysecret");
    std::ofstream(folder.file("rubbish")) << "no PEM";
    ::chmod(folder.file("rubbish").c_str(), 0600);
    const auto code = [&](const std::string& certificate, const std::string& key) {
        const auto tls = TlsIdentity::load(folder.file(certificate), folder.file(key));
        return tls ? std::string() : tls.error().code + " " + fs::path(tls.error().detail("file")).filename().string();
    };
    CHECK(code("own.crt", "own.key").empty());
    CHECK(code("none.crt", "own.key") == "http.tls_unusable none.crt");
    CHECK(code("own.crt", "none.key") == "http.tls_unusable none.key");
    CHECK(code("rubbish", "own.key") == "http.tls_unusable rubbish");
    CHECK(code("own.crt", "rubbish") == "http.tls_unusable rubbish");
    CHECK(code("own.crt", "other.key") == "http.tls_unusable other.key");
    CHECK(code("locked.crt", "locked.key") == "http.tls_unusable locked.key");
    ::chmod(folder.file("own.key").c_str(), 0644);
    CHECK(code("own.crt", "own.key") == "http.tls_key_open own.key");
}

// The stream of entries: nothing lost, nothing twice, and no client holds the bench up.
#include "tests/support/catch.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <atomic>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <boost/json.hpp>
#include <thread>

#include "api_station.h"
#include "raw_client.h"

using namespace crimpgate;
using namespace crimpgate::test;
using std::chrono::milliseconds;

namespace {

constexpr milliseconds soon{60'000};  // reached by nothing that works

// For tests that count what arrives: on a machine that hangs for a while a beat would come between.
HttpLimits without_beats() {
    HttpLimits limits;
    limits.beat = std::chrono::minutes(60);
    return limits;
}

// Presses with nobody at the bench: each is kept as a refused reading.
void make_entries(ApiStation& station, int count) {
    for (int i = 0; i < count; ++i)
        station.press("25.00");
}

}  // namespace

TEST_CASE("R2: every entry arrives once and in order, over any number of interruptions") {
    ApiStation station(without_beats());
    station.set_up();
    make_entries(station, 40);
    std::vector<ApiEvent> got;
    std::string last_id;
    // Breaks off after a few, makes more meanwhile, comes back with the id of the last.
    for (const int take : {1, 7, 20, 3, 1000}) {
        auto reader = EventReader::open("127.0.0.1", station.port(),
                                        last_id.empty() ? "/api/events?from=1" : "/api/events", last_id);
        REQUIRE(reader.has_value());
        for (int i = 0; i < take; ++i) {
            if (!got.empty() && got.back().id == station.last_seq()) break;
            auto event = reader->next(soon);
            REQUIRE(event.has_value());
            REQUIRE(event->event != "beat");
            got.push_back(std::move(*event));
        }
        last_id = std::to_string(got.back().id);
        make_entries(station, 5);
    }
    // Live: what is committed while a client listens.
    {
        auto reader = EventReader::open("127.0.0.1", station.port(), "/api/events", last_id);
        REQUIRE(reader.has_value());
        while (got.back().id < station.last_seq()) {
            auto event = reader->next(soon);
            REQUIRE(event.has_value());
            got.push_back(std::move(*event));
        }
        make_entries(station, 3);
        for (int i = 0; i < 3; ++i) {
            auto event = reader->next(soon);
            REQUIRE(event.has_value());
            got.push_back(std::move(*event));
        }
    }
    const auto entries = station.entries();
    REQUIRE(got.size() == entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i) {
        CHECK(got[i].id == entries[i].seq);
        CHECK(got[i].event == entries[i].type);
        if (entries[i].type == "person.added") {
            CHECK(got[i].data.find("argon2") == std::string::npos);
            CHECK(boost::json::parse(got[i].data).at("withheld") == true);
        } else {
            CHECK(got[i].data == entries[i].bytes);
        }
    }
}

TEST_CASE("without a place a stream begins with what comes next; with a place of another journal it says so") {
    ApiStation station;
    station.set_up();
    auto fresh = EventReader::open("127.0.0.1", station.port(), "/api/events");
    auto strange = EventReader::open("127.0.0.1", station.port(), "/api/events", "999999");
    REQUIRE(fresh.has_value());
    REQUIRE(strange.has_value());
    const auto resync = strange->next(soon);
    REQUIRE(resync.has_value());
    CHECK(resync->event == "resync");
    // As an id of its own: a browser that comes back goes on from there and is not told again.
    CHECK(resync->id == station.last_seq());
    CHECK(boost::json::parse(resync->data).at("last_seq") == station.last_seq());
    make_entries(station, 1);
    for (auto* reader : {&*fresh, &*strange}) {
        const auto event = reader->next(soon);
        REQUIRE(event.has_value());
        CHECK(event->id == station.last_seq());
    }
    CHECK_FALSE(EventReader::open("127.0.0.1", station.port(), "/api/events", "yesterday").has_value());
    CHECK_FALSE(EventReader::open("127.0.0.1", station.port(), "/api/events?from=-1").has_value());
}

TEST_CASE("a quiet stream says by name that it still stands") {
    HttpLimits limits;
    limits.beat = milliseconds(50);
    ApiStation station(limits);
    auto reader = EventReader::open("127.0.0.1", station.port(), "/api/events");
    REQUIRE(reader.has_value());
    for (int i = 0; i < 2; ++i) {
        const auto beat = reader->next(soon);
        REQUIRE(beat.has_value());
        CHECK(beat->event == "beat");
        CHECK(beat->id == 0);
        CHECK(beat->data == "{\"last_seq\":0}");
    }
}

TEST_CASE("a client that does not read costs a place in the numbering and no memory, and loses its connection") {
    // Events of 10 kB without end: how far the server reads ahead is what it holds, with the socket's own buffers.
    constexpr std::int64_t all = 100'000;
    std::atomic<std::int64_t> read_to{0};
    boost::asio::io_context io;
    HttpLimits limits;
    limits.idle = milliseconds(1000);
    HttpServer server(io, limits, [&](const HttpRequest&) -> HttpAnswer {
        EventStream stream;
        stream.read = [&](std::int64_t from, std::int64_t limit) -> Result<std::vector<StreamEvent>> {
            std::vector<StreamEvent> out;
            for (std::int64_t id = from; id < from + limit && id <= all; ++id)
                out.push_back({id, "reading.taken", std::string(10'000, 'x')});
            read_to = from + limit;
            return out;
        };
        return stream;
    });
    REQUIRE(server.start("127.0.0.1", 0).has_value());
    std::thread loop([&] { io.run(); });

    const int fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(server.port());
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    REQUIRE(::connect(fd, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0);
    const std::string request = "GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n";
    REQUIRE(::send(fd, request.data(), request.size(), 0) == static_cast<ssize_t>(request.size()));

    std::size_t open = 1;
    const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    while (open > 0 && std::chrono::steady_clock::now() < until) {
        std::this_thread::sleep_for(milliseconds(50));
        std::atomic<bool> asked{false};
        boost::asio::post(io, [&] {
            open = server.connections();
            asked = true;
        });
        while (!asked)
            std::this_thread::yield();
        if (read_to == 0) open = 1;  // not even begun
    }
    CHECK(open == 0);
    CHECK(read_to > 0);
    CHECK(read_to < all / 10);
    ::close(fd);
    boost::asio::post(io, [&] { server.stop(); });
    loop.join();
}

TEST_CASE("while a client does not read, the station answers others, and the slow one misses nothing") {
    ApiStation station(without_beats());
    station.set_up();
    auto slow = EventReader::open("127.0.0.1", station.port(), "/api/events?from=1");
    REQUIRE(slow.has_value());
    make_entries(station, 500);
    auto client = station.client();
    for (int i = 0; i < 20; ++i)
        CHECK(client.get("/api/health")->status == 200);
    const auto last = station.last_seq();
    for (std::int64_t id = 1; id <= last; ++id) {
        const auto event = slow->next(soon);
        REQUIRE(event.has_value());
        REQUIRE(event->id == id);
    }
}

TEST_CASE("a page hears every entry under one name, and is told to read anew when it is more than 500 behind") {
    ApiStation station(without_beats());
    station.set_up();
    make_entries(station, 520);
    const auto last = station.last_seq();
    const auto first_of = [&](const std::string& target, const std::string& id = "") {
        auto reader = EventReader::open("127.0.0.1", station.port(), target, id);
        REQUIRE(reader.has_value());
        auto event = reader->next(soon);
        REQUIRE(event.has_value());
        return std::move(*event);
    };
    const auto near = first_of("/api/events?names=no&from=" + std::to_string(last - 499));
    CHECK(near.event == "entry");
    CHECK(near.id == last - 499);
    CHECK(boost::json::parse(near.data).at("type") == "reading.refused");
    CHECK(first_of("/api/events?names=no", std::to_string(last - 500)).event == "entry");
    for (const auto& far : {first_of("/api/events?names=no&from=" + std::to_string(last - 500)),
                            first_of("/api/events?names=no", std::to_string(last - 501)),
                            first_of("/api/events?names=no", std::to_string(last + 1))}) {
        CHECK(far.event == "resync");
        CHECK(far.id == last);
        CHECK(boost::json::parse(far.data).at("last_seq") == last);
    }
    // Who reads the record gets all of it, under the entries' own names.
    const auto all = first_of("/api/events?from=1");
    CHECK(all.id == 1);
    CHECK(all.event == station.entries().front().type);
    // After a resync the stream goes on with what comes next.
    auto page = EventReader::open("127.0.0.1", station.port(), "/api/events?names=no&from=1");
    REQUIRE(page.has_value());
    REQUIRE(page->next(soon)->event == "resync");
    make_entries(station, 1);
    const auto next = page->next(soon);
    REQUIRE(next.has_value());
    CHECK(next->event == "entry");
    CHECK(next->id == last + 1);
}

TEST_CASE(
    "a page that does not read while 2000 entries are written ends at the last, in order, with nothing kept for it") {
    ApiStation station(without_beats());
    station.set_up();
    RawClient page(station.port(), nullptr, 4096);
    page.send("GET /api/events?names=no HTTP/1.1\r\nHost: localhost\r\n\r\n");
    REQUIRE(page.until("\r\n\r\n"));
    const auto before = station.last_seq();
    make_entries(station, 2000);
    const auto last = station.last_seq();
    REQUIRE(page.until("id: " + std::to_string(last) + "\n"));
    // One after the other, but for the leaps that it was told of.
    std::int64_t at = before, leaps = 0;
    const std::string& text = page.got();
    for (auto place = text.find("id: "); place != std::string::npos; place = text.find("\nid: ", place)) {
        if (text[place] == '\n') ++place;
        const auto end = text.find('\n', place);
        std::int64_t id = 0;
        for (const char digit : text.substr(place + 4, end - place - 4))
            id = id * 10 + (digit - '0');
        if (text.compare(end, 14, "\nevent: resync") == 0) {
            CHECK(id > at);
            ++leaps;
        } else {
            REQUIRE(id == at + 1);
        }
        at = id;
        place = end - 1;
    }
    CHECK(at == last);
    INFO(leaps);
    CHECK(leaps <= 4);
}

// Gauges behind a serial-over-Ethernet converter: the same profiles, over TCP.
#include <arpa/inet.h>
#include <sys/socket.h>

#include <boost/asio/ip/tcp.hpp>

#include "drivers/owned_fd.h"
#include "tests/drivers/line_bench.h"

using namespace crimpgate;
using namespace std::chrono_literals;
namespace asio = boost::asio;
using asio::ip::tcp;

namespace {

using Told = std::vector<std::string>;

// The converter: accepts one connection at a time, by plain blocking calls on a socket that never blocks for long.
class Converter {
  public:
    explicit Converter(std::uint16_t port = 0) : acceptor_(io_, tcp::endpoint(asio::ip::address_v4::loopback(), port)) {
        acceptor_.non_blocking(true);
    }
    std::uint16_t port() const { return acceptor_.local_endpoint().port(); }
    std::string address() const { return "tcp://127.0.0.1:" + std::to_string(port()); }
    bool accept() {
        boost::system::error_code ec;
        tcp::socket next(io_);
        acceptor_.accept(next, ec);
        if (ec) return false;
        peer_ = std::move(next);
        return true;
    }
    void send(std::string_view bytes) { peer_.send(asio::buffer(bytes)); }
    void hang_up() { peer_.close(); }

  private:
    asio::io_context io_;
    tcp::acceptor acceptor_;
    tcp::socket peer_{io_};
};

}  // namespace

TEST_CASE("A press arrives through a converter, and again after it was switched off and on") {
    auto converter = std::make_unique<Converter>();
    const std::uint16_t port = converter->port();
    LineBench bench(converter->address());
    bench.start();
    REQUIRE(bench.until([&] { return converter->accept(); }));
    REQUIRE(bench.until_connected());
    converter->send("+025.48mm\r\n");
    REQUIRE(bench.until([&] { return bench.told.back() == "reading"; }));

    converter.reset();
    REQUIRE(bench.until_lost());
    CHECK(bench.states.back().why.code == "line.closed");
    REQUIRE(bench.until([&] { return bench.line->state().why.code == "line.unreachable"; }));
    bench.run(100ms);

    converter = std::make_unique<Converter>(port);
    REQUIRE(bench.until([&] { return converter->accept(); }));
    REQUIRE(bench.until_connected());
    converter->send("+025.49mm\r\n");
    REQUIRE(bench.until([&] { return bench.readings.size() == 2; }));
    CHECK(bench.told == Told{"connected", "reading", "lost", "connected", "reading"});
}

TEST_CASE("A converter that hangs up at once is not called again and again") {
    Converter converter;
    LineBench bench(converter.address());
    bench.settings.longest_pause = 60s;  // a connection that lasts longer than this counts as of use
    bench.start();
    const std::int64_t before_ns = bench.clock.mono_ns();
    REQUIRE(bench.until([&] {
        if (converter.accept()) converter.hang_up();
        return bench.line->counters().reads == 6;
    }));
    // Pauses of 20, 40, 80, 160 and 320 ms: a connection that was of no use does not start them over.
    CHECK(bench.clock.mono_ns() - before_ns >= 620'000'000);
    CHECK(bench.line->counters().connections == 6);
}

TEST_CASE("A converter that does not answer is given up in time and told once") {
    // A listener whose queue is full lets further callers wait without an answer, as a switched-off converter does.
    asio::io_context io;
    tcp::acceptor full(io, tcp::endpoint(asio::ip::address_v4::loopback(), 0));
    REQUIRE(listen(full.native_handle(), 0) == 0);
    std::vector<OwnedFd> callers;
    for (int i = 0; i < 4; ++i) {
        callers.emplace_back(socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
        const auto at = full.local_endpoint();
        static_cast<void>(connect(callers.back().get(), at.data(), static_cast<socklen_t>(at.size())));  // in progress
    }
    LineBench bench("tcp://127.0.0.1:" + std::to_string(full.local_endpoint().port()));
    bench.settings.connect_timeout = 100ms;
    bench.start();
    REQUIRE(bench.until([&] { return bench.line->counters().opens >= 3; }));
    REQUIRE(bench.states.size() == 1);
    CHECK(bench.states[0].why.code == "line.unreachable");
    CHECK(bench.states[0].why.detail("reason") == "no answer");
    CHECK(bench.told == Told{"lost"});
}

TEST_CASE("A line that is stopped while it calls a converter tells nothing") {
    Converter converter;
    LineBench bench(converter.address());
    bench.start();
    REQUIRE(bench.io.run_one() == 1);  // the attempt begins; what becomes of it is not looked at
    REQUIRE(bench.line->counters().opens == 1);
    bench.line->stop();
    bench.run(100ms);
    CHECK(bench.told.empty());
}

TEST_CASE("A gauge's place is a port or a converter, and anything else is refused") {
    const auto port = GaugeAddress::parse("/dev/serial/by-id/usb-Acme_Converter_A1-if00-port0");
    REQUIRE(port);
    CHECK(port->path == "/dev/serial/by-id/usb-Acme_Converter_A1-if00-port0");
    const auto named = GaugeAddress::parse("tcp://bench-3.shop.example:4001");
    REQUIRE(named);
    CHECK(named->host == "bench-3.shop.example");
    CHECK(named->port == 4001);
    const auto v6 = GaugeAddress::parse("tcp://[::1]:4001");
    REQUIRE(v6);
    CHECK(v6->host == "::1");
    for (const auto& address : {*port, *named, *v6})
        CHECK(GaugeAddress::parse(address.text()).value() == address);

    for (const std::string bad :
         {"", "/", "COM3", "dev/ttyUSB0", "tcp://", "tcp://host", "tcp://host:", "tcp://:4001", "tcp://host:0",
          "tcp://host:65536", "tcp://host:40a1", "tcp://host:-1", "tcp://::1:4001", "tcp://[]:4001", "tcp://a/b:1",
          "tcp://host:4001/", "udp://host:4001", "/dev/tty USB0", "/dev/ttyUSB0\n"}) {
        INFO(bad);
        const auto refused = GaugeAddress::parse(bad);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "line.bad_address");
        CHECK(refused.error().detail("found") == bad);
    }
}

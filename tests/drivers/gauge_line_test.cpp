#include "drivers/gauge_line.h"

#include <poll.h>
#include <sys/file.h>

#include <array>
#include <ctime>
#include <filesystem>
#include <optional>
#include <thread>

#include <fcntl.h>

#include "drivers/encoder.h"
#include "drivers/pty.h"
#include "tests/drivers/line_bench.h"

using namespace crimpgate;
using namespace std::chrono_literals;

namespace {

using Told = std::vector<std::string>;

// A gauge at the end of a cable that can be pulled.
class Gauge {
  public:
    Gauge() { plug(); }
    void plug() {
        auto pty = Pty::open(path());
        REQUIRE(pty);
        pty_.emplace(std::move(*pty));
    }
    void unplug() { pty_.reset(); }
    static std::string path() {
        return (std::filesystem::temp_directory_path() / ("crimpgate-line-" + std::to_string(getpid()))).string();
    }
    Pty& pty() { return *pty_; }
    bool send(std::string_view bytes) { return pty_->write(bytes); }
    // The kernel hands what was sent to the far side in its own time, on a busy machine late.
    void wait_until_it_lies_there(int bytes) {
        const auto end = std::chrono::steady_clock::now() + 60s;
        while (pty_->waiting() < bytes && std::chrono::steady_clock::now() < end)
            std::this_thread::sleep_for(1ms);
        REQUIRE(pty_->waiting() == bytes);
    }

  private:
    std::optional<Pty> pty_;
};

double processor_seconds() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

}  // namespace

TEST_CASE("A press arrives as a reading with its bytes and its time") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    const Arrival before = bench.clock.now();
    bench.start();
    REQUIRE(bench.until_connected());
    REQUIRE(gauge.send("+025.48mm\r\n"));
    REQUIRE(bench.until([&] { return !bench.told.empty() && bench.told.back() == "reading"; }));
    const Arrival after = bench.clock.now();
    REQUIRE(bench.readings.size() == 1);
    const Reading& reading = bench.readings[0];
    CHECK(reading.value == 25480_um);
    CHECK(reading.unit == LengthUnit::mm);
    CHECK(reading.raw == "+025.48mm\r\n");
    CHECK(before.utc_ms <= reading.arrival.utc_ms);
    CHECK(reading.arrival.utc_ms <= after.utc_ms);
    CHECK(before.mono_ns < reading.arrival.mono_ns);
    CHECK(reading.arrival.mono_ns <= after.mono_ns);
    CHECK(bench.told == Told{"connected", "reading"});
    CHECK(bench.states[0].why.code == "line.connected");
    CHECK(bench.states[0].why.detail("address") == Gauge::path());
    CHECK(bench.states[0].notes.size() == 4);  // 7 data bits, parity, DTR, RTS: a pseudo-terminal has none of them
}

TEST_CASE("R10: an unplugged gauge is told once, and once when it is back, and then measures again") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    for (int round = 0; round < 3; ++round) {
        REQUIRE(bench.until_connected());
        REQUIRE(gauge.send("+025.4" + std::to_string(round) + "mm\r\n"));
        REQUIRE(bench.until([&] { return bench.told.back() == "reading"; }));
        gauge.unplug();
        REQUIRE(bench.until_lost());
        CHECK(bench.states.back().why.code == "line.closed");
        bench.run(150ms);  // several attempts go by, and none is told
        gauge.plug();
    }
    REQUIRE(bench.until_connected());
    CHECK(bench.told == Told{"connected", "reading", "lost", "connected", "reading", "lost", "connected", "reading",
                             "lost", "connected"});
    CHECK(bench.line->counters().connections == 4);
}

TEST_CASE("R10: a gauge that is not there at the start is told once and found by itself") {
    Gauge gauge;
    gauge.unplug();
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_lost());
    CHECK(bench.states[0].why.code == "port.missing");
    bench.run(100ms);
    gauge.plug();
    REQUIRE(bench.until_connected());
    CHECK(bench.told == Told{"lost", "connected"});
}

TEST_CASE("A gauge that stays away costs neither attempts nor processor time") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    gauge.unplug();
    REQUIRE(bench.until_lost());
    const double processor = processor_seconds();
    for (int i = 0; i < 600 && bench.line->counters().opens < 7; ++i)
        bench.run(100ms);
    // Six more attempts took pauses of 20, 40, 80, 160, 320 and 500 ms at least, and the hung-up port was never read
    // again.
    REQUIRE(bench.line->counters().opens >= 7);
    CHECK(bench.clock.mono_ns() - bench.states.back().at.mono_ns >= 1'120'000'000);
    CHECK(bench.line->counters().reads == 1);
    CHECK(processor_seconds() - processor < 0.4);  // a spin would use all of the time
    CHECK(bench.told == Told{"connected", "lost"});
}

TEST_CASE("A gauge that lies still uses next to no processor time") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    const double processor = processor_seconds();
    bench.run(600ms);
    CHECK(processor_seconds() - processor < 0.2);
    CHECK(bench.line->counters().reads == 0);
}

TEST_CASE("R8: a port in use by another program is refused by name, and taken once it is free") {
    Gauge gauge;
    OwnedFd other(open(gauge.pty().device().c_str(), O_RDWR | O_NOCTTY));
    REQUIRE(flock(other.get(), LOCK_EX | LOCK_NB) == 0);
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_lost());
    CHECK(bench.states[0].why.code == "port.in_use");
    CHECK(bench.states[0].why.detail("pid") == std::to_string(getpid()));
    other.close();
    REQUIRE(bench.until_connected());
    CHECK(bench.told == Told{"lost", "connected"});
}

TEST_CASE("While a gauge is away, the reason of the latest attempt can be asked for") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    gauge.unplug();
    REQUIRE(bench.until_lost());
    REQUIRE(bench.until([&] { return bench.line->state().why.code == "port.missing"; }));
    REQUIRE(bench.states.size() == 2);
    CHECK(bench.states[1].why.code == "line.closed");  // what was told is how it was lost
}

TEST_CASE("R8: a press from before the line was opened is no reading") {
    Gauge gauge;
    REQUIRE(gauge.send("+011.11mm\r\n"));
    gauge.wait_until_it_lies_there(11);
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    bench.run(50ms);
    REQUIRE(gauge.send("+025.48mm\r\n"));
    REQUIRE(bench.until([&] { return bench.told.back() == "reading"; }));
    CHECK(bench.told == Told{"connected", "reading"});
    CHECK(bench.readings[0].value == 25480_um);
}

TEST_CASE("A frame that comes in pieces is one reading") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    bench.clock.hold();  // or a slow machine would make a silence between two of them
    std::uint64_t sent = 0;
    for (const char byte : std::string_view("+025.48mm\r\n")) {
        REQUIRE(gauge.send({&byte, 1}));
        ++sent;
        REQUIRE(bench.until([&] { return bench.line->decoder_counters().bytes_in == sent; }));
    }
    CHECK(bench.told == Told{"connected", "reading"});
    CHECK(bench.line->counters().reads == sent);
}

TEST_CASE("R8: half a frame and then silence is refused by itself") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    REQUIRE(gauge.send("+025.4"));
    REQUIRE(bench.until([&] { return bench.told.back() == "driver.half_frame"; }));
    CHECK(bench.refusals[0].raw == "+025.4");
    REQUIRE(gauge.send("+025.48mm\r\n"));
    REQUIRE(bench.until([&] { return bench.told.back() == "reading"; }));
    CHECK(bench.told == Told{"connected", "driver.half_frame", "reading"});
}

TEST_CASE("R8: half a frame that the unplugging cut off is refused before the loss is told") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    REQUIRE(gauge.send("+025.4"));
    REQUIRE(bench.until([&] { return bench.line->decoder_counters().pending == 6; }));
    gauge.unplug();
    REQUIRE(bench.until_lost());
    CHECK(bench.told == Told{"connected", "driver.half_frame", "lost"});
}

TEST_CASE("A flood of noise is counted to the last byte and never piles up") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    std::uint32_t random = 1;
    std::uint64_t sent = 0;
    for (int block = 0; block < 40; ++block) {
        std::string noise(2000, '\0');
        for (char& byte : noise)
            byte = static_cast<char>((random = random * 1664525 + 1013904223) >> 24);
        REQUIRE(gauge.send(noise));
        sent += noise.size();
        // A pseudo-terminal holds some kilobytes; on a slow machine a faster sender would find it full.
        REQUIRE(bench.until([&] { return bench.line->decoder_counters().bytes_in == sent; }));
    }
    const DecoderCounters& seen = bench.line->decoder_counters();
    CHECK(seen.pending <= bench.settings.profile.longest_frame());
    CHECK(seen.bytes_in == seen.frame_bytes + seen.noise_bytes + seen.pending);
    CHECK(bench.readings.empty());
    CHECK(bench.line->connected());
}

TEST_CASE("A gauge that answers is asked, and answers") {
    Gauge gauge;
    LineBench bench(Gauge::path(), profile_on_disk("request_answer"));
    bench.start();
    CHECK_FALSE(bench.line->ask());  // not connected yet
    REQUIRE(bench.until_connected());
    REQUIRE(bench.line->ask());
    std::string asked;
    REQUIRE(bench.until([&] {
        std::array<char, 16> buffer{};
        const ssize_t n = read(gauge.pty().master(), buffer.data(), buffer.size());
        if (n > 0) asked.append(buffer.data(), static_cast<std::size_t>(n));
        return !asked.empty();
    }));
    CHECK(asked == "R\r");
    REQUIRE(gauge.send("D: +  25.480 mmN\r"));
    REQUIRE(bench.until([&] { return bench.told.back() == "reading"; }));
    CHECK(bench.readings[0].value == 25480_um);
    CHECK(bench.line->counters().requests == 1);
}

TEST_CASE("A gauge that sends of itself is never asked") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    CHECK_FALSE(bench.line->ask());
    CHECK(bench.line->counters().requests == 0);
}

TEST_CASE("A gauge that is asked at an interval is asked again and again, until the line stops") {
    Gauge gauge;
    Profile profile = profile_on_disk("request_answer");
    Polled polled = std::get<Polled>(profile.trigger);
    polled.interval_ms = 20;
    polled.stillness = Stillness{100, Length::from_um(10), Length::from_um(500), Length()};
    profile.trigger = polled;
    LineBench bench(Gauge::path(), profile);
    bench.start();
    REQUIRE(bench.until([&] { return bench.line->counters().requests >= 5; }));
    bench.line->stop();
    const auto sent = bench.line->counters().requests;
    bench.run(100ms);
    CHECK(bench.line->counters().requests == sent);
}

TEST_CASE("A stopped line tells nothing more, lets the port go, and can be started again") {
    Gauge gauge;
    LineBench bench(Gauge::path());
    bench.start();
    REQUIRE(bench.until_connected());
    bench.line->stop();
    CHECK_FALSE(gauge.pty().in_use());
    REQUIRE(gauge.send("+011.11mm\r\n"));
    gauge.wait_until_it_lies_there(11);
    bench.run(100ms);
    CHECK(bench.told == Told{"connected"});
    bench.line->start();
    REQUIRE(bench.until_connected());
    REQUIRE(gauge.send("+025.48mm\r\n"));
    REQUIRE(bench.until([&] { return bench.told.back() == "reading"; }));
    CHECK(bench.told == Told{"connected", "connected", "reading"});
}

TEST_CASE("A line may be stopped, or taken away, by the one it has just told something") {
    Gauge gauge;
    SECTION("stopped by a reading: the second one of the same bytes is not told") {
        LineBench bench(Gauge::path());
        bench.on_event = [&] { bench.line->stop(); };
        bench.start();
        REQUIRE(bench.until_connected());
        REQUIRE(gauge.send("+025.48mm\r\n+025.49mm\r\n"));
        REQUIRE(bench.until([&] { return !bench.readings.empty(); }));
        bench.run(50ms);
        CHECK(bench.told == Told{"connected", "reading"});
    }
    SECTION("taken away by its loss") {
        LineBench bench(Gauge::path());
        bench.on_state = [&] {
            if (bench.states.size() == 2) bench.line.reset();
        };
        bench.start();
        REQUIRE(bench.until_connected());
        gauge.unplug();
        REQUIRE(bench.until([&] { return bench.line == nullptr; }));
        bench.run(50ms);
        CHECK(bench.told == Told{"connected", "lost"});
    }
    SECTION("taken away before it was ever opened") {
        LineBench bench(Gauge::path());
        bench.start();
        bench.line.reset();
        bench.run(50ms);
        CHECK(bench.told.empty());
    }
}

// crimpgate-recorder: what a gauge sends, shown as it comes and written so that it can be pasted into a profile.
#include <poll.h>
#include <signal.h>
#include <time.h>

#include <array>
#include <atomic>
#include <cstdio>
#include <fstream>
#include <optional>
#include <string>

#include "drivers/clock.h"
#include "drivers/decoder.h"
#include "drivers/frame_parser.h"
#include "drivers/port_finder.h"
#include "drivers/profile_file.h"
#include "drivers/serial_port.h"
#include "station/words/catalogue.h"
#include "tools/recorder/recording.h"
#include "tools/shared/arguments.h"

using namespace crimpgate;

namespace {

constexpr const char* help = R"(NAME
    crimpgate-recorder - shows and records what a gauge sends

SYNOPSIS
    crimpgate-recorder --port PATH (--profile FILE | --baud N) [--out FILE] [--who TEXT] [--seconds N]
    crimpgate-recorder --list

DESCRIPTION
    Opens the port for itself alone, shows every piece that arrives, and with a profile what the profile makes of it:
    readings, and refusals with their reasons. Press on known sizes. Interrupt with Ctrl-C: a [[recording]] block is
    written that can be pasted into a profile file (drivers/PROFILES.md).

OPTIONS
    --list           the serial ports of this computer, each by the name that survives replugging
    --port PATH      the gauge's port, such as /dev/serial/by-id/NAME
    --profile FILE   the profile to try; its line settings are used. A gauge that is asked is asked every second
    --baud N         no profile yet: this speed with 8N1, no flow control, DTR and RTS on
    --out FILE       where to write the block; a file that exists is never overwritten. Without it: on the screen
    --who TEXT       who records from which gauge, for the block's source line
    --seconds N      end by itself after that time
    --help           this text

EXIT STATUS
    0 recorded; 1 nothing came, or the port was lost; 2 wrong arguments, profile or port
)";

std::atomic<bool> interrupted{false};

int list_ports() {
    const auto ports = find_ports();
    if (ports.empty()) {
        std::puts("There is no serial port with a stable name. Plug the gauge or its adapter in and look again.");
        return 1;
    }
    for (const auto& port : ports)
        std::printf("%s\n    now %s. %s\n", port.key.c_str(), port.device.c_str(), say(port.advice).c_str());
    return 0;
}

std::string utc_now(const Clock& clock) {
    const time_t seconds = clock.utc_ms() / 1000;
    tm parts{};
    gmtime_r(&seconds, &parts);
    std::array<char, 32> text{};
    strftime(text.data(), text.size(), "%Y-%m-%d %H:%M", &parts);
    return text.data();
}

void show(const std::vector<GaugeEvent>& events, const Profile& profile) {
    for (const auto& event : events) {
        if (const auto* reading = std::get_if<Reading>(&event)) {
            const bool mm = reading->unit == LengthUnit::mm;
            const int places = profile.form(reading->unit)->places;
            const std::string value = mm ? reading->value.to_mm_text(places) : reading->value.to_inch_text(places);
            std::printf("    reading %s %s\n", value.c_str(), mm ? "mm" : "in");
        } else {
            const Refusal& refusal = std::get<Refusal>(event);
            std::printf("    refused: %s\n", say(refusal.why).c_str());
        }
    }
}

// Until the time is over, Ctrl-C, or the port is gone; true unless it is gone.
bool record(int fd, RecordedBytes& recorded, std::optional<Decoder>& decoder, std::int64_t seconds) {
    const SystemClock clock;
    const std::int64_t start = clock.mono_ns();
    std::int64_t next_request = start;
    while (!interrupted && (seconds == 0 || clock.mono_ns() - start < seconds * 1'000'000'000)) {
        const Arrival now = clock.now();
        if (decoder) {
            show(decoder->tick(now), decoder->profile());
            if (const auto request = decoder->request(); request && now.mono_ns >= next_request) {
                next_request = now.mono_ns + 1'000'000'000;
                if (write(fd, request->data(), request->size()) < 0) return false;
            }
        }
        std::fflush(stdout);
        pollfd p{fd, POLLIN, 0};
        if (poll(&p, 1, 50) <= 0) continue;
        std::array<char, 512> buffer{};
        const ssize_t n = read(fd, buffer.data(), buffer.size());
        if (n <= 0) return false;  // ready, and yet nothing: hung up
        const std::string_view bytes(buffer.data(), static_cast<std::size_t>(n));
        const Arrival at = clock.now();
        recorded.add(bytes, at);
        std::printf("%s\n", readable_bytes(bytes).c_str());
        if (decoder) show(decoder->feed(bytes, at), decoder->profile());
    }
    return true;
}

void summary(const Decoder& decoder) {
    const DecoderCounters& c = decoder.counters();
    std::printf("\n%llu bytes: %llu frames, %llu readings, %llu refused, %llu bytes in no frame\n",
                static_cast<unsigned long long>(c.bytes_in), static_cast<unsigned long long>(c.frames),
                static_cast<unsigned long long>(c.readings), static_cast<unsigned long long>(c.refusals),
                static_cast<unsigned long long>(c.noise_bytes));
    if (c.bytes_in > 0 && c.noise_bytes * 2 > c.bytes_in)
        std::printf("Most of it is noise: check the baud rate, the data bits and the parity first.\n");
}

int wrong(const std::string& what) {
    std::fprintf(stderr, "crimpgate-recorder: %s\n", what.c_str());
    return 2;
}

}  // namespace

int main(int argc, char* argv[]) {
    const auto given = Arguments::parse(argc, argv, {"--port", "--profile", "--baud", "--out", "--who", "--seconds"},
                                        {"--help", "--list"});
    if (!given) return wrong(say(given.error()));
    if (given->has("--help")) {
        std::fputs(help, stdout);
        return 0;
    }
    if (given->has("--list")) return list_ports();
    if (!given->has("--port") || given->has("--profile") == given->has("--baud"))
        return wrong("give --port and one of --profile and --baud; --help tells more");
    LineSettings line;
    std::optional<Decoder> decoder;
    if (given->has("--profile")) {
        auto profile = load_profile(given->value("--profile"));
        if (!profile) return wrong(say(profile.error()));
        line = profile->line;
        decoder.emplace(std::move(*profile));
    } else {
        const auto baud = given->number("--baud", 50, 4'000'000);
        if (!baud) return wrong(say(baud.error()));
        line.baud = *baud;
    }
    int seconds = 0;
    if (given->has("--seconds")) {
        const auto number = given->number("--seconds", 1, 86'400);
        if (!number) return wrong(say(number.error()));
        seconds = *number;
    }
    const std::string out = given->value("--out");
    if (!out.empty() && std::ifstream(out)) return wrong(out + " exists already; a recording never overwrites a file");

    auto port = open_serial_port(given->value("--port"), line);
    if (!port) return wrong(say(port.error()));
    for (const Message& note : port->notes)
        std::printf("%s\n", say(note).c_str());
    std::printf("Listening on %s at %s. Press on known sizes; end with Ctrl-C.\n", given->value("--port").c_str(),
                describe(line).c_str());

    struct sigaction on_stop {};
    on_stop.sa_handler = [](int) { interrupted = true; };
    sigaction(SIGINT, &on_stop, nullptr);
    sigaction(SIGTERM, &on_stop, nullptr);

    RecordedBytes recorded;
    const std::string begun = utc_now(SystemClock{});
    const bool still_there = record(port->fd.get(), recorded, decoder, seconds);
    give_up_serial_port(port->fd.get());
    if (!still_there) std::printf("The port was lost: unplugged, or switched off.\n");
    if (decoder) summary(*decoder);
    if (recorded.empty()) {
        std::printf("Nothing came. Check the cable, the gauge's output mode and the baud rate.\n");
        return 1;
    }
    const std::string block = recording_block(recorded, {given->value("--who"), begun, describe(line)},
                                              decoder ? &decoder->profile() : nullptr);
    if (out.empty()) {
        std::printf("\n%s", block.c_str());
    } else {
        std::ofstream file(out, std::ios::binary);
        file << block;
        if (!file.flush()) return wrong(out + " could not be written");
        std::printf("Written to %s\n", out.c_str());
    }
    return still_there ? 0 : 1;
}

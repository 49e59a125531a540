// One gauge's connection, kept up for as long as the station runs: a serial port, or a serial-over-Ethernet converter.
//
// Any error and any end of file closes the line; it is opened anew by its stable name after pauses that grow up to a
// limit, so an unplugged gauge costs nothing and a replugged one is back by itself. A read that brings nothing is an
// error too: a hung-up port answers "end of file" at once and for ever, and a loop that asks again would burn the
// processor. Runs on the io_context's one thread and calls back from there; nothing is called after stop() has
// returned. Buffers are bounded by a read's size and the decoder's own limits.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/clock.h"
#include "drivers/decoder.h"
#include "drivers/profile.h"
#include "drivers/reading.h"

namespace boost::asio {
class io_context;
}

namespace crimpgate {

// Where a gauge is: a port's absolute path, or host and port of a converter.
struct GaugeAddress {
    std::string path;  // empty for a converter
    std::string host;
    std::uint16_t port = 0;
    bool operator==(const GaugeAddress&) const = default;

    // "/dev/serial/by-id/..." or "tcp://host:port" ("tcp://[::1]:4001" for IPv6); else line.bad_address.
    static Result<GaugeAddress> parse(std::string_view text);
    std::string text() const;
};

struct LineState {
    enum class Kind { connected, lost };
    Kind kind = Kind::lost;
    Message why;                 // line.connected, line.closed, line.failed, line.unreachable, or a port.* code
    std::vector<Message> notes;  // what a pseudo-terminal does not know (serial_port.h)
    Arrival at;
    bool operator==(const LineState&) const = default;
};

struct LineCounters {
    std::uint64_t opens = 0;        // tried
    std::uint64_t connections = 0;  // came about
    std::uint64_t reads = 0;
    std::uint64_t requests = 0;  // sent
    Arrival last_bytes;          // zero when none came yet
    bool operator==(const LineCounters&) const = default;
};

struct GaugeLineSettings {
    GaugeAddress address;
    Profile profile;
    std::chrono::milliseconds first_pause{50};
    std::chrono::milliseconds longest_pause{2000};
    std::chrono::milliseconds connect_timeout{3000};  // a converter that does not answer
};

class GaugeLine {
  public:
    using OnEvent = std::function<void(const GaugeEvent&)>;
    // Once when the line goes, once when it is back. The first tells how the first attempt ended. Half a frame that the
    // loss cut off is told by OnEvent before it.
    using OnState = std::function<void(const LineState&)>;
    // The bytes of each read before they are decoded, and now and then none: time went by.
    using OnBytes = std::function<void(std::string_view bytes, Arrival at)>;

    // `io` and `clock` outlive the line.
    GaugeLine(boost::asio::io_context& io, GaugeLineSettings settings, const Clock& clock, OnEvent on_event,
              OnState on_state);
    ~GaugeLine();
    GaugeLine(const GaugeLine&) = delete;
    GaugeLine& operator=(const GaugeLine&) = delete;

    // Returns at once; the first attempt is made by the io_context.
    void start();
    // Closes the line; start() may follow. May be called from a callback, and so may the destructor.
    void stop();
    // Sends the profile's request for one reading; false when not connected or when the gauge is none that is asked.
    bool ask();
    // Somebody listens along; null: nobody. May not stop the line.
    void tap(OnBytes listener);

    bool connected() const;
    // Why the line is as it is now; while it is lost, why the latest attempt failed.
    const LineState& state() const;
    const LineCounters& counters() const;
    const DecoderCounters& decoder_counters() const;

  private:
    class Impl;
    std::shared_ptr<Impl> impl_;
};

}  // namespace crimpgate

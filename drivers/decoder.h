// Bytes as they arrive to readings and refusals, for one gauge (R8). Pure: the clock comes in with the bytes.
//
// Whatever is in doubt is refused by name, with its raw bytes:
//   driver.malformed         the bytes do not fit the gauge's pattern
//   driver.checksum          the checksum does not fit the bytes
//   driver.unit_unexpected   the other unit was sent
//   driver.sign_impossible   a minus where none can be
//   driver.digits_missing    blanks or dashes where digits belong
//   driver.mark_unexpected   a comma where this gauge writes a point, or the reverse
//   driver.places_unexpected the mark stands elsewhere than this gauge's resolution puts it
//   driver.off_resolution    no multiple of the gauge's step
//   driver.low_battery, driver.over_range, driver.hold
//   driver.repeat            the same frame again within the least gap between presses
//   driver.half_frame        a frame that was cut off: silence, or the line was lost
//   driver.noise             a run of bytes that belong to no frame; one refusal a run (at most 256 bytes of it)
// A gauge that streams says the same thing many times a second: a refusal equal in code to the one before it is
// counted but not reported again until another kind of frame has come.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/profile.h"
#include "drivers/reading.h"

namespace crimpgate {

// bytes_in == frame_bytes + noise_bytes + pending, always.
struct DecoderCounters {
    std::uint64_t bytes_in = 0;
    std::uint64_t frames = 0;       // cut by the framer, good or refused
    std::uint64_t frame_bytes = 0;  // in those frames
    std::uint64_t noise_bytes = 0;  // in no frame: noise and half frames
    std::uint64_t pending = 0;      // waiting for the rest of a frame
    std::uint64_t readings = 0;     // handed out
    std::uint64_t refusals = 0;     // frames and runs refused, reported or not
    std::uint64_t unsettled = 0;    // sound frames of a stream that did not count: still moving, or not re-armed
    bool operator==(const DecoderCounters&) const = default;
};

class Decoder {
  public:
    explicit Decoder(Profile profile);

    // What the bytes gave, in order. Arrivals must not go back in mono_ns.
    std::vector<GaugeEvent> feed(std::string_view bytes, Arrival at);
    // Call now and then (four times a second is plenty) so that half frames and noise are told without new bytes.
    std::vector<GaugeEvent> tick(Arrival now);
    // The line was lost, or opened anew: pending bytes are refused as half a frame; a stream's stillness starts over.
    std::vector<GaugeEvent> reset(Arrival now);

    const DecoderCounters& counters() const { return counters_; }
    const Profile& profile() const { return profile_; }
    // What to send to ask for a reading; none when the gauge sends of itself.
    std::optional<std::string> request() const;

  private:
    void take_frame(std::string_view frame, Arrival at, std::vector<GaugeEvent>& out);
    void take_noise(std::string_view bytes, Arrival at, std::vector<GaugeEvent>& out);
    void flush_noise(std::vector<GaugeEvent>& out);
    void flush_pending(Arrival at, std::vector<GaugeEvent>& out);
    void refuse_frame(Message why, std::string raw, Arrival at, std::vector<GaugeEvent>& out);
    void accept(Reading reading, std::vector<GaugeEvent>& out);
    void accept_when_still(Reading reading, std::vector<GaugeEvent>& out);

    Profile profile_;
    DecoderCounters counters_;
    std::string pending_;
    Arrival last_bytes_;
    std::string noise_;  // a run not told yet
    Arrival noise_at_;
    // presses
    std::string last_frame_;
    std::int64_t last_frame_ns_ = 0;
    // streams
    std::string last_refusal_;
    struct Window {
        std::int64_t since_ns = 0;
        std::int64_t latest_ns = 0;
        Length low;
        Length high;
    };
    std::optional<Window> window_;
    std::optional<Length> counted_;  // the value that counted last; no other counts until the gauge has moved off it
};

}  // namespace crimpgate

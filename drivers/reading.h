// What a gauge said, once every doubt about it has been settled: a reading, or a refusal with its reason (R8).
#pragma once

#include <cstdint>
#include <string>
#include <variant>

#include "specs/length.h"
#include "specs/message.h"

namespace crimpgate {

// When bytes arrived. UTC is for people, the monotonic clock for durations; neither orders anything.
struct Arrival {
    std::int64_t utc_ms = 0;
    std::int64_t mono_ns = 0;
    bool operator==(const Arrival&) const = default;
};

struct Reading {
    Length value;
    LengthUnit unit = LengthUnit::mm;  // as sent, or as the profile fixes it
    Length resolution;                 // the gauge's step in that unit
    std::string raw;                   // the frame's bytes as received, terminator included
    Arrival arrival;
    bool operator==(const Reading&) const = default;
};

// A frame that is no reading. `why.code` is one of the driver.* codes; `raw` the bytes it was refused for.
struct Refusal {
    Message why;
    std::string raw;
    Arrival arrival;
    bool operator==(const Refusal&) const = default;
};

using GaugeEvent = std::variant<Reading, Refusal>;

}  // namespace crimpgate

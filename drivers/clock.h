// The time, behind an interface, so that the same code runs under a simulated clock.
#pragma once

#include <cstdint>

#include "drivers/reading.h"

namespace crimpgate {

class Clock {
  public:
    virtual ~Clock() = default;
    // Milliseconds since 1970-01-01 UTC, leap seconds not counted. For people; may jump when the clock is set.
    virtual std::int64_t utc_ms() const = 0;
    // Nanoseconds since an unknown moment. Never jumps back; for durations.
    virtual std::int64_t mono_ns() const = 0;

    Arrival now() const { return {utc_ms(), mono_ns()}; }
};

// The machine's own clocks. The monotonic one goes on counting while the machine sleeps (CLOCK_BOOTTIME): a station
// that was suspended over lunch must not believe that its gauges were proved a minute ago.
class SystemClock final : public Clock {
  public:
    std::int64_t utc_ms() const override;
    std::int64_t mono_ns() const override;
};

}  // namespace crimpgate

// A clock that a test sets; may be read from the station's thread while the test's thread sets it.
#pragma once

#include <atomic>

#include "drivers/clock.h"

namespace crimpgate::test {

class TestClock final : public Clock {
  public:
    std::int64_t utc_ms() const override { return utc_; }
    std::int64_t mono_ns() const override { return mono_; }
    void pass_ms(std::int64_t ms) {
        utc_ += ms;
        mono_ += ms * 1'000'000;
    }

    // The wall clock alone: somebody set it.
    void set_utc_by_ms(std::int64_t ms) { utc_ += ms; }

  private:
    std::atomic<std::int64_t> utc_{1'795'600'000'000};  // 2026-11-25
    std::atomic<std::int64_t> mono_{5'000'000'000};
};

}  // namespace crimpgate::test

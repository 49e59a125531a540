#include "drivers/clock.h"

#include <time.h>

namespace crimpgate {

namespace {
timespec read_clock(clockid_t which) {
    timespec t{};
    clock_gettime(which, &t);  // cannot fail: both clocks exist on every kernel since 2.6.39
    return t;
}
}  // namespace

std::int64_t SystemClock::utc_ms() const {
    const timespec t = read_clock(CLOCK_REALTIME);
    return std::int64_t{t.tv_sec} * 1000 + t.tv_nsec / 1'000'000;
}

std::int64_t SystemClock::mono_ns() const {
    const timespec t = read_clock(CLOCK_BOOTTIME);
    return std::int64_t{t.tv_sec} * 1'000'000'000 + t.tv_nsec;
}

}  // namespace crimpgate

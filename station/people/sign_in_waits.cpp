#include "station/people/sign_in_waits.h"

#include <algorithm>

namespace crimpgate {

namespace {
constexpr std::int64_t ns_in_ms = 1'000'000;
}

std::int64_t SignInWaits::left_ms(const std::string& person) const {
    const auto found = people_.find(person);
    if (found == people_.end()) return 0;
    const std::int64_t left = found->second.until_mono_ns - clock_.mono_ns();
    return left <= 0 ? 0 : (left + ns_in_ms - 1) / ns_in_ms;
}

void SignInWaits::failed(const std::string& person) {
    auto& failures = people_[person];
    ++failures.count;
    if (failures.count < free_failures) return;
    // Shifting stops long before it could overflow: 2^12 s is more than an hour.
    const auto doublings = std::min<std::int64_t>(failures.count - free_failures, 12);
    const std::int64_t wait = std::min(first_wait_ms << doublings, longest_wait_ms);
    failures.until_mono_ns = clock_.mono_ns() + wait * ns_in_ms;
}

}  // namespace crimpgate

#include "station/people/sign_in_waits.h"

#include <sodium.h>

#include <algorithm>
#include <stdexcept>

namespace crimpgate {

namespace {
constexpr std::int64_t ns_in_ms = 1'000'000;
}  // namespace

SignInWaits::SignInWaits(const Clock& clock) : clock_(clock) {
    static_assert(sizeof key_ == crypto_shorthash_KEYBYTES);
    if (sodium_init() < 0) throw std::runtime_error("libsodium does not start");
    randombytes_buf(key_.data(), key_.size());
}

std::string SignInWaits::unknown(std::string_view code) const {
    std::array<unsigned char, crypto_shorthash_BYTES> hash{};
    crypto_shorthash(hash.data(), reinterpret_cast<const unsigned char*>(code.data()), code.size(), key_.data());
    return "unknown " + std::to_string(hash[0]);
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

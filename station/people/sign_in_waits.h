// Growing waits after wrong PINs and passphrases, for each person: none after the first three, then 1 s, doubling up to
// an hour.
//
// In memory only: a restart of the station forgets them, and whoever can restart it could read the journal anyway. The
// people are those that the station knows. A name that nobody has waits like one that somebody has, so that the waits
// do not tell them apart; the unknown ones share so many places by a secret hash, so that the table cannot be filled
// up.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>

#include "drivers/clock.h"

namespace crimpgate {

class SignInWaits {
  public:
    static constexpr int free_failures = 3;
    static constexpr std::int64_t first_wait_ms = 1000;
    static constexpr std::int64_t longest_wait_ms = 3'600'000;

    explicit SignInWaits(const Clock& clock);

    // The place in which a name waits that nobody has: one of 256.
    std::string unknown(std::string_view code) const;

    // Until the next try is looked at; 0: now.
    std::int64_t left_ms(const std::string& person) const;
    void failed(const std::string& person);
    void succeeded(const std::string& person) { people_.erase(person); }

  private:
    struct Failures {
        std::int64_t count = 0;
        std::int64_t until_mono_ns = 0;
    };
    const Clock& clock_;
    std::array<unsigned char, 16> key_{};
    std::map<std::string, Failures> people_;
};

}  // namespace crimpgate

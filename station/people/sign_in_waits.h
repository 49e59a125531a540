// Growing waits after wrong PINs, for each person: none after the first three, then 1 s, doubling up to an hour.
//
// In memory only: a restart of the station forgets them, and whoever can restart it could read the journal anyway. The
// people are those that the station knows; every unknown name shares one wait, so that the table cannot be filled up.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "drivers/clock.h"

namespace crimpgate {

class SignInWaits {
  public:
    static constexpr int free_failures = 3;
    static constexpr std::int64_t first_wait_ms = 1000;
    static constexpr std::int64_t longest_wait_ms = 3'600'000;

    explicit SignInWaits(const Clock& clock) : clock_(clock) {}

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
    std::map<std::string, Failures> people_;
};

}  // namespace crimpgate

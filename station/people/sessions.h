// Who is signed in over HTTP: random tokens of 128 bits, kept in memory, gone after a time without use.
//
// A session says who asks; who stands at the bench is the bench's own state and outlives it, since an operator's hands
// are on the caliper and not on the screen.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "drivers/clock.h"

namespace crimpgate {

class Sessions {
  public:
    static constexpr std::size_t most = 256;  // the one unused for longest makes room

    Sessions(const Clock& clock, std::int64_t idle_ms) : clock_(clock), idle_ms_(idle_ms) {}

    // A new token, 32 lower-case hex digits; a token is never given twice.
    std::string begin(const std::string& person);
    // Whose token it is, and counts as use. Nothing for a token that is unknown or ran out.
    std::optional<std::string> person(std::string_view token);
    void end(std::string_view token);
    std::size_t size() const { return open_.size(); }

  private:
    struct Session {
        std::string person;
        std::int64_t used_mono_ns = 0;
    };
    void forget_idle();

    const Clock& clock_;
    std::int64_t idle_ms_;
    std::map<std::string, Session, std::less<>> open_;
};

}  // namespace crimpgate

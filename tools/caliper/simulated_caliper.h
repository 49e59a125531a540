// A gauge that is none: speaks any profile over a pseudo-terminal or TCP, and misbehaves on demand.
//
// Every public function may be called from any thread. A thread of its own answers requests and, for a gauge that
// streams, sends what the jaws show every stream_interval_ms. Pressing a streaming gauge moves the jaws away and back
// to the value, since a value counts only after the gauge has moved. A frame that cannot be encoded is refused by the
// encoder's own codes; caliper.unplugged, caliper.nobody_listens (TCP only), caliper.nothing_to_repeat.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>

#include "drivers/encoder.h"
#include "drivers/profile.h"
#include "tools/caliper/wire.h"

namespace crimpgate {

class SimulatedCaliper {
  public:
    static Result<std::unique_ptr<SimulatedCaliper>> on_pty(Profile profile, std::string link = {});
    static Result<std::unique_ptr<SimulatedCaliper>> on_tcp(Profile profile, std::uint16_t port = 0);
    SimulatedCaliper(Profile profile, Wire wire);
    ~SimulatedCaliper();
    SimulatedCaliper(const SimulatedCaliper&) = delete;
    SimulatedCaliper& operator=(const SimulatedCaliper&) = delete;

    // What to configure as the gauge's address.
    std::string address() const;
    const Profile& profile() const { return profile_; }

    // A reading as the gauge sends it. For a gauge that is asked: what it answers from now on.
    Result<void> press(Length value, LengthUnit unit, EncodeFlags flags = {});
    Result<void> press(Length value) { return press(value, profile_.expected); }
    // The same size, told in the unit that is not expected.
    Result<void> wrong_unit(Length value);
    // The front half of a frame, and silence.
    Result<void> half_frame(Length value, LengthUnit unit);
    // A frame one byte at a time.
    Result<void> dribble(Length value, LengthUnit unit, std::chrono::milliseconds between);
    // The bytes of the press before, once more, at once.
    Result<void> repeat();
    // `count` bytes of line noise; the same seed gives the same bytes.
    Result<void> noise(std::size_t count, std::uint32_t seed = 1);
    Result<void> raw(std::string_view bytes);

    // Pulls the plug; first waits up to a second until the far side has read what was sent, so that a script's press
    // before it counts. A harsh unplug does not wait.
    void unplug(bool harsh = false);
    Result<void> plug();
    bool plugged() const;
    // Somebody has the line open.
    bool listened_to() const;
    // The bytes sent last, as a frame.
    std::string last_sent() const;
    // How often something was sent so far.
    std::uint64_t times_sent() const;

    static constexpr std::chrono::milliseconds stream_interval{50};

  private:
    Result<void> send(std::string_view bytes);
    void live(std::stop_token stop);
    void answer_requests();

    const Profile profile_;
    mutable std::mutex mutex_;
    mutable Wire wire_;  // finding out who listens accepts a waiting far side
    std::string last_sent_;
    std::uint64_t times_sent_ = 0;
    std::string asked_;              // bytes received, not yet a request
    std::deque<std::string> moves_;  // what the jaws show on the way to shown_
    std::string shown_;              // empty: switched off, nothing is streamed or answered
    std::condition_variable_any woken_;
    std::jthread thread_;  // last: stopped before the rest goes
};

}  // namespace crimpgate

// A gauge's line under test: runs it, and keeps what it tells. The far side is a pseudo-terminal or a socket of the
// test's.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <boost/asio/io_context.hpp>

#include "drivers/clock.h"
#include "drivers/gauge_line.h"
#include "drivers/profile_file.h"
#include "tests/support/catch.h"

namespace crimpgate {

inline Profile profile_on_disk(const std::string& id) {
    auto profile = load_profile(std::string(CRIMPGATE_SOURCE_DIR) + "/drivers/profiles/" + id + ".toml");
    REQUIRE(profile);
    return *profile;
}

// The machine's clock; held, it stands still, for tests whose bytes must not be late however slow the machine is.
class BenchClock final : public Clock {
  public:
    void hold() { held_ = machine_.now(); }
    void release() { held_.reset(); }
    std::int64_t utc_ms() const override { return held_ ? held_->utc_ms : machine_.utc_ms(); }
    std::int64_t mono_ns() const override { return held_ ? held_->mono_ns : machine_.mono_ns(); }

  private:
    SystemClock machine_;
    std::optional<Arrival> held_;
};

class LineBench {
  public:
    explicit LineBench(const std::string& address, Profile profile = profile_on_disk("signed_decimal_unit")) {
        auto parsed = GaugeAddress::parse(address);
        REQUIRE(parsed);
        settings.address = *parsed;
        settings.profile = std::move(profile);
        // Short enough for a test, long enough for growing pauses to be seen.
        settings.first_pause = std::chrono::milliseconds(20);
        settings.longest_pause = std::chrono::milliseconds(500);
    }

    void start() {
        line = std::make_unique<GaugeLine>(
            io, settings, clock,
            [this](const GaugeEvent& event) {
                told.push_back(std::holds_alternative<Reading>(event) ? "reading" : std::get<Refusal>(event).why.code);
                if (const auto* reading = std::get_if<Reading>(&event)) readings.push_back(*reading);
                if (const auto* refusal = std::get_if<Refusal>(&event)) refusals.push_back(*refusal);
                if (on_event) on_event();
            },
            [this](const LineState& state) {
                told.push_back(state.kind == LineState::Kind::connected ? "connected" : "lost");
                states.push_back(state);
                if (on_state) on_state();
            });
        line->start();
    }

    void run(std::chrono::milliseconds time) {
        io.restart();
        io.run_for(time);
    }
    // Runs until it is so; false after a minute, which only a broken line takes.
    bool until(const std::function<bool()>& so) {
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (!so()) {
            if (std::chrono::steady_clock::now() > end) return false;
            run(std::chrono::milliseconds(2));
        }
        return true;
    }
    bool until_connected() {
        return until([this] { return line->connected(); });
    }
    bool until_lost() {
        return until([this] { return !states.empty() && states.back().kind == LineState::Kind::lost; });
    }

    boost::asio::io_context io{1};
    BenchClock clock;
    GaugeLineSettings settings;
    std::unique_ptr<GaugeLine> line;
    std::vector<Reading> readings;
    std::vector<Refusal> refusals;
    std::vector<LineState> states;
    std::vector<std::string> told;  // everything, in order
    std::function<void()> on_event;
    std::function<void()> on_state;
};

}  // namespace crimpgate

// The simulated caliper against the real line: what it sends must come out as a real gauge's bytes would.
#include "tools/caliper/simulated_caliper.h"

#include <filesystem>

#include "tests/drivers/line_bench.h"
#include "tools/caliper/script.h"

using namespace crimpgate;
using namespace std::chrono_literals;

namespace {

using Told = std::vector<std::string>;

std::string link_path() {
    return (std::filesystem::temp_directory_path() / ("crimpgate-caliper-" + std::to_string(getpid()))).string();
}

std::vector<std::string> shipped_ids() {
    std::vector<std::string> ids;
    const std::string folder = std::string(CRIMPGATE_SOURCE_DIR) + "/drivers/profiles";
    for (const auto& file : std::filesystem::directory_iterator(folder))
        if (file.path().extension() == ".toml") ids.push_back(file.path().stem().string());
    REQUIRE(ids.size() >= 6);
    return ids;
}

// A size that every shipped gauge can show, in the unit that it is expected to send.
Length some_size(const Profile& profile) {
    return profile.expected == LengthUnit::mm ? 25480_um : Length::from_nm(Length::nm_per_inch);
}

bool asked_by_a_person(const Profile& profile) {
    const auto* polled = std::get_if<Polled>(&profile.trigger);
    return polled != nullptr && polled->interval_ms == 0;
}

// Plays one command, which must be understood and succeed.
void play(SimulatedCaliper& caliper, const std::string& command) {
    INFO(command);
    const auto step = parse_step(command, caliper.profile().expected);
    REQUIRE(step);
    REQUIRE(step->perform);
    REQUIRE(step->perform(caliper));
}

void press_and_expect(std::unique_ptr<SimulatedCaliper>& caliper, const Profile& profile) {
    LineBench bench(caliper->address(), profile);
    bench.start();
    REQUIRE(bench.until_connected());
    REQUIRE(bench.until([&] { return caliper->listened_to(); }));
    REQUIRE(caliper->press(some_size(profile)));
    if (asked_by_a_person(profile)) REQUIRE(bench.line->ask());
    REQUIRE(bench.until([&] { return !bench.readings.empty(); }));
    CHECK(bench.readings[0].value == some_size(profile));
    CHECK(bench.readings[0].unit == profile.expected);
    CHECK(bench.told == Told{"connected", "reading"});
}

}  // namespace

TEST_CASE("Every shipped gauge can be simulated on a pseudo-terminal") {
    for (const auto& id : shipped_ids()) {
        INFO(id);
        const Profile profile = profile_on_disk(id);
        auto caliper = SimulatedCaliper::on_pty(profile, link_path());
        REQUIRE(caliper);
        CHECK((*caliper)->address() == link_path());
        press_and_expect(*caliper, profile);
    }
    CHECK_FALSE(std::filesystem::exists(std::filesystem::symlink_status(link_path())));
}

TEST_CASE("Every shipped gauge can be simulated behind a converter") {
    for (const auto& id : shipped_ids()) {
        INFO(id);
        const Profile profile = profile_on_disk(id);
        auto caliper = SimulatedCaliper::on_tcp(profile);
        REQUIRE(caliper);
        CHECK_THAT((*caliper)->address(), cqt::contains("tcp://127.0.0.1:"));
        press_and_expect(*caliper, profile);
    }
}

TEST_CASE("R8: every misbehaviour of the simulated caliper is refused by its own name") {
    auto caliper = SimulatedCaliper::on_pty(profile_on_disk("signed_decimal_unit"), link_path());
    REQUIRE(caliper);
    LineBench bench(link_path());
    bench.start();
    REQUIRE(bench.until_connected());
    const auto after = [&](const std::string& command) {
        const std::size_t before = bench.told.size();
        play(**caliper, command);
        INFO(command);
        REQUIRE(bench.until([&] { return bench.told.size() > before; }));
        return bench.told.back();
    };
    bench.clock.hold();  // or on a slow machine the repeat would come so late that it is a press of its own
    CHECK(after("press 25.48 mm") == "reading");
    CHECK(after("repeat") == "driver.repeat");
    bench.clock.release();
    CHECK(after("unit inch 1.0000") == "driver.unit_unexpected");
    CHECK(after("lowbattery 25.48") == "driver.low_battery");
    CHECK(after("overrange 25.48") == "driver.over_range");
    CHECK(after("hold 25.48") == "driver.hold");
    CHECK(after("blank 25.48") == "driver.digits_missing");
    CHECK(after("half 25.48") == "driver.half_frame");
    CHECK(after("dribble 25.50 mm") == "reading");
    REQUIRE((*caliper)->wrong_unit(25400_um));
    REQUIRE(bench.until([&] { return bench.told.back() == "driver.unit_unexpected"; }));
    CHECK(after("raw 2B 30 32 35 2E 35 31 6D 6D 0D 0A") == "reading");
    CHECK(bench.readings.back().value == 25510_um);

    const auto before = bench.line->decoder_counters();
    play(**caliper, "noise 40 7");
    REQUIRE(bench.until([&] { return bench.line->decoder_counters().bytes_in == before.bytes_in + 40; }));
    bench.run(400ms);
    CHECK(bench.readings.size() == 3);
}

TEST_CASE("A wrong checksum is sent on demand, where the gauge has one") {
    auto caliper = SimulatedCaliper::on_pty(profile_on_disk("fixed_checksum"), link_path());
    REQUIRE(caliper);
    LineBench bench(link_path(), (*caliper)->profile());
    bench.start();
    REQUIRE(bench.until_connected());
    play(**caliper, "badsum 25.480");
    REQUIRE(bench.until([&] { return bench.told.size() > 1; }));
    CHECK(bench.readings.empty());
    const auto none = SimulatedCaliper::on_pty(profile_on_disk("signed_decimal_unit"));
    REQUIRE(none);
    EncodeFlags flags;
    flags.wrong_checksum = true;
    const auto refused = (*none)->press(25480_um, LengthUnit::mm, flags);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "driver.encode_flag");
}

TEST_CASE("R10: the plug is pulled after the press before it was read, and put back") {
    auto caliper = SimulatedCaliper::on_pty(profile_on_disk("signed_decimal_unit"), link_path());
    REQUIRE(caliper);
    LineBench bench(link_path());
    bench.start();
    REQUIRE(bench.until_connected());
    // In a thread of its own, as the program plays it: the line must run meanwhile.
    std::jthread script([&] {
        static_cast<void>((*caliper)->press(25480_um));
        (*caliper)->unplug();
        std::this_thread::sleep_for(100ms);
        static_cast<void>((*caliper)->plug());
    });
    REQUIRE(bench.until([&] { return bench.states.size() == 3; }));
    script.join();
    REQUIRE((*caliper)->press(25490_um));
    REQUIRE(bench.until([&] { return bench.readings.size() == 2; }));
    CHECK(bench.told == Told{"connected", "reading", "lost", "connected", "reading"});
}

TEST_CASE("R10: a converter's plug is pulled and put back at the same port") {
    auto caliper = SimulatedCaliper::on_tcp(profile_on_disk("signed_decimal_unit"));
    REQUIRE(caliper);
    const std::string address = (*caliper)->address();
    LineBench bench(address);
    bench.start();
    REQUIRE(bench.until_connected());
    (*caliper)->unplug(true);
    CHECK_FALSE((*caliper)->plugged());
    REQUIRE(bench.until_lost());
    const auto refused = (*caliper)->press(25480_um);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "caliper.unplugged");
    REQUIRE((*caliper)->plug());
    CHECK((*caliper)->address() == address);
    REQUIRE(bench.until_connected());
    CHECK(bench.told == Told{"connected", "lost", "connected"});
}

TEST_CASE("The same size pressed twice on a gauge that streams counts twice, and once without a press") {
    auto caliper = SimulatedCaliper::on_pty(profile_on_disk("continuous_still"), link_path());
    REQUIRE(caliper);
    LineBench bench(link_path(), (*caliper)->profile());
    bench.start();
    REQUIRE(bench.until_connected());
    REQUIRE((*caliper)->press(25480_um));
    REQUIRE(bench.until([&] { return bench.readings.size() == 1; }));
    bench.run(600ms);  // it goes on sending the same
    CHECK(bench.readings.size() == 1);
    REQUIRE((*caliper)->press(25480_um));
    REQUIRE(bench.until([&] { return bench.readings.size() == 2; }));
    CHECK(bench.readings[1].value == 25480_um);
}

TEST_CASE("Noise is the same for the same seed and another for another") {
    auto caliper = SimulatedCaliper::on_pty(profile_on_disk("signed_decimal_unit"));
    REQUIRE(caliper);
    const auto noise = [&](std::uint32_t seed) {
        REQUIRE((*caliper)->noise(32, seed));
        return (*caliper)->last_sent();
    };
    const std::string first = noise(1);
    CHECK(first.size() == 32);
    CHECK(noise(1) == first);
    CHECK(noise(2) != first);
}

TEST_CASE("A script is refused whole at its first wrong line, with what would be right") {
    struct Wrong {
        std::string line;
        std::string code;
        std::string expected;
    };
    const std::vector<Wrong> wrong{{"pres 25.48", "caliper.unknown_command", ""},
                                   {"press", "caliper.bad_command", "press VALUE [mm|in]"},
                                   {"press 25,48", "caliper.bad_command", "press VALUE [mm|in]"},
                                   {"press 25.48 cm", "caliper.bad_command", "press VALUE [mm|in]"},
                                   {"press 25.48 mm now", "caliper.bad_command", "press VALUE [mm|in]"},
                                   {"unit 25.48 mm", "caliper.bad_command", "unit mm|inch VALUE"},
                                   {"noise", "caliper.bad_command", "noise COUNT [SEED]"},
                                   {"noise -1", "caliper.bad_command", "noise COUNT [SEED]"},
                                   {"raw 2B 3", "caliper.bad_command", "raw HEX"},
                                   {"raw XY", "caliper.bad_command", "raw HEX"},
                                   {"wait 1.5", "caliper.bad_command", "wait MS"},
                                   {"unplug soon", "caliper.bad_command", "unplug [MS]"},
                                   {"repeat 2", "caliper.bad_command", "repeat"}};
    for (const auto& [line, code, expected] : wrong) {
        INFO(line);
        const auto refused = parse_script("# a remark\n\npress 25.48 mm\n" + line + "\n", LengthUnit::mm);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == code);
        CHECK(refused.error().detail("line") == "4");
        CHECK(refused.error().detail("expected") == expected);
    }
    const auto steps = parse_script("press 25.48\r\n  # remark\r\nunplug\nwait 5", LengthUnit::mm);
    REQUIRE(steps);
    REQUIRE(steps->size() == 3);
    CHECK(steps->at(0).text == "press 25.48");
    CHECK(steps->at(2).text == "wait 5");
}

#include "tools/caliper/script.h"

#include <array>
#include <charconv>
#include <optional>
#include <thread>

namespace crimpgate {

namespace {

using std::chrono::milliseconds;
using Words = std::vector<std::string_view>;
using Perform = std::function<Result<void>(SimulatedCaliper&)>;

Words words_of(std::string_view line) {
    Words words;
    while (true) {
        const auto from = line.find_first_not_of(" \t\r");
        if (from == std::string_view::npos) return words;
        line.remove_prefix(from);
        const auto to = std::min(line.find_first_of(" \t\r"), line.size());
        words.push_back(line.substr(0, to));
        line.remove_prefix(to);
    }
}

// Plain flags and initialised values here and below: g++ 12 takes an optional that is read behind && for uninitialised.
bool whole(std::string_view text, std::uint32_t& value, int base = 10) {
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), value, base);
    return ec == std::errc{} && end == text.data() + text.size();
}

bool unit_of(std::string_view word, LengthUnit& unit) {
    unit = word == "mm" ? LengthUnit::mm : LengthUnit::inch;
    return word == "mm" || word == "in" || word == "inch";
}

struct Size {
    Length value;
    LengthUnit unit = LengthUnit::mm;
};

// VALUE [mm|in] from the words behind the command.
std::optional<Size> size_of(const Words& words, LengthUnit expected) {
    if (words.size() < 2 || words.size() > 3) return std::nullopt;
    LengthUnit unit = expected;
    if (words.size() == 3 && !unit_of(words[2], unit)) return std::nullopt;
    const auto value = Length::parse(words[1], unit);
    if (!value) return std::nullopt;
    return Size{*value, unit};
}

struct Flagged {
    std::string_view command;
    EncodeFlags flags;
};
const std::array<Flagged, 6>& flagged_commands() {
    static const std::array<Flagged, 6> commands{{{"press", {}},
                                                  {"lowbattery", {GaugeFlag::low_battery, false, false}},
                                                  {"overrange", {GaugeFlag::over_range, false, false}},
                                                  {"hold", {GaugeFlag::hold, false, false}},
                                                  {"badsum", {GaugeFlag::ok, true, false}},
                                                  {"blank", {GaugeFlag::ok, false, true}}}};
    return commands;
}

// An answer when the command is one that takes a size: what to do, or the form that it must have.
std::optional<tl::expected<Perform, std::string>> sized(const Words& words, LengthUnit expected) {
    const auto unexpected = [&] { return tl::unexpected(std::string(words[0]) + " VALUE [mm|in]"); };
    const auto size = size_of(words, expected);
    for (const Flagged& row : flagged_commands()) {
        if (row.command != words[0]) continue;
        if (!size) return unexpected();
        return [size = *size, flags = row.flags](SimulatedCaliper& c) { return c.press(size.value, size.unit, flags); };
    }
    if (words[0] == "half") {
        if (!size) return unexpected();
        return [size = *size](SimulatedCaliper& c) { return c.half_frame(size.value, size.unit); };
    }
    if (words[0] == "dribble") {
        if (!size) return unexpected();
        return [size = *size](SimulatedCaliper& c) { return c.dribble(size.value, size.unit, milliseconds(5)); };
    }
    return std::nullopt;
}

tl::expected<Perform, std::string> with_unit(const Words& words) {
    LengthUnit unit = LengthUnit::mm;
    const auto bad = [] { return tl::unexpected<std::string>("unit mm|inch VALUE"); };
    if (words.size() != 3 || !unit_of(words[1], unit)) return bad();
    const auto value = Length::parse(words[2], unit);
    if (!value) return bad();
    return [size = *value, unit](SimulatedCaliper& c) { return c.press(size, unit); };
}

tl::expected<Perform, std::string> raw_bytes(const Words& words) {
    std::string digits;
    for (std::size_t i = 1; i < words.size(); ++i)
        digits += words[i];
    std::string bytes;
    for (std::size_t i = 0; i + 1 < digits.size(); i += 2) {
        std::uint32_t byte = 0;
        if (!whole(std::string_view(digits).substr(i, 2), byte, 16)) return tl::unexpected<std::string>("raw HEX");
        bytes.push_back(static_cast<char>(byte));
    }
    if (digits.empty() || digits.size() % 2 != 0) return tl::unexpected<std::string>("raw HEX");
    return [bytes](SimulatedCaliper& c) { return c.raw(bytes); };
}

tl::expected<Perform, std::string> noise_bytes(const Words& words) {
    std::uint32_t count = 0;
    std::uint32_t seed = 1;
    const bool sound = (words.size() == 2 || words.size() == 3) && whole(words[1], count) &&
                       (words.size() == 2 || whole(words[2], seed)) && count <= 1'000'000;
    if (!sound) return tl::unexpected<std::string>("noise COUNT [SEED]");
    return [count, seed](SimulatedCaliper& c) { return c.noise(count, seed); };
}

tl::expected<Perform, std::string> pull_plug(const Words& words) {
    if (words.size() == 1)
        return [](SimulatedCaliper& c) {
            c.unplug();
            return Result<void>();
        };
    std::uint32_t ms = 0;
    if (words.size() != 2 || !whole(words[1], ms)) return tl::unexpected<std::string>("unplug [MS]");
    return [away = milliseconds(ms)](SimulatedCaliper& c) {
        c.unplug();
        std::this_thread::sleep_for(away);
        return c.plug();
    };
}

tl::expected<Perform, std::string> pause(const Words& words) {
    std::uint32_t ms = 0;
    if (words.size() != 2 || !whole(words[1], ms)) return tl::unexpected<std::string>("wait MS");
    return [time = milliseconds(ms)](SimulatedCaliper&) {
        std::this_thread::sleep_for(time);
        return Result<void>();
    };
}

Result<void> wait_for_listener(SimulatedCaliper& caliper) {
    while (!caliper.listened_to())
        std::this_thread::sleep_for(milliseconds(5));
    std::this_thread::sleep_for(milliseconds(100));  // whoever opens a port flushes it a moment later
    return {};
}

std::optional<tl::expected<Perform, std::string>> perform_of(const Words& words, LengthUnit expected) {
    if (auto perform = sized(words, expected)) return perform;
    if (words[0] == "unit") return with_unit(words);
    if (words[0] == "raw") return raw_bytes(words);
    if (words[0] == "noise") return noise_bytes(words);
    if (words[0] == "unplug") return pull_plug(words);
    if (words[0] == "wait") return pause(words);
    const bool alone = words.size() == 1;
    const auto bare = [&](Perform perform) -> tl::expected<Perform, std::string> {
        if (!alone) return tl::unexpected(std::string(words[0]));
        return perform;
    };
    if (words[0] == "repeat") return bare([](SimulatedCaliper& c) { return c.repeat(); });
    if (words[0] == "plug") return bare([](SimulatedCaliper& c) { return c.plug(); });
    if (words[0] == "listen") return bare(wait_for_listener);
    return std::nullopt;
}

}  // namespace

Result<Step> parse_step(std::string_view line, LengthUnit expected) {
    const Words words = words_of(line);
    if (words.empty() || words[0].front() == '#') return Step{};
    Step step;
    for (const auto word : words)
        step.text += (step.text.empty() ? "" : " ") + std::string(word);
    auto perform = perform_of(words, expected);
    if (!perform) return refuse(message("caliper.unknown_command").with("found", step.text));
    if (!*perform)
        return refuse(message("caliper.bad_command").with("found", step.text).with("expected", perform->error()));
    step.perform = std::move(**perform);
    return step;
}

Result<std::vector<Step>> parse_script(std::string_view text, LengthUnit expected) {
    std::vector<Step> steps;
    for (int number = 1; !text.empty(); ++number) {
        const auto end = std::min(text.find('\n'), text.size());
        auto step = parse_step(text.substr(0, end), expected);
        if (!step) return refuse(Message(step.error()).with("line", std::to_string(number)));
        if (step->perform) steps.push_back(std::move(*step));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return steps;
}

}  // namespace crimpgate

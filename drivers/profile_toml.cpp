// A profile's TOML text. Every key is named in drivers/PROFILES.md; no other is allowed.
#include <algorithm>

#include "drivers/profile.h"
#include "drivers/profile_check.h"
#include "drivers/toml_keys.h"

namespace crimpgate {
namespace {

constexpr int longest_frame_bytes = 256;

LineSettings read_line(TomlKeys keys) {
    LineSettings line;
    line.baud = keys.integer("baud", 50, 4'000'000);
    line.data_bits = keys.integer("data_bits", 5, 8);
    line.parity = static_cast<Parity>(keys.choice("parity", {"none", "even", "odd"}));
    line.stop_bits = keys.integer("stop_bits", 1, 2);
    line.flow = static_cast<FlowControl>(keys.choice("flow", {"none", "rts_cts", "xon_xoff"}));
    line.dtr = keys.boolean("dtr");
    line.rts = keys.boolean("rts");
    keys.finish();
    return line;
}

std::string some_bytes(TomlKeys& keys, std::string_view key) {
    auto bytes = keys.bytes(key);
    if (keys.has(key) && bytes.empty()) keys.bad(key, "nothing", "at least one byte");
    return bytes;
}

Framing read_framing(TomlKeys keys, int& silence_ms) {
    Framing framing;
    switch (keys.choice("kind", {"line", "fixed", "start_stop"})) {
        case 0: {
            LineFraming line;
            line.terminator = some_bytes(keys, "terminator");
            line.max_length = static_cast<std::size_t>(keys.integer("max_length", 2, longest_frame_bytes));
            framing = line;
            break;
        }
        case 1: {
            FixedFraming fixed;
            fixed.start = some_bytes(keys, "start");
            fixed.length = static_cast<std::size_t>(keys.integer("length", 2, longest_frame_bytes));
            framing = fixed;
            break;
        }
        default: {
            StartStopFraming both;
            both.start = some_bytes(keys, "start");
            both.stop = some_bytes(keys, "stop");
            both.max_length = static_cast<std::size_t>(keys.integer("max_length", 3, longest_frame_bytes));
            framing = both;
        }
    }
    silence_ms = keys.integer("silence_ms", 10, 60'000);
    keys.finish();
    return framing;
}

Checksum read_checksum(TomlKeys keys) {
    Checksum checksum;
    checksum.rule = static_cast<ChecksumRule>(keys.choice("rule", {"sum8", "sum8_negated", "xor8"}));
    checksum.as_hex = keys.choice("written", {"hex", "byte"}) == 0;
    checksum.first = static_cast<std::size_t>(keys.integer("first", 0, longest_frame_bytes));
    keys.finish();
    return checksum;
}

// The words of each meaning, in the order ok, low_battery, hold, over_range.
template <class Take>
void read_flags(TomlKeys& keys, bool with_ok, Take take) {
    constexpr std::pair<GaugeFlag, std::string_view> names[] = {{GaugeFlag::ok, "ok"},
                                                                {GaugeFlag::low_battery, "low_battery"},
                                                                {GaugeFlag::hold, "hold"},
                                                                {GaugeFlag::over_range, "over_range"}};
    for (const auto& [flag, name] : names) {
        if (flag == GaugeFlag::ok && !with_ok) continue;
        for (auto& word : keys.byte_texts(name))
            take(flag, std::move(word));
    }
}

PatternField read_field(TomlKeys& keys) {
    PatternField field;
    switch (keys.choice("field", {"literal", "sign", "digits", "places", "unit", "flag", "ignored"})) {
        case 0:
            field = LiteralField{some_bytes(keys, "text")};
            break;
        case 1:
            field = SignField{some_bytes(keys, "plus"), some_bytes(keys, "minus")};
            break;
        case 2: {
            DigitsField digits;
            digits.count = keys.integer("count", 1, 15);
            const auto mark = keys.choice("mark", {"point", "comma", "none"});
            if (mark < 2) digits.mark = mark == 0 ? DecimalMark::dot : DecimalMark::comma;
            if (keys.has("blank_padded")) digits.blank_padded = keys.boolean("blank_padded");
            if (keys.has("floating_sign")) digits.floating_sign = keys.boolean("floating_sign");
            field = digits;
            break;
        }
        case 3:
            field = PlacesField{};
            break;
        case 4:
            field = UnitField{keys.byte_texts("mm"), keys.byte_texts("inch")};
            break;
        case 5: {
            FlagField flag;
            read_flags(keys, true, [&](GaugeFlag f, std::string word) { flag.words.emplace_back(f, std::move(word)); });
            field = flag;
            break;
        }
        default:
            field = IgnoredField{keys.integer("count", 1, longest_frame_bytes)};
    }
    keys.finish();
    return field;
}

std::optional<UnitForm> read_form(TomlKeys& unit, std::string_view key, LengthUnit in, int most_places) {
    auto keys = unit.table(key);
    UnitForm form;
    form.places = keys.integer("places", 0, most_places);
    form.resolution = keys.length("resolution", in);
    keys.finish();
    return form;
}

void read_unit(TomlKeys keys, Profile& profile) {
    const bool as_sent = keys.choice("policy", {"fixed", "as_sent"}) == 1;
    profile.expected = static_cast<LengthUnit>(keys.choice(as_sent ? "expected" : "unit", {"mm", "inch"}));
    const bool inch = profile.expected == LengthUnit::inch;
    profile.unit_policy = as_sent ? UnitPolicy::as_sent : inch ? UnitPolicy::fixed_inch : UnitPolicy::fixed_mm;
    // More places are no whole nanometres: 0.00001 in is 254 nm.
    if (as_sent || !inch) profile.mm = read_form(keys, "mm", LengthUnit::mm, 6);
    if (as_sent || inch) profile.inch = read_form(keys, "inch", LengthUnit::inch, 5);
    keys.finish();
}

Stillness read_stillness(TomlKeys& keys) {
    Stillness still;
    still.still_ms = keys.integer("still_ms", 1, 60'000);
    still.within = keys.length("still_within_mm", LengthUnit::mm);
    still.rearm_change = keys.length("rearm_mm", LengthUnit::mm);
    still.rest_below = keys.has("rest_below_mm") ? keys.length("rest_below_mm", LengthUnit::mm) : Length();
    for (const auto& [key, value] : {std::pair{"still_within_mm", still.within}, {"rest_below_mm", still.rest_below}})
        if (value < Length()) keys.bad(key, "a negative length", "0 or more");
    return still;
}

Trigger read_trigger(TomlKeys keys) {
    Trigger trigger;
    switch (keys.choice("kind", {"on_press", "continuous", "polled"})) {
        case 0:
            trigger = OnPress{keys.integer("min_gap_ms", 0, 60'000)};
            break;
        case 1:
            trigger = Continuous{read_stillness(keys)};
            break;
        default: {
            Polled polled;
            polled.request = some_bytes(keys, "request");
            polled.interval_ms = keys.integer("interval_ms", 0, 60'000);
            if (polled.interval_ms == 0) {
                polled.min_gap_ms = keys.integer("min_gap_ms", 0, 60'000);
            } else {
                polled.stillness = read_stillness(keys);
            }
            trigger = polled;
        }
    }
    keys.finish();
    return trigger;
}

// "12.34 mm" or "0.4860 in".
std::optional<ExpectedReading> read_expected(const std::string& text) {
    const auto blank = text.rfind(' ');
    if (blank == std::string::npos) return std::nullopt;
    const auto word = text.substr(blank + 1);
    if (word != "mm" && word != "in") return std::nullopt;
    ExpectedReading expected;
    expected.unit = word == "mm" ? LengthUnit::mm : LengthUnit::inch;
    const auto value = Length::parse(std::string_view(text).substr(0, blank), expected.unit);
    if (!value) return std::nullopt;
    expected.value = *value;
    return expected;
}

Recording read_recording(TomlKeys& keys) {
    Recording recording;
    recording.note = keys.text("note");
    recording.source = keys.text("source");
    recording.chunks = keys.byte_texts("bytes");
    if (recording.chunks.empty()) keys.bad("bytes", "nothing", "what the gauge sent");
    recording.gap_ms = keys.has("gap_ms") ? keys.integer("gap_ms", 0, 60'000) : 1000;
    for (const auto& text : keys.texts("readings")) {
        if (const auto expected = read_expected(text)) {
            recording.readings.push_back(*expected);
        } else {
            keys.bad("readings", text, "a number, a blank, and mm or in");
        }
    }
    recording.refusals = keys.texts("refusals");
    for (const auto& code : recording.refusals)
        if (!code.starts_with("driver.")) keys.bad("refusals", code, "codes that begin with driver.");
    if (recording.readings.empty() && recording.refusals.empty())
        keys.bad("readings", "neither readings nor refusals", "what the bytes must give");
    keys.finish();
    return recording;
}

bool good_id(const std::string& id) {
    const auto allowed = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_'; };
    return !id.empty() && std::all_of(id.begin(), id.end(), allowed);
}

}  // namespace

Result<Profile> parse_profile(std::string_view toml_text) {
    const auto parsed = toml::parse(toml_text);
    if (!parsed) {
        return refuse(message("profile.syntax")
                          .with("line", std::to_string(parsed.error().source().begin.line))
                          .with("what", parsed.error().description()));
    }
    TomlErrors errors;
    TomlKeys keys(parsed.table(), "", errors);
    Profile profile;
    profile.id = keys.text("id");
    if (keys.has("id") && !good_id(profile.id)) keys.bad("id", profile.id, "lower-case letters, digits, underscores");
    profile.title = keys.text("title");
    profile.negative_possible = keys.boolean("negative_possible");
    profile.line = read_line(keys.table("line"));
    profile.framing = read_framing(keys.table("framing"), profile.frame_silence_ms);
    if (keys.has("checksum")) profile.checksum = read_checksum(keys.table("checksum"));
    for (auto& field : keys.tables("pattern"))
        profile.pattern.push_back(read_field(field));
    if (keys.has("notices")) {
        auto notices = keys.table("notices");
        read_flags(notices, false, [&](GaugeFlag f, std::string text) {
            profile.notices.push_back({f, std::move(text)});
        });
        notices.finish();
    }
    read_unit(keys.table("unit"), profile);
    profile.trigger = read_trigger(keys.table("trigger"));
    for (auto& recording : keys.tables("recording"))
        profile.recordings.push_back(read_recording(recording));
    keys.finish();
    if (!errors.unknown.empty()) return refuse(errors.unknown.front());
    if (!errors.others.empty()) return refuse(errors.others.front());
    for (const auto& fault : pattern_faults(profile))
        keys.pattern_error(fault);
    if (!errors.others.empty()) return refuse(errors.others.front());
    return profile;
}

}  // namespace crimpgate

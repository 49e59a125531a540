// What is known about one kind of line-speaking gauge, as data: its line, its frames, its units, and recordings of it
// with the readings that they must give. A new gauge is one new TOML file (drivers/PROFILES.md) and no C++.
//
// A Profile that exists has been checked: parse_profile is the only door from text. Pure; the caller reads the file.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "specs/decimal.h"
#include "specs/length.h"
#include "specs/message.h"

namespace crimpgate {

enum class Parity { none, even, odd };
enum class FlowControl { none, rts_cts, xon_xoff };

// DTR and RTS are stated, never left to the port's habit: some cables draw their power from them, and on some gauges
// a toggle is a reset.
struct LineSettings {
    int baud = 9600;
    int data_bits = 8;  // 5 to 8
    Parity parity = Parity::none;
    int stop_bits = 1;  // 1 or 2
    FlowControl flow = FlowControl::none;
    bool dtr = true;
    bool rts = true;
    bool operator==(const LineSettings&) const = default;
};

enum class ChecksumRule {
    sum8,          // sum of the bytes, modulo 256
    sum8_negated,  // what makes the sum with it 0 modulo 256
    xor8           // exclusive or of the bytes
};

// Stands right before the terminator or stop bytes, or at the end of a fixed-length frame.
struct Checksum {
    ChecksumRule rule = ChecksumRule::sum8;
    bool as_hex = true;     // two hexadecimal digits (capitals); else one byte
    std::size_t first = 0;  // index in the frame of the first byte that it covers; the last is the one before it
    bool operator==(const Checksum&) const = default;
};

struct LineFraming {  // payload, then the terminator; max_length counts both
    std::string terminator;
    std::size_t max_length = 0;
    bool operator==(const LineFraming&) const = default;
};
struct FixedFraming {  // exactly `length` bytes, beginning with `start`
    std::string start;
    std::size_t length = 0;
    bool operator==(const FixedFraming&) const = default;
};
struct StartStopFraming {  // start, payload, stop; max_length counts all; neither start nor stop occurs within
    std::string start;
    std::string stop;
    std::size_t max_length = 0;
    bool operator==(const StartStopFraming&) const = default;
};
using Framing = std::variant<LineFraming, FixedFraming, StartStopFraming>;

// What a gauge may say beside the number. All but ok refuse the frame.
enum class GaugeFlag { ok, low_battery, hold, over_range };

// The fields of a frame's payload, in order. Widths are fixed so that a lost byte never makes another valid frame.
struct LiteralField {
    std::string text;
    bool operator==(const LiteralField&) const = default;
};
struct SignField {     // one byte, always there
    std::string plus;  // every byte that means plus; the first is the one encoded
    std::string minus;
    bool operator==(const SignField&) const = default;
};
struct DigitsField {                  // `count` digits, and the mark among them where there is one
    int count = 0;                    // 1 to 15
    std::optional<DecimalMark> mark;  // none: the places are implied, or said by a PlacesField
    bool blank_padded = false;        // leading zeros may be blanks
    bool floating_sign = false;       // one byte wider: +, - or a blank stands right before the first digit
    std::size_t width() const { return static_cast<std::size_t>(count) + (mark ? 1 : 0) + (floating_sign ? 1 : 0); }
    bool operator==(const DigitsField&) const = default;
};
struct PlacesField {  // one digit: how many of the digits stand behind the mark
    bool operator==(const PlacesField&) const = default;
};
struct UnitField {
    std::vector<std::string> mm;  // words for each unit; the first is the one encoded
    std::vector<std::string> inch;
    bool operator==(const UnitField&) const = default;
};
struct FlagField {
    std::vector<std::pair<GaugeFlag, std::string>> words;
    bool operator==(const FlagField&) const = default;
};
struct IgnoredField {
    int count = 0;
    bool operator==(const IgnoredField&) const = default;
};
using PatternField =
    std::variant<LiteralField, SignField, DigitsField, PlacesField, UnitField, FlagField, IgnoredField>;

// A frame whose whole payload is one of these texts is no number, but says why.
struct Notice {
    GaugeFlag meaning = GaugeFlag::over_range;
    std::string text;
    bool operator==(const Notice&) const = default;
};

enum class UnitPolicy { fixed_mm, fixed_inch, as_sent };

// How a unit is shown by this gauge: the number of places, and the step that every value is a multiple of.
struct UnitForm {
    int places = 0;
    Length resolution;
    bool operator==(const UnitForm&) const = default;
};

// When a value of a stream counts: it stayed within `within` for still_ms. The next counts only after it moved by
// `rearm_change`. Values whose size is below `rest_below` are a gauge at rest and never count (0: no such limit).
struct Stillness {
    int still_ms = 0;
    Length within;
    Length rearm_change;
    Length rest_below;
    bool operator==(const Stillness&) const = default;
};

struct OnPress {  // the gauge sends when its button is pressed
    int min_gap_ms = 0;
    bool operator==(const OnPress&) const = default;
};
struct Continuous {
    Stillness stillness;
    bool operator==(const Continuous&) const = default;
};
// interval_ms == 0: asked when a person wants a reading, and every answer counts (min_gap_ms as for a press).
// interval_ms > 0: asked again and again, and the answers count as a continuous gauge's do.
struct Polled {
    std::string request;
    int interval_ms = 0;
    int min_gap_ms = 0;
    std::optional<Stillness> stillness;
    bool operator==(const Polled&) const = default;
};
using Trigger = std::variant<OnPress, Continuous, Polled>;

struct ExpectedReading {
    Length value;
    LengthUnit unit = LengthUnit::mm;
    bool operator==(const ExpectedReading&) const = default;
};

// Bytes as they came, with what they must give. Chunks arrive gap_ms after one another.
struct Recording {
    std::string note;
    std::string source;  // who recorded it from what, or "constructed"
    std::vector<std::string> chunks;
    int gap_ms = 0;
    std::vector<ExpectedReading> readings;
    std::vector<std::string> refusals;  // codes, in order of arrival
    bool operator==(const Recording&) const = default;
};

struct Profile {
    std::string id;     // as the file is named: lower-case letters, digits, underscores
    std::string title;  // the structure in words, never a maker
    LineSettings line;
    Framing framing;
    int frame_silence_ms = 0;  // pending bytes that stay alone for longer are half a frame
    std::optional<Checksum> checksum;
    std::vector<PatternField> pattern;
    std::vector<Notice> notices;
    UnitPolicy unit_policy = UnitPolicy::fixed_mm;
    LengthUnit expected = LengthUnit::mm;  // any other unit is refused; a caller may set it for as_sent
    std::optional<UnitForm> mm;            // there when the gauge can send that unit
    std::optional<UnitForm> inch;
    bool negative_possible = false;
    Trigger trigger;
    std::vector<Recording> recordings;
    bool operator==(const Profile&) const = default;

    const std::optional<UnitForm>& form(LengthUnit unit) const { return unit == LengthUnit::mm ? mm : inch; }
    // The bytes that ask for a reading; empty when the gauge sends of itself.
    std::string_view request() const;
    // The stillness rule, where the gauge streams (continuous, or polled at an interval).
    const Stillness* stillness() const;
    // 0 where the gauge streams.
    int min_gap_ms() const;
    // No frame is longer, terminator and all.
    std::size_t longest_frame() const;
};

// Reads a profile's text. The key set is closed: an unknown key is an error with its line (profile.unknown_key), and
// so is a missing key, a wrong type or a value out of range (profile.missing_key, profile.bad_value), a pattern that
// cannot be decoded without guessing (profile.pattern), text that is no TOML (profile.syntax). Details: line, key,
// found, expected.
Result<Profile> parse_profile(std::string_view toml_text);

}  // namespace crimpgate

// One frame's bytes to a value, or to the reason why they are none (R8). Pure; knows nothing of time.
//
// Every fixed byte is checked before any digit is trusted. Nothing is guessed: no unit, sign, mark or digit is ever
// supplied for a frame that does not carry it as its profile says.
#pragma once

#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "drivers/reading.h"

namespace crimpgate {

struct FrameValue {
    Length value;
    LengthUnit unit = LengthUnit::mm;
    Length resolution;
    bool operator==(const FrameValue&) const = default;
};

// `frame` is a whole frame as the framer cut it, start and terminator included. Refusals: driver.malformed,
// driver.checksum, driver.low_battery, driver.over_range, driver.hold, driver.digits_missing, driver.unit_unexpected,
// driver.mark_unexpected, driver.places_unexpected,
// driver.sign_impossible, driver.off_resolution.
Result<FrameValue> parse_frame(std::string_view frame, const Profile& profile);

// Whether the bytes have the frame's build (framing, checksum, and a pattern that fits), whatever they say.
bool is_well_formed(std::string_view frame, const Profile& profile);

// The checksum's bytes as the profile writes them, over frame[first..]; `frame` ends where the checksum begins.
std::string checksum_text(std::string_view frame, const Checksum& checksum);

// Bytes for a person: printable ASCII as it is, <CR>, <LF>, and <0x..> for the rest.
std::string readable_bytes(std::string_view bytes);

}  // namespace crimpgate

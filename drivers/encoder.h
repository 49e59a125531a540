// The bytes that a profile's gauge would send for a value: the inverse of the frame parser, for the simulated caliper
// and for tests. Pure.
#pragma once

#include <string>

#include "drivers/profile.h"

namespace crimpgate {

struct EncodeFlags {
    GaugeFlag flag = GaugeFlag::ok;
    bool wrong_checksum = false;  // to misbehave on purpose
    bool blank_digits = false;
    bool operator==(const EncodeFlags&) const = default;
};

// Refusals: driver.encode_unit (this gauge cannot send it), driver.encode_step (no multiple of its resolution),
// driver.encode_range (too many digits), driver.encode_sign (no negative possible), driver.encode_flag (it has no
// such flag, or no checksum to get wrong).
Result<std::string> encode_reading(const Profile& profile, Length value, LengthUnit unit, EncodeFlags flags = {});

}  // namespace crimpgate

// Points in time as the record writes them: UTC, "2025-03-04T05:06:07.089Z", always 24 characters, sorts as text
// (a profile of RFC 3339). Milliseconds since 1970-01-01T00:00:00Z without leap seconds, as computers count them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// Years 0000 to 9999; beyond them the text has no room.
inline constexpr std::int64_t utc_ms_min = -62'167'219'200'000;
inline constexpr std::int64_t utc_ms_max = 253'402'300'799'999;

// Throws std::out_of_range outside utc_ms_min to utc_ms_max.
std::string utc_text(std::int64_t utc_ms);

// Reads exactly that form and no other: upper-case T and Z, three fraction digits, a day that exists, no leap second.
Result<std::int64_t> parse_utc_text(std::string_view text);

}  // namespace crimpgate

// The shop's day: dates in an IANA time zone. Entries are UTC; days and shifts follow the shop's wall clock.
//
// g++ 12 has no time zone data base; Howard Hinnant's date library (Debian) reads the system's.
#pragma once

#include <cstdint>
#include <string>

#include "specs/dates.h"
#include "specs/message.h"

namespace crimpgate {

// "2026-11-25" of that instant in that zone. The zone must have been checked.
std::string local_date(std::int64_t utc_ms, const std::string& zone);

// "2026-11-25 08:12:03" of that instant in that zone. The zone must have been checked.
std::string local_time_text(std::int64_t utc_ms, const std::string& zone);

// The first instant of that day in that zone (where the clock is put forward at midnight: after that), as UTC
// milliseconds. The zone must have been checked.
std::int64_t day_begins_ms(Date day, const std::string& zone);

// "time.unknown_zone" when the system does not know it.
Result<void> check_time_zone(const std::string& zone);

}  // namespace crimpgate

// JSON as the record keeps it: the canonical bytes of RFC 8785 in a narrow profile, and a reader that is as strict.
//
// The profile: objects, arrays, strings, booleans, and integers of at most 2^53 - 1 either way. No null, no fractions,
// no exponents, so that the bytes can be made again by any program in any year without a word about floating point.
// Lengths are whole nanometres, pressures whole kilopascals, times milliseconds (R4).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include <boost/json/value.hpp>

#include "specs/message.h"

namespace crimpgate {

// The largest integer that every JSON reader keeps exactly: 2^53 - 1 (RFC 8259 section 6, RFC 7493 section 2.2).
inline constexpr std::int64_t json_integer_limit = 9'007'199'254'740'991;

// The one spelling of a value: no blanks, members sorted by the UTF-16 code units of their names, shortest escapes.
// Throws std::logic_error on what the profile does not hold (null, a double, a larger integer, text that is not
// UTF-8): whoever made the value made a mistake.
std::string canonical(const boost::json::value& value);
std::string canonical(const boost::json::object& object);

// Reads one JSON text of the profile. Refused, each by name and with the byte where it was noticed: malformed text
// (invalid UTF-8, lone surrogates, control characters and anything after the value included), a name that stands twice
// in one object, null, a number that is not an integer or is too large, nesting deeper than 32.
Result<boost::json::value> parse_strict(std::string_view text);

// The same, and the value must be an object.
Result<boost::json::object> parse_strict_object(std::string_view text);

// Well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF).
bool is_utf8(std::string_view text);

// Whether name a sorts before name b by UTF-16 code units (RFC 8785 section 3.2.3). Both well-formed UTF-8.
bool before_in_utf16(std::string_view a, std::string_view b);

}  // namespace crimpgate

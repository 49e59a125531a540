// The one-time code with which the first person is added at a station that knows nobody yet.
//
// Whoever can read the terminal in which the station was started sets it up, and nobody who merely reaches its port:
// there is no first password that every station shares. Ten characters of Crockford's base 32 are 50 bits; wrong tries
// are slowed down like sign-ins (sign_in_waits.h).
#pragma once

#include <string>
#include <string_view>

namespace crimpgate {

// "K7Q2M-0ZR4T", from the system's random numbers.
std::string make_first_code();

// As a person copies it: small letters, blanks and strokes do not matter, O is read as 0, I and L as 1. Takes as long
// for a code that is wrong at its beginning as for one that is wrong at its end.
bool is_first_code(std::string_view code, std::string_view typed);

}  // namespace crimpgate

// Bytes as text for the code on the tag: both alphabets stay inside the alphanumeric set of QR codes, which costs
// 5.5 bits a character in place of 8.
//
// base45 is RFC 9285 (two bytes make three characters, a last single byte two). It holds blank, % and +: never put it
// into a link. base32 is RFC 4648 section 6 without padding, upper case, for links. Reading takes the one spelling that
// writing makes and gives nothing for all else (RFC 9285 section 6 asks for that).
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace crimpgate {

std::string to_base45(std::string_view bytes);
std::optional<std::string> from_base45(std::string_view text);

std::string to_base32(std::string_view bytes);
std::optional<std::string> from_base32(std::string_view text);

}  // namespace crimpgate

// The token of a customer's link: whoever has it sees what the link shows, so it is made of chance alone and kept
// nowhere. 26 characters of Crockford's base 32 are 130 bits from libsodium; the record holds their SHA-256.
#pragma once

#include <string>
#include <string_view>

namespace crimpgate {

std::string make_link_token();

// As typed: small letters, O for 0, I and L for 1 and hyphens are put right. Anything else stays as it is.
std::string tidied_link_token(std::string_view text);

// Of the tidied text, in hex: takes the same time for every text of that length, so a look-up by it tells nobody how
// near a guess was.
std::string link_token_hash(std::string_view text);

// Where a customer reaches it: `base` is [record] link, "https://tags.shop.example".
std::string link_address(std::string_view base, std::string_view token);

}  // namespace crimpgate

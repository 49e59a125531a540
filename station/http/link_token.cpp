#include "station/http/link_token.h"

#include <sodium.h>

#include <array>
#include <stdexcept>

#include "station/people/pins.h"

namespace crimpgate {

namespace {
constexpr std::string_view crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr std::size_t characters = 26;
constexpr std::size_t longest = 64;  // what is longer is no token, and is not worked through
}  // namespace

std::string make_link_token() {
    if (sodium_init() < 0) throw std::runtime_error("libsodium does not start");
    std::array<unsigned char, characters> random{};
    randombytes_buf(random.data(), random.size());
    std::string out;
    for (const auto byte : random)
        out += crockford[byte & 31U];  // 256 is a whole number of times 32: every character is as likely
    return out;
}

std::string tidied_link_token(std::string_view text) {
    std::string out;
    for (char c : text.substr(0, longest)) {
        if (c == '-') continue;
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
        if (c == 'O') c = '0';
        if (c == 'I' || c == 'L') c = '1';
        out += c;
    }
    return out;
}

std::string link_address(std::string_view base, std::string_view token) {
    while (base.ends_with('/'))
        base.remove_suffix(1);
    return std::string(base) + "/t/" + std::string(token);
}

std::string link_token_hash(std::string_view text) {
    return sha256_hex(tidied_link_token(text));
}

}  // namespace crimpgate

#include "station/people/first_code.h"

#include <sodium.h>

#include <stdexcept>

namespace crimpgate {
namespace {

constexpr std::string_view alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr std::size_t group = 5;

std::string plain(std::string_view typed) {
    std::string out;
    for (char c : typed) {
        if (c == '-' || c == ' ') continue;
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
        if (c == 'O') c = '0';
        if (c == 'I' || c == 'L') c = '1';
        out += c;
    }
    return out;
}

}  // namespace

std::string make_first_code() {
    if (sodium_init() < 0) throw std::runtime_error("libsodium does not start");
    std::string code;
    for (std::size_t i = 0; i < 2 * group; ++i) {
        if (i == group) code += '-';
        code += alphabet[randombytes_uniform(static_cast<std::uint32_t>(alphabet.size()))];
    }
    return code;
}

bool is_first_code(std::string_view code, std::string_view typed) {
    const std::string right = plain(code), found = plain(typed);
    return !right.empty() && right.size() == found.size() &&
           sodium_memcmp(right.data(), found.data(), right.size()) == 0;
}

}  // namespace crimpgate

#include "station/http/tag_door.h"

#include <algorithm>

#include "station/proof/base45.h"
#include "station/proof/tag_statement.h"

namespace crimpgate {
namespace {

// Of base32 at five bits a character. The least: nine members of one byte but the key's five, and the signature. The
// most: three texts of 66 bytes, four numbers of nine.
constexpr std::size_t least_bytes = 1 + 8 + 5 + 64, most_bytes = 1 + 1 + 5 + 3 * 66 + 4 * 9 + 64;
constexpr std::size_t shortest = least_bytes * 8 / 5, longest = most_bytes * 8 / 5 + 1;

char capital(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}

}  // namespace

bool looks_like_tag_text(std::string_view text) {
    return text.size() >= shortest && text.size() <= longest && std::all_of(text.begin(), text.end(), [](char c) {
               return (capital(c) >= 'A' && capital(c) <= 'Z') || (c >= '2' && c <= '7');
           });
}

std::optional<std::string> serial_of_tag(std::string_view text, const std::vector<StationKey>& keys) {
    if (!looks_like_tag_text(text)) return std::nullopt;
    std::string capitals(text);
    std::transform(capitals.begin(), capitals.end(), capitals.begin(), capital);
    const auto bytes = from_base32(capitals);
    if (!bytes) return std::nullopt;
    for (const auto& known : keys) {
        const auto raw = from_base64(known.tag_key);
        const auto key = raw ? as_array<32>(*raw) : std::nullopt;
        if (!key) continue;
        if (auto statement = verify_tag(*bytes, known.name, *key)) return std::move(statement->serial);
    }
    return std::nullopt;
}

}  // namespace crimpgate

// Hashes of the record's tree, and how they are written.
//
// SHA-256 with the domain separation of RFC 9162 section 2.1.1 (the same as RFC 6962 section 2.1): a leaf is
// SHA-256(00 || bytes), an inner node SHA-256(01 || left || right), the tree of nothing SHA-256 of nothing. The first
// byte keeps a leaf from ever being taken for a node. Base64 is RFC 4648 section 4, with padding, and only in its one
// canonical spelling: a signed note has one form, or two texts would carry one signature. Pure; nothing here fails.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace crimpgate {

using Hash = std::array<unsigned char, 32>;

Hash sha256(std::string_view bytes);
Hash leaf_hash(std::string_view bytes);
Hash node_hash(const Hash& left, const Hash& right);
Hash empty_tree_hash();

// The bytes of a hash, a key or a signature as text of that many bytes, and back (nothing when the length is another).
template <std::size_t N>
std::string_view as_text(const std::array<unsigned char, N>& bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), N};
}
template <std::size_t N>
std::optional<std::array<unsigned char, N>> as_array(std::string_view bytes) {
    if (bytes.size() != N) return std::nullopt;
    std::array<unsigned char, N> out{};
    for (std::size_t i = 0; i < N; ++i)
        out[i] = static_cast<unsigned char>(bytes[i]);
    return out;
}

// Lower-case hexadecimal; reading takes lower case only.
std::string to_hex(std::string_view bytes);
std::string to_hex(const Hash& hash);
std::optional<std::string> from_hex(std::string_view text);

std::string to_base64(std::string_view bytes);
std::string to_base64(const Hash& hash);
// Nothing unless it is exactly what to_base64 would have written: no line ends, no missing padding, no stray last bits.
std::optional<std::string> from_base64(std::string_view text);
std::optional<Hash> hash_from_base64(std::string_view text);

}  // namespace crimpgate

#include "station/proof/base45.h"

#include <cstdint>

namespace crimpgate {
namespace {

constexpr std::string_view digits_45 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
constexpr std::string_view digits_32 = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

}  // namespace

std::string to_base45(std::string_view bytes) {
    std::string text;
    for (std::size_t i = 0; i < bytes.size(); i += 2) {
        unsigned value = static_cast<unsigned char>(bytes[i]);
        const bool pair = i + 1 < bytes.size();
        if (pair) value = value * 256 + static_cast<unsigned char>(bytes[i + 1]);
        for (int n = 0; n < (pair ? 3 : 2); ++n) {  // the lowest digit first
            text += digits_45[value % 45];
            value /= 45;
        }
    }
    return text;
}

std::optional<std::string> from_base45(std::string_view text) {
    if (text.size() % 3 == 1) return std::nullopt;
    std::string bytes;
    for (std::size_t i = 0; i < text.size(); i += 3) {
        const std::string_view group = text.substr(i, 3);
        unsigned value = 0;
        for (auto c = group.rbegin(); c != group.rend(); ++c) {
            const auto digit = digits_45.find(*c);
            if (digit == std::string_view::npos) return std::nullopt;
            value = value * 45 + static_cast<unsigned>(digit);
        }
        if (value > (group.size() == 3 ? 0xFFFFU : 0xFFU)) return std::nullopt;
        if (group.size() == 3) bytes += static_cast<char>(value >> 8);
        bytes += static_cast<char>(value & 0xFF);
    }
    return bytes;
}

std::string to_base32(std::string_view bytes) {
    std::string text;
    std::uint32_t held = 0;
    int bits = 0;
    for (const char c : bytes) {
        held = held << 8 | static_cast<unsigned char>(c);
        for (bits += 8; bits >= 5; bits -= 5)
            text += digits_32[held >> (bits - 5) & 31];
        held &= (1U << bits) - 1;
    }
    if (bits > 0) text += digits_32[held << (5 - bits) & 31];
    return text;
}

std::optional<std::string> from_base32(std::string_view text) {
    std::string bytes;
    std::uint32_t held = 0;
    int bits = 0;
    for (const char c : text) {
        const auto digit = digits_32.find(c);
        if (digit == std::string_view::npos) return std::nullopt;
        held = held << 5 | static_cast<std::uint32_t>(digit);
        bits += 5;
        if (bits < 8) continue;
        bits -= 8;
        bytes += static_cast<char>(held >> bits);
        held &= (1U << bits) - 1;
    }
    if (held != 0 || bits >= 5) return std::nullopt;  // stray bits, or a character too many
    return bytes;
}

}  // namespace crimpgate

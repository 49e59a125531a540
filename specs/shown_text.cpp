#include "specs/shown_text.h"

namespace crimpgate {

namespace {

unsigned byte_at(std::string_view text, std::size_t i) {
    return static_cast<unsigned char>(text[i]);
}

bool continues(std::string_view text, std::size_t i) {
    return i < text.size() && (byte_at(text, i) & 0xC0U) == 0x80U;
}

}  // namespace

std::size_t utf8_character(std::string_view text) {
    if (text.empty()) return 0;
    const unsigned first = byte_at(text, 0);
    if (first < 0x80) return 1;
    if (first < 0xC2 || first > 0xF4) return 0;  // continuation bytes, overlong two-byte forms, beyond U+10FFFF
    if (!continues(text, 1)) return 0;
    const unsigned second = byte_at(text, 1);
    if (first < 0xE0) return 2;
    if (!continues(text, 2)) return 0;
    if (first < 0xF0) {
        if (first == 0xE0 && second < 0xA0) return 0;   // overlong
        if (first == 0xED && second >= 0xA0) return 0;  // surrogates
        return 3;
    }
    if (!continues(text, 3)) return 0;
    if (first == 0xF0 && second < 0x90) return 0;   // overlong
    if (first == 0xF4 && second >= 0x90) return 0;  // beyond U+10FFFF
    return 4;
}

bool is_control(std::string_view character) {
    if (character.empty()) return false;
    const unsigned first = byte_at(character, 0);
    if (first < 0x20 || first == 0x7F) return true;
    return character.size() == 2 && first == 0xC2 && byte_at(character, 1) < 0xA0;
}

bool is_invisible(std::string_view character) {
    if (character == "\xC2\xAD" || character == "\xEF\xBB\xBF") return true;
    if (character.size() != 3 || character[0] != '\xE2') return false;
    const unsigned second = byte_at(character, 1);
    const unsigned third = byte_at(character, 2);
    if (second == 0x80) return (third >= 0x8B && third <= 0x8F) || (third >= 0xA8 && third <= 0xAE);
    return second == 0x81 && third >= 0xA0 && third <= 0xAF;
}

std::string shown_text(std::string_view text, std::size_t longest) {
    static constexpr char hex[] = "0123456789abcdef";
    std::string out;
    for (std::size_t count = 0; !text.empty(); ++count) {
        if (count == longest) return out + "...";
        const std::size_t size = utf8_character(text);
        const std::string_view one = text.substr(0, size == 0 ? 1 : size);
        if (size == 0 || is_control(one) || is_invisible(one)) {
            for (std::size_t i = 0; i < one.size(); ++i) {
                out += "\\x";
                out += hex[byte_at(one, i) >> 4U];
                out += hex[byte_at(one, i) & 0xFU];
            }
        } else {
            out += one;
        }
        text.remove_prefix(one.size());
    }
    return out;
}

}  // namespace crimpgate

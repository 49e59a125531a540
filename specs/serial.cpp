#include "specs/serial.h"

#include <algorithm>
#include <utility>

namespace crimpgate {

namespace {

constexpr std::string_view crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr std::string_view base36 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::size_t body_size = 6;
constexpr std::size_t longest_prefix = 3;

bool is_crockford(char c) {
    return crockford.find(c) != std::string_view::npos;
}

bool is_prefix(std::string_view text) {
    if (text.empty() || text.size() > longest_prefix) return false;
    for (const char c : text)
        if (!is_crockford(c)) return false;
    return true;
}

// What a person meant: Crockford's aliases.
char meant(char c) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    if (c == 'O') return '0';
    if (c == 'I' || c == 'L') return '1';
    return c;
}

}  // namespace

std::optional<char> iso7064_mod37_36(std::string_view body) {
    std::size_t p = 36;
    for (const char c : body) {
        const auto value = base36.find(c);
        if (value == std::string_view::npos) return std::nullopt;
        p = (p + value) % 36;
        if (p == 0) p = 36;
        p = p * 2 % 37;
    }
    return base36[(37 - p) % 36];
}

std::optional<Serial> Serial::nth(std::string_view prefix, std::int64_t counter) {
    if (!is_prefix(prefix) || counter < 0 || counter >= counters) return std::nullopt;
    std::string text(prefix);
    for (int shift = 25; shift >= 0; shift -= 5)
        text += crockford[static_cast<std::size_t>((counter >> shift) & 31)];
    const auto check = iso7064_mod37_36(text);
    if (!check || !is_crockford(*check)) return std::nullopt;
    return Serial(text + *check);
}

Result<Serial> Serial::parse(std::string_view typed) {
    std::string text;
    for (const char c : typed) {
        if (c == ' ' || c == '-') continue;
        const char m = meant(c);
        if (!is_crockford(m)) return refuse(message("serial.character").with("found", typed));
        text += m;
    }
    if (text.size() < 1 + body_size + 1 || text.size() > longest_prefix + body_size + 1)
        return refuse(message("serial.length").with("found", typed));
    if (iso7064_mod37_36(std::string_view(text).substr(0, text.size() - 1)) != text.back())
        return refuse(message("serial.check").with("found", typed));
    return Serial(std::move(text));
}

std::int64_t Serial::counter() const {
    std::int64_t value = 0;
    for (const char c : std::string_view(text_).substr(text_.size() - 1 - body_size, body_size))
        value = value * 32 + static_cast<std::int64_t>(crockford.find(c));
    return value;
}

Result<void> check_serial_prefix(std::string_view prefix) {
    if (!is_prefix(prefix)) return refuse(message("serial.prefix").with("found", prefix));
    return {};
}

Result<NextSerial> next_serial(std::string_view prefix, std::int64_t last_counter) {
    if (const auto good = check_serial_prefix(prefix); !good) return refuse(good.error());
    for (auto counter = std::clamp<std::int64_t>(last_counter, -1, Serial::counters) + 1; counter < Serial::counters;
         ++counter)
        if (auto serial = Serial::nth(prefix, counter)) return NextSerial{std::move(*serial), counter};
    return refuse(message("serial.used_up").with("prefix", prefix));
}

}  // namespace crimpgate

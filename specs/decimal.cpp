#include "specs/decimal.h"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

// Wide enough for every product here: 2^63 x 10^18 < 2^127.
using Wide = __int128;

constexpr int most_places = 18;
constexpr int most_places_shown = 9;

Wide power_of_ten(int places) {
    Wide power = 1;
    for (int i = 0; i < places; ++i)
        power *= 10;
    return power;
}

tl::unexpected<Message> refuse_text(Message why, std::string_view text) {
    return refuse(std::move(why.with("text", shown_text(text))));
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool is_sign(char c) {
    return c == '+' || c == '-';
}

// Names what is wrong with text at a character that is neither digit nor the expected mark.
Message strange_character(std::string_view rest, DecimalMark mark, bool digits_before) {
    const char c = rest.front();
    if (c == '.' || c == ',') {
        const bool expected = (c == '.') == (mark == DecimalMark::dot);
        if (expected) return message("decimal.two_marks");
        return message("decimal.wrong_mark").with("expected", mark == DecimalMark::dot ? "." : ",");
    }
    if (is_sign(c)) return digits_before ? message("decimal.sign_inside") : message("decimal.two_signs");
    if ((c == 'e' || c == 'E') && digits_before) return message("decimal.exponent");
    const std::size_t size = std::max<std::size_t>(utf8_character(rest), 1);
    return message("decimal.strange_character").with("character", shown_text(rest.substr(0, size)));
}

}  // namespace

Result<Decimal> parse_decimal(std::string_view text, DecimalMark mark) {
    if (text.empty()) return refuse(message("decimal.empty"));
    const char mark_character = mark == DecimalMark::dot ? '.' : ',';
    const bool negative = text.front() == '-';
    std::string_view rest = text;
    if (is_sign(rest.front())) rest.remove_prefix(1);

    // Collected as a negative number, whose range is one larger: the smallest 64-bit value can be read as well.
    std::int64_t digits = 0;
    int places = 0;
    bool marked = false;
    bool any = false;
    for (; !rest.empty(); rest.remove_prefix(1)) {
        const char c = rest.front();
        if (c == mark_character && !marked) {
            if (!any) return refuse_text(message("decimal.no_digit_before_mark"), text);
            marked = true;
            continue;
        }
        if (!is_digit(c)) return refuse_text(strange_character(rest, mark, any), text);
        any = true;
        if (marked && ++places > most_places) return refuse_text(message("decimal.too_many_digits"), text);
        if (__builtin_mul_overflow(digits, std::int64_t{10}, &digits) ||
            __builtin_sub_overflow(digits, static_cast<std::int64_t>(c - '0'), &digits))
            return refuse_text(message("decimal.too_many_digits"), text);
    }
    if (!any) return refuse_text(message("decimal.no_digits"), text);
    if (marked && places == 0) return refuse_text(message("decimal.no_digit_after_mark"), text);
    if (!negative && digits == std::numeric_limits<std::int64_t>::min())
        return refuse_text(message("decimal.too_many_digits"), text);
    return Decimal{negative ? digits : -digits, places};
}

Result<std::int64_t> scale_exactly(Decimal d, std::int64_t numerator) {
    if (numerator <= 0 || d.places < 0 || d.places > most_places)
        throw std::logic_error("scale_exactly: out of contract");
    const Wide product = static_cast<Wide>(d.digits) * numerator;
    const Wide power = power_of_ten(d.places);
    if (product % power != 0) return refuse(message("decimal.not_whole"));
    const Wide whole = product / power;
    if (whole > std::numeric_limits<std::int64_t>::max() || whole < std::numeric_limits<std::int64_t>::min())
        return refuse(message("decimal.too_large"));
    return static_cast<std::int64_t>(whole);
}

std::string to_decimal_text(std::int64_t value, std::int64_t unit, int places, DecimalMark mark) {
    if (unit <= 0 || places < 0 || places > most_places_shown)
        throw std::logic_error("to_decimal_text: out of contract");
    const bool negative = value < 0;
    const Wide scaled = (negative ? -static_cast<Wide>(value) : static_cast<Wide>(value)) * power_of_ten(places);
    Wide quotient = scaled / unit;
    const Wide twice = 2 * (scaled % unit);
    if (twice > unit || (twice == unit && quotient % 2 != 0)) ++quotient;  // half to even
    const bool zero = quotient == 0;

    std::string text;  // built from its last digit to its first
    for (int i = 0; i < places; ++i, quotient /= 10)
        text += static_cast<char>('0' + static_cast<int>(quotient % 10));
    if (places > 0) text += mark == DecimalMark::dot ? '.' : ',';
    do {
        text += static_cast<char>('0' + static_cast<int>(quotient % 10));
        quotient /= 10;
    } while (quotient != 0);
    if (negative && !zero) text += '-';  // what rounds to nothing has no sign
    std::reverse(text.begin(), text.end());
    return text;
}

}  // namespace crimpgate

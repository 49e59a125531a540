// Decimal text and exact decimal numbers: no floating point, no locale.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// Which character parts the whole from the fraction. Files of ours always use the dot; a gauge's profile may say comma.
// The other character is always refused, so "1,234" can never be taken for 1.234 or for 1234.
enum class DecimalMark { dot, comma };

// digits / 10^places, exactly as written: "12.50" is {1250, 2}.
struct Decimal {
    std::int64_t digits = 0;
    int places = 0;  // 0 to 18
    bool operator==(const Decimal&) const = default;
};

// Reads an optional sign, digits, and at most one decimal mark with at least one digit on either side of it.
// Refused, each by name: empty text, no digits, two signs, an exponent, the wrong mark, any other character
// (blanks included), more digits than fit in 64 bits.
Result<Decimal> parse_decimal(std::string_view text, DecimalMark mark = DecimalMark::dot);

// d * numerator as a whole number, or a refusal when it is not whole ("decimal.not_whole") or does not fit
// ("decimal.too_large"). numerator > 0.
Result<std::int64_t> scale_exactly(Decimal d, std::int64_t numerator);

// value / unit with a fixed number of places (0 to 9), rounded half to even; for show only. unit > 0.
std::string to_decimal_text(std::int64_t value, std::int64_t unit, int places, DecimalMark mark = DecimalMark::dot);

}  // namespace crimpgate

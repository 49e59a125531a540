#include "specs/length.h"

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

constexpr std::int64_t largest_nm = 9'000'000'000'000'000'000;  // 9 000 000 km

std::int64_t nm_per(LengthUnit unit) {
    return unit == LengthUnit::mm ? Length::nm_per_mm : Length::nm_per_inch;
}

std::string_view name_of(LengthUnit unit) {
    return unit == LengthUnit::mm ? "mm" : "in";
}

}  // namespace

Result<Length> Length::parse(std::string_view text, LengthUnit unit, DecimalMark mark) {
    const auto number = parse_decimal(text, mark);
    if (!number) return refuse(number.error());
    const auto nm = scale_exactly(*number, nm_per(unit));
    if (!nm && nm.error().code == "decimal.not_whole")
        return refuse(message("length.too_fine").with("text", shown_text(text)).with("unit", name_of(unit)));
    if (!nm || *nm > largest_nm || *nm < -largest_nm)
        return refuse(message("length.too_large").with("text", shown_text(text)).with("unit", name_of(unit)));
    return Length::from_nm(*nm);
}

Result<Length> Length::parse_mm(std::string_view text, DecimalMark mark) {
    return parse(text, LengthUnit::mm, mark);
}

Result<Length> Length::parse_inch(std::string_view text, DecimalMark mark) {
    return parse(text, LengthUnit::inch, mark);
}

std::string Length::to_mm_text(int places, DecimalMark mark) const {
    return to_decimal_text(nm_, nm_per_mm, places, mark);
}

std::string Length::to_inch_text(int places, DecimalMark mark) const {
    return to_decimal_text(nm_, nm_per_inch, places, mark);
}

}  // namespace crimpgate

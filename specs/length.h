// Lengths as whole nanometres: 0.01 mm, 0.0005 in and 0.00001 in are all exact.
//
// 1 in = 25.4 mm exactly (international yard and pound agreement of 1959; ISO 31-1 / NIST SP 811 app. B.8), so
// 1 in = 25 400 000 nm. Why not floating point: DEVELOPERS.md, "Numbers".
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "specs/decimal.h"

namespace crimpgate {

enum class LengthUnit { mm, inch };

class Length {
  public:
    static constexpr std::int64_t nm_per_um = 1'000;
    static constexpr std::int64_t nm_per_mm = 1'000'000;
    static constexpr std::int64_t nm_per_inch = 25'400'000;

    constexpr Length() = default;
    static constexpr Length from_nm(std::int64_t nm) { return Length(nm); }
    static constexpr Length from_um(std::int64_t um) { return Length(um * nm_per_um); }

    // Exact or refused: text that is not a whole number of nanometres, or beyond +-9 000 000 km, is an error.
    static Result<Length> parse(std::string_view text, LengthUnit unit, DecimalMark mark = DecimalMark::dot);
    static Result<Length> parse_mm(std::string_view text, DecimalMark mark = DecimalMark::dot);
    static Result<Length> parse_inch(std::string_view text, DecimalMark mark = DecimalMark::dot);

    constexpr std::int64_t nm() const { return nm_; }
    // Rounded half to even to that many places; for show only, never to judge.
    std::string to_mm_text(int places, DecimalMark mark = DecimalMark::dot) const;
    std::string to_inch_text(int places, DecimalMark mark = DecimalMark::dot) const;

    constexpr auto operator<=>(const Length&) const = default;
    friend constexpr Length operator+(Length a, Length b) { return Length(a.nm_ + b.nm_); }
    friend constexpr Length operator-(Length a, Length b) { return Length(a.nm_ - b.nm_); }
    friend constexpr Length operator-(Length a) { return Length(-a.nm_); }
    friend constexpr Length operator*(Length a, std::int64_t n) { return Length(a.nm_ * n); }
    constexpr Length abs() const { return Length(nm_ < 0 ? -nm_ : nm_); }

  private:
    explicit constexpr Length(std::int64_t nm) : nm_(nm) {}
    std::int64_t nm_ = 0;
};

// A literal for limits in code and tests: 25.4_mm is not offered, since it would go through floating point; 25400_um
// is.
constexpr Length operator""_um(unsigned long long um) {
    return Length::from_um(static_cast<std::int64_t>(um));
}
constexpr Length operator""_nm(unsigned long long nm) {
    return Length::from_nm(static_cast<std::int64_t>(nm));
}

}  // namespace crimpgate

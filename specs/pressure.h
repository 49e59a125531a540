// Pressures as whole kilopascals: 1 bar = 100 kPa and 1 MPa = 1000 kPa, both exact.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "specs/decimal.h"

namespace crimpgate {

enum class PressureUnit { kpa, bar, mpa, psi };

class Pressure {
  public:
    constexpr Pressure() = default;
    static constexpr Pressure from_kpa(std::int64_t kpa) { return Pressure(kpa); }
    static constexpr Pressure from_bar(std::int64_t bar) { return Pressure(bar * 100); }

    constexpr std::int64_t kpa() const { return kpa_; }
    constexpr auto operator<=>(const Pressure&) const = default;

    // For show, half to even; psi is 1 lbf/in2 = 6.894 757 293 168 361 kPa (from 0.453 592 37 kg, 9.806 65 m/s2, 25.4
    // mm).
    std::string to_bar_text(int places, DecimalMark mark = DecimalMark::dot) const;
    std::string to_mpa_text(int places, DecimalMark mark = DecimalMark::dot) const;
    std::string to_psi_text() const;  // whole psi, rounded down: a rating is never shown higher than it is

  private:
    explicit constexpr Pressure(std::int64_t kpa) : kpa_(kpa) {}
    std::int64_t kpa_ = 0;
};

// A rating and the text that it came with. Exact from kPa, bar and MPa (refused when not a whole kPa); from psi rounded
// DOWN to a whole kPa, never up, because a rating that grows by conversion is a rating nobody gave.
struct Rating {
    Pressure pressure;
    std::string as_given;  // "4000 psi"
    bool operator==(const Rating&) const = default;

    static Result<Rating> parse(std::string_view number, PressureUnit unit);
};

}  // namespace crimpgate

#include "specs/pressure.h"

#include <limits>

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

using Wide = __int128;

// 1 psi = 0.453 592 37 kg x 9.806 65 m/s2 / (0.0254 m)2 (international pound and inch of 1959, standard gravity of the
// 3rd CGPM 1901; NIST SP 811 app. B.8) = 44 482 216 152 605 / 6 451 600 000 000 kPa, here divided through by 5.
constexpr std::int64_t psi_over = 8'896'443'230'521;
constexpr std::int64_t psi_under = 1'290'320'000'000;

Wide floor_divide(Wide a, Wide b) {
    return a / b - (a % b < 0 ? 1 : 0);
}  // b > 0

std::string_view name_of(PressureUnit unit) {
    switch (unit) {
        case PressureUnit::kpa:
            return "kPa";
        case PressureUnit::bar:
            return "bar";
        case PressureUnit::mpa:
            return "MPa";
        case PressureUnit::psi:
            break;
    }
    return "psi";
}

// Whole kPa, or which refusal.
Result<std::int64_t> to_kpa(Decimal number, PressureUnit unit) {
    switch (unit) {
        case PressureUnit::kpa:
            return scale_exactly(number, 1);
        case PressureUnit::bar:
            return scale_exactly(number, 100);
        case PressureUnit::mpa:
            return scale_exactly(number, 1000);
        case PressureUnit::psi:
            break;
    }
    Wide under = psi_under;
    for (int i = 0; i < number.places; ++i)
        under *= 10;  // at most 1.3e30
    const Wide whole = floor_divide(static_cast<Wide>(number.digits) * psi_over, under);
    if (whole > std::numeric_limits<std::int64_t>::max() || whole < std::numeric_limits<std::int64_t>::min())
        return refuse(message("decimal.too_large"));
    return static_cast<std::int64_t>(whole);
}

}  // namespace

std::string Pressure::to_bar_text(int places, DecimalMark mark) const {
    return to_decimal_text(kpa_, 100, places, mark);
}

std::string Pressure::to_mpa_text(int places, DecimalMark mark) const {
    return to_decimal_text(kpa_, 1000, places, mark);
}

std::string Pressure::to_psi_text() const {
    const Wide psi = floor_divide(static_cast<Wide>(kpa_) * psi_under, psi_over);  // smaller than kPa: fits again
    return std::to_string(static_cast<std::int64_t>(psi));
}

Result<Rating> Rating::parse(std::string_view text, PressureUnit unit) {
    const auto about = [&](Message why) {
        return refuse(std::move(why.with("text", shown_text(text)).with("unit", name_of(unit))));
    };
    const auto number = parse_decimal(text);
    if (!number) return refuse(number.error());
    const auto kpa = to_kpa(*number, unit);
    if (!kpa && kpa.error().code == "decimal.not_whole") return about(message("pressure.too_fine"));
    if (!kpa) return about(message("pressure.too_large"));
    if (*kpa <= 0) return about(message("pressure.not_positive"));
    return Rating{Pressure::from_kpa(*kpa), std::string(text) + " " + std::string(name_of(unit))};
}

}  // namespace crimpgate

#include "specs/assembly.h"

namespace crimpgate {

AssemblyRating working_pressure(const SpecRow& end_a, const SpecRow& end_b) {
    AssemblyRating lowest{end_a.hose.working_pressure, Component::hose};
    const auto consider = [&lowest](const Rating& rating, Component component) {
        if (rating.pressure < lowest.rating.pressure) lowest = {rating, component};
    };
    consider(end_b.hose.working_pressure, Component::hose);
    consider(end_a.fitting.working_pressure, Component::fitting_a);
    consider(end_b.fitting.working_pressure, Component::fitting_b);
    return lowest;
}

Result<Length> cut_length(Length overall, Length cut_off_a, Length cut_off_b) {
    const auto cut = overall - cut_off_a - cut_off_b;
    if (cut > Length{}) return cut;
    return refuse(message("assembly.too_short")
                      .with("overall", overall.to_mm_text(3))
                      .with("cut_off_a", cut_off_a.to_mm_text(3))
                      .with("cut_off_b", cut_off_b.to_mm_text(3)));
}

Result<Orientation> Orientation::make(std::int64_t degrees, OrientationRule rule, NearEnd near_end) {
    if (degrees < 0 || degrees > 360)
        return refuse(message("assembly.orientation").with("degrees", std::to_string(degrees)));
    return Orientation(degrees == 360 ? 0 : degrees, rule, near_end);
}

std::int64_t orientation_tolerance_degrees(Length overall) {
    constexpr auto short_up_to = Length::from_nm(24 * Length::nm_per_inch);
    return overall <= short_up_to ? 3 : 5;
}

}  // namespace crimpgate

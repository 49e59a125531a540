#include "specs/shown_length.h"

#include <algorithm>

namespace crimpgate {

namespace {

constexpr int most_places = 6;  // a nanometre in mm; enough for every inch gauge
constexpr int most_apart = 8;   // 10^-8 in is a quarter of a nanometre: there no two lengths look alike

__extension__ using Wide = __int128;

Wide per_unit(LengthUnit unit) {
    return unit == LengthUnit::mm ? Length::nm_per_mm : Length::nm_per_inch;
}

Wide times_ten_to(Length length, int places) {
    Wide out = length.nm();
    while (places-- > 0)
        out *= 10;
    return out;
}

bool whole(Length length, LengthUnit unit, int places) {
    return times_ten_to(length, places) % per_unit(unit) == 0;
}

// As many as hold it exactly; where none up to six do, `least`.
int places_for(Length length, LengthUnit unit, int least) {
    for (int places = least; places <= most_places; ++places)
        if (whole(length, unit, places)) return places;
    return least;
}

// The gauge's last reading at or before `limit`, counted in its steps; towards minus infinity.
std::int64_t steps_to(Length limit, Length step) {
    const auto steps = limit.nm() / step.nm();
    return limit.nm() < 0 && steps * step.nm() != limit.nm() ? steps - 1 : steps;
}

}  // namespace

int places_of(Length resolution, LengthUnit unit) {
    if (resolution <= Length{}) return unit == LengthUnit::inch ? 4 : 2;
    for (int places = 0; places <= most_places; ++places)
        if (whole(resolution, unit, places)) return places;
    int places = 0;
    while (places < most_places && times_ten_to(resolution, places) < per_unit(unit))
        ++places;
    return places;
}

std::string to_text(Length length, LengthUnit unit, int places) {
    return unit == LengthUnit::mm ? length.to_mm_text(places) : length.to_inch_text(places);
}

std::string shown_length(Length length, LengthUnit unit, Length resolution) {
    int places = places_for(length, unit, places_of(resolution, unit));
    if (resolution <= Length{} && !whole(length, unit, places)) places = most_places;
    return to_text(length, unit, places);
}

int places_apart(Length a, Length b, LengthUnit unit, int least) {
    if (a == b) return least;
    int places = least;
    while (places < most_apart && to_text(a, unit, places) == to_text(b, unit, places))
        ++places;
    return places;
}

ShownBand shown_band(Length lower, Length upper, LengthUnit unit, Length resolution, std::optional<Length> beside) {
    const int least = places_of(resolution, unit);
    int places = std::max(places_for(lower, unit, least), places_for(upper, unit, least));
    if (resolution > Length{}) {
        const auto under = -steps_to(-lower, resolution) - 1;
        const auto over = steps_to(upper, resolution) + 1;
        places = places_apart(lower, resolution * under, unit, places);
        places = places_apart(upper, resolution * over, unit, places);
    }
    if (beside) places = places_apart(upper, *beside, unit, places_apart(lower, *beside, unit, places));
    return {to_text(lower, unit, places), to_text(upper, unit, places), places};
}

}  // namespace crimpgate

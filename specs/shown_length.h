// Lengths as people read them: in the shop's unit, with the places of the gauge, by whole-number arithmetic only (R4).
//
// Millimetres always hold a length whole. Inches hold few of the lengths that a millimetre gauge or table gives, so
// there what is shown may be rounded. Why that judges nothing: the verdict came from the exact length before anything
// was written out, and rounding keeps the order: a value that lies inside its limit is never shown outside of it, as
// long as both are rounded in the same way to the same number of places. All that can go wrong is that a value outside
// looks the same as its limit; so a band, and whatever is shown beside one, takes as many places more as it needs to
// be told apart. The pages do the same (station/web/kit/lengths.js); both are tested with tests/data/shown_lengths.csv.
#pragma once

#include <optional>
#include <string>

#include "specs/length.h"

namespace crimpgate {

// Places that a gauge of that resolution shows: as many as hold it exactly (0.0005 in: 4), or where none up to six do,
// as many as just resolve it (0.01 mm is 0.000394 in: 4). Where nothing is known of a gauge: 2 in mm, 4 in inches.
int places_of(Length resolution, LengthUnit unit);

// Rounded half to even to that many places (0 to 9).
std::string to_text(Length length, LengthUnit unit, int places);

// With the gauge's places, more where it takes them to be exact; what six do not hold is rounded to the gauge's.
// Without a gauge (resolution zero) what inches do not hold has six.
std::string shown_length(Length length, LengthUnit unit, Length resolution);

// Places, `least` or more, with which two lengths that are not the same do not look the same.
int places_apart(Length a, Length b, LengthUnit unit, int least);

// Two limits and what is shown beside them, all with the same number of places, so that neither the first reading of
// that gauge beyond a limit nor `beside` looks like the limit when it is not.
struct ShownBand {
    std::string lower;
    std::string upper;
    int places = 0;
};
ShownBand shown_band(Length lower, Length upper, LengthUnit unit, Length resolution,
                     std::optional<Length> beside = std::nullopt);

}  // namespace crimpgate

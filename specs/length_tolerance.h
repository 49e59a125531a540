// How long an assembly may come out: SAE J517 and DIN 20066 (EN 853 table 3 is the same table).
//
// Exact. A share of the length is rounded down to a whole nanometre, towards the tighter band.
#pragma once

#include <cstdint>

#include "specs/band.h"

namespace crimpgate {

enum class LengthRule { din20066, sae_j517 };

// SAE J517, as reprinted by two public pages: up to 12 in +-1/8, over 12 to 18 +-3/16, over 18 to 36 +-1/4, over 36 in
// +-1 % of the length rounded to the nearest 1/8 in. A length that is exactly between two eighths takes the smaller
// (the table does not say; the tighter band is the safe reading).
// DIN 20066, asymmetric, from a quality sheet that quotes it: rows up to 630, 1250, 2500, 8000 mm and beyond, columns
// up to DN 25 (-16), DN 50 (-32) and DN 60 to 100 (-40 to -64). Refused: a length that is not positive
// ("length_tolerance.length"); under DIN 20066 a size without a column, and over DN 50 the lengths over 630 to 2500 mm,
// where the source could not be read with certainty
// ("length_tolerance.not_known").
Result<Toleranced> toleranced_length(Length overall, LengthRule rule, std::int64_t dash);

}  // namespace crimpgate

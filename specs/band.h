// A band: lower and upper limit, both inside it.
#pragma once

#include "specs/length.h"

namespace crimpgate {

struct Band {
    Length lower;
    Length upper;
    bool operator==(const Band&) const = default;

    constexpr bool holds(Length value) const { return lower <= value && value <= upper; }
    constexpr Length width() const { return upper - lower; }
    constexpr Length middle() const { return Length::from_nm(lower.nm() + (upper.nm() - lower.nm()) / 2); }
};

// A nominal size with its own tolerance to either side, both given as positive lengths.
struct Toleranced {
    Length nominal;
    Length minus;
    Length plus;
    bool operator==(const Toleranced&) const = default;

    constexpr Band band() const { return {nominal - minus, nominal + plus}; }
};

}  // namespace crimpgate

// What the demo's order of eight assemblies comes out like: a size for every place that is measured, and the mishaps.
//
// The parts, in the order in which their serials are given. Figures are the invented ones of specs/examples.
#pragma once

#include <cstdint>
#include <string>

#include "specs/length.h"

namespace crimpgate {

// One thing that the bench asks for.
struct Asked {
    std::int64_t part = 0;  // 1 = the first serial given; 0 is a set-up piece
    char end = 'a';
    std::string what;  // "depth", "crimp_diameter"
    std::int64_t flat = 0;
    std::int64_t attempt = 1;  // 2 after a re-crimp
    bool again = false;        // the first answer was uncertain
    Length middle;             // of the band asked for
};

enum class Mishap { none, wrong_unit, unplugged };

// The true size at that place of that part.
Length true_size(const Asked& asked);
// What goes wrong just before that reading, once.
Mishap mishap_before(const Asked& asked);

// What comes of it: this many parts are started so that eight pass, and these are not among them.
struct Expected {
    std::int64_t passed = 8;
    std::int64_t scrapped = 2;
    std::int64_t recrimped = 1;
};

}  // namespace crimpgate

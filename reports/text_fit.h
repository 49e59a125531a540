// Text fitted to a width: it shrinks a little, then wraps, and is never cut short.
//
// A name on a tag is evidence: an ellipsis would drop the very part that tells two customers apart. Lengths are
// millimetres; a size is the height of the em.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "reports/fonts.h"

namespace crimpgate {

// Room that a line takes as multiples of the size (DejaVu Sans: 0.928 above the base line, 0.236 below).
inline constexpr double ascent = 0.95;
inline constexpr double descent = 0.24;
inline constexpr double line_step = ascent + descent;

struct FittedText {
    double size = 0;
    Weight weight = Weight::regular;    // bold only if the whole text can be
    std::vector<std::u32string> lines;  // at least one
    double width = 0;                   // of the widest line

    double height() const { return static_cast<double>(lines.size()) * line_step * size; }
};

// One line at `size` if it fits, or at a size down to four fifths of it; else lines at that smaller size. Never below
// `smallest`. Breaks at blanks, after - / , ; and next to wide (CJK) characters, and inside a word only where the word
// alone is wider than the line; never between a letter and its combining accent. Every character is kept but the blanks
// at which a line ends.
FittedText fit_text(std::u32string_view text, Weight weight, double width, double size, double smallest,
                    const FontSet& fonts);

}  // namespace crimpgate

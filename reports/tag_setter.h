// Sets a tag at one given scale; tag_layout.cpp looks for the scale at which everything fits.
//
// All lengths are millimetres.
#pragma once

#include "reports/page_layout.h"
#include "reports/tag.h"

namespace crimpgate {

// What differs between the sizes of label: sizes of text and codes, and the room between them.
struct TagPlan {
    double margin = 0, gap = 0;
    double shop = 0, serial = 0, bars = 0, qr = 0;
    double pressure = 0, pressure_side = 0;
    double strip = 0;                // CONCESSION and its like
    double caution = 0, signal = 0;  // the text of the caution, and its signal word
    double value = 0, label = 0;     // of the rows, at scale 1
    double largest_scale = 0;
};

// tightness 0: as it should be. 1: serial, pressure and codes have given way as far as they may, for names so long
// that nothing else helps; they still are the largest things on the label.
TagPlan tag_plan(TagSize size, double tightness);

struct SetTag {
    PageLayout page;
    double spare = 0;  // between the last row and the caution; negative: they overlap and the page is no good
    int gaps = 0;      // between sections, to spread what is left over
};

// Scale 1 sets the rows at the plan's size. "tag.code_too_dense".
Result<SetTag> set_tag(const TagData& tag, TagSize size, const TagPlan& plan, double scale, double extra_gap,
                       const Symbol& bars, const Symbol& qr, const FontSet& fonts, int dpi);

}  // namespace crimpgate

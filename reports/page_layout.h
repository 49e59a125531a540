// What stands where on a page, before a PDF is made of it, so that tests can look for overlaps.
//
// Millimetres from the top left corner, y downwards. Plain values; drawing is pdf_page.h's.
#pragma once

#include <string>
#include <vector>

#include "reports/barcode.h"
#include "reports/text_fit.h"

namespace crimpgate {

struct Box {
    double x = 0;
    double y = 0;
    double width = 0;
    double height = 0;

    double right() const { return x + width; }
    double bottom() const { return y + height; }
    // Boxes that only touch do not overlap.
    bool overlaps(const Box& o) const {
        constexpr double touch = 1e-6;
        return x < o.right() - touch && o.x < right() - touch && y < o.bottom() - touch && o.y < bottom() - touch;
    }
    bool within(const Box& o) const {
        constexpr double touch = 1e-6;
        return x >= o.x - touch && y >= o.y - touch && right() <= o.right() + touch && bottom() <= o.bottom() + touch;
    }
};

// One line of text; its box reaches from the tallest accent to the deepest tail.
struct PlacedText {
    std::string field;  // "customer", "end_b.depth"
    std::u32string text;
    Weight weight = Weight::regular;
    bool white = false;  // on a filled box
    double size = 0;
    double base_line = 0;
    Box box;
};

// A symbol; its box holds the quiet zone too. Modules are `dots` printer dots wide; a linear code is `bar_dots` tall.
struct PlacedCode {
    std::string field;
    Symbol symbol;
    int dots = 0;
    int bar_dots = 0;   // height of a row in dots (2-D: the same as dots)
    int left_dots = 0;  // of the first dark module, from the page's corner
    int top_dots = 0;
    Box box;
};

struct PlacedLine {  // horizontal or vertical, given as a thin filled box
    Box box;
};

struct PlacedFrame {
    Box box;
    bool filled = false;
};

struct PageLayout {
    double width = 0;
    double height = 0;
    std::string title;
    std::vector<PlacedText> texts;
    std::vector<PlacedCode> codes;
    std::vector<PlacedLine> lines;
    std::vector<PlacedFrame> frames;
};

}  // namespace crimpgate

// Pages of paper with text, lines and filled shapes on them, before a PDF is made of them.
//
// Millimetres from the top left corner, y downwards. Plain values, so that tests can look at what stands where.
#pragma once

#include <string>
#include <vector>

#include "reports/fonts.h"

namespace crimpgate {

enum class PaperSize { a4, letter };

struct PaperText {
    std::u32string text;
    Weight weight = Weight::regular;
    double size = 0;
    double x = 0, base_line = 0;
    double shade = 0;  // 0 black, 1 white
};

struct PaperPoint {
    double x = 0, y = 0;
};

// A line through points, or a shape.
struct PaperPath {
    std::vector<PaperPoint> points;
    double width = 0.2;
    double shade = 0;
    bool closed = false, filled = false;
    double dash = 0;  // length of a dash and of a gap; 0: drawn through
};

struct PaperPage {
    std::vector<PaperPath> under;  // drawn first: grounds of tables, bands
    std::vector<PaperPath> paths;
    std::vector<PaperText> texts;
};

struct Paper {
    double width = 0, height = 0;
    std::string title;
    std::string language;
    std::vector<PaperPage> pages;
};

// A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in (ANSI/ASME Y14.1, size A).
Paper blank_paper(PaperSize size);

// A text that can be set whole: every character that no font has as "[U+05E9]", each byte that is no UTF-8 as "[0xFF]",
// a line end or tab as a blank.
std::u32string settable(std::string_view utf8, const FontSet& fonts);

// Through libharu; no date is written, so the same paper gives the same bytes. "tag.pdf_failed" with libharu's error.
Result<std::string> draw_paper(const Paper& paper, const FontSet& fonts);

}  // namespace crimpgate

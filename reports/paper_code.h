// A 2-D code on a page of paper: rectangles, their edges on the dots of an office printer.
#pragma once

#include "reports/barcode.h"
#include "reports/paper.h"

namespace crimpgate {

// Whole dots of 300 to the inch, so of 600 and 1200 too: what an office printer has.
inline constexpr int paper_dpi = 300;

// Side of its square with the quiet zone, in millimetres, when it may take `room`. A module has at least 0.25 mm
// (common practice for a telephone at arm's length) and at most 0.6 mm; std::domain_error where `room` is too small.
double code_side(const Symbol& symbol, double room);

// With its quiet zone at `left`, `top`, in a square of `side` as code_side says.
void put_code(PaperPage& page, const Symbol& symbol, double left, double top, double side);

}  // namespace crimpgate

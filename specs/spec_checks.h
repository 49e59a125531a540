// What must hold between the cells of one row of a spec table, and what is plausible for a hose of its size.
#pragma once

#include <cstdint>

#include "specs/band.h"
#include "specs/spec_cells.h"

namespace crimpgate {

// The crimp diameters that a hose of that dash can have: from 0.8 of the smallest diameter over the wire to 1.6 of the
// largest over the cover among all published hoses of that size (hose_tables.h); for a size that no table has, from
// its bore to twice its bore and 25 mm. Both factors are ours, wide on purpose: the range tells millimetres from inches
// (25.4 apart), it does not judge a crimp.
Band plausible_crimp(std::int64_t dash);

// Likewise for the insertion depth, from 0.6 of the bore to four times the bore and 40 mm; common practice, no source.
Band plausible_depth(std::int64_t dash);

// Adds an error for each contradiction between cells that are good each by itself: dash of hose and fitting, makers
// without an approval of the pairing, temperatures, inches where millimetres should be, shell and stem sizes.
void check_row(const SpecRow& row, SpecCells& cells);

}  // namespace crimpgate

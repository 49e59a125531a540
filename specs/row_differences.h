// What a new spec table would change, cell by cell, against the rows in force: what a second person reads before they
// sign for it.
//
// Rows are compared by their spec id, and a cell is shown as a spec table would have it (specs/FORMAT.md), under the
// column's full name. A length is exact: in millimetres, or in inches where asked for and where both sides are a whole
// number of nanometres of an exact decimal inch. A pressure is shown as it was given; where one side was given in
// another unit, both sides name theirs ("276 bar" -> "4000 psi").
//
// Adopting a table takes nothing out of force: a row that the new table does not name stays as it is. It is told as
// `kept`, since whoever left it out of the file may have meant it to go.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "specs/length.h"
#include "specs/spec_row.h"

namespace crimpgate {

enum class RowChange {
    added,
    changed,
    same,
    kept  // in force, and not in the new table: stays in force
};

struct CellDifference {
    std::string column;
    std::string before;  // empty in an added row
    std::string after;   // empty in a kept row, which has no cells
    bool operator==(const CellDifference&) const = default;
};

struct RowDifference {
    std::string spec_id;
    RowChange change = RowChange::same;
    std::vector<CellDifference> cells;  // in the order of FORMAT.md; of an added row those that are not empty
    // Another row in force, under another id, for the same hose, fitting and crimper, which would stay beside this one.
    std::string twin;
    bool operator==(const RowDifference&) const = default;
};

// The new table's rows in its own order, then those kept, by their ids. Every row of either side is in it once.
std::vector<RowDifference> row_differences(const std::map<std::string, SpecRow>& in_force,
                                           const std::vector<SpecRow>& proposed, LengthUnit unit);

struct WrittenCell {
    std::string_view stem;  // spec_columns.h
    std::string column;
    std::string text;
    bool operator==(const WrittenCell&) const = default;
};

// A row as a spec table would have it: every column, in the order of FORMAT.md. Read back, it is the same row; in
// inches this holds where every length is exact there, and the others stand in millimetre columns.
std::vector<WrittenCell> written_cells(const SpecRow& row, LengthUnit unit);

}  // namespace crimpgate

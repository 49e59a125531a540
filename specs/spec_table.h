// A spec table from a CSV file: every row, or every reason why not.
//
// The columns are described in specs/FORMAT.md. All errors of a file are found in one go, each with line, column, what
// was found and what was expected; one error refuses the whole file, because a table with a hole would send somebody
// to guess. What the table says against the published hose standards, or against itself, is not an error but a warning
// that a person must acknowledge when adopting the table.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "specs/spec_row.h"
#include "specs/table_error.h"

namespace crimpgate {

struct SpecTable {
    std::vector<SpecRow> rows;  // in the order of the file; never empty
    bool operator==(const SpecTable&) const = default;
};

// Errors in the order of their lines. Line 1 is the header; `column` is "field 7" where the header has no name for it;
// `expected` is short: a range, the words that may stand there, a size. The details of `why` hold line, column, found
// and expected as well, for the catalogue's sentence.
tl::expected<SpecTable, std::vector<TableError>> parse_spec_table(std::string_view csv);

// Something that a person must have seen before the table is used. Codes: see spec_warnings.cpp.
struct TableWarning {
    std::string spec_id;
    std::string code;
    std::vector<Detail> details;
    bool operator==(const TableWarning&) const = default;
};

// Row by row in the order of the table, and within a row in a fixed order.
std::vector<TableWarning> warnings_of(const SpecTable& table);

// What makes a row the only one of its kind in a table: hose maker, type and dash; fitting maker, series, end family,
// form and size; crimper. Each ends in U+001F, which no text of a row can hold: for comparing, not for showing.
std::string row_key(const SpecRow& row);

}  // namespace crimpgate

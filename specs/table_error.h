// One error in a table that came in as a file, told so that whoever keeps the spreadsheet finds the cell.
//
// A file's errors are all reported at once, and a file with one error is refused whole.
#pragma once

#include <cstdint>
#include <string>

#include "specs/message.h"

namespace crimpgate {

struct TableError {
    std::int64_t line = 0;  // of the file, the header is line 1
    std::string column;     // as the header names it; empty when the whole line is meant
    std::string found;      // the cell's text
    std::string expected;   // a form, a unit or a range: "2Q16", "mm", "0 to 359"
    Message why;
    bool operator==(const TableError&) const = default;
};

}  // namespace crimpgate

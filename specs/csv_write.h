// Writing CSV after RFC 4180 that is safe to open in a spreadsheet.
//
// A cell that a spreadsheet would take for a formula (after any blanks it starts with = + - @, a tab or a line end)
// gets an apostrophe in front, which spreadsheets show as text. A plain decimal such as -0.20 or +25.50 is left as it
// is: it computes to itself. The apostrophe stays when such a file is read back: what is written for people is not an
// archive.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace crimpgate {

// One cell, quoted where needed. Text should be valid UTF-8; it is not checked here.
std::string csv_field(std::string_view text);

// One row with its CRLF. A row of a single empty cell is written as "", since an empty line is no row.
std::string csv_row(const std::vector<std::string>& cells);

}  // namespace crimpgate

// A sheet of an audit as a CSV file (RFC 4180: commas, CRLF, quotes doubled), safe to open in a spreadsheet.
//
// The first row holds the columns' ids, every further row one row of the sheet, its cells as the audit has them:
// decimal point, ISO 8601 in UTC, codes for words. A message is its code and its details: "code: name=text; name=text".
//
// A byte order mark stands in front: the files are opened with a double click by people whose spreadsheet otherwise
// takes UTF-8 for the machine's old code page and turns names into rubbish. Programs read them as "utf-8-sig".
//
// No formula injection, after OWASP's page "CSV Injection": a cell that begins, after any blanks, with = + - @, a tab
// or a line end, or with one of the full-width forms of the four, gets an apostrophe in front, which spreadsheets take
// for text; so do | and %, with which calls of other programs are spelt. A number stays a number: -0.05 computes to
// itself. The apostrophe stays when such a file is read back by a program; the JSON of the audit has the cell without
// it.
#pragma once

#include <string>
#include <string_view>

#include "reports/audit/audit.h"

namespace crimpgate::audit {

std::string sheet_csv(const Sheet& sheet);

// One cell's text as it stands in the file before it is quoted. Bytes that are no UTF-8, and NUL, become U+FFFD.
std::string spreadsheet_safe(std::string_view text);

}  // namespace crimpgate::audit

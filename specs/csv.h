// Reading CSV after RFC 4180, with the place of every field, so that an error can be pointed at.
//
// Text is UTF-8, with or without a byte order mark; lines end in CRLF or LF, the last one may lack its end; fields are
// parted by commas and may stand in quotes, with commas, line ends and doubled quotes inside. Two widenings of the RFC:
// LF alone ends a line, and a line with nothing at all on it is passed over (spreadsheets leave such lines behind).
// No blank is trimmed. Own reader, since no packaged one gives the line and the field of what it reads.
//
// Everything wrong is reported, not only the first find. A file with errors must be refused by whoever reads it; its
// sound rows are handed over all the same so that their contents can be checked in the same go.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

struct CsvField {
    std::string text;  // unquoted; line ends inside quotes stay as they came
    int line = 0;      // where the field starts, counted from 1
    int ordinal = 0;   // which field of its row, counted from 1
    bool operator==(const CsvField&) const = default;
};

struct CsvRow {
    int line = 0;
    bool sound = true;  // false: one of CsvFile::errors is in this row
    std::vector<CsvField> fields;
    bool operator==(const CsvRow&) const = default;
};

struct CsvError {
    int line = 0;
    int ordinal = 0;  // of the field, from 1; 0 when it is the row or the file
    Message why;
    bool operator==(const CsvError&) const = default;
};

struct CsvFile {
    std::vector<CsvRow> rows;
    std::vector<CsvError> errors;  // in the order of the text
};

// At most 16 MiB, a hundred times the largest table of a shop; more is refused unread ("csv.file_too_large").
// Errors: "csv.file_too_large", "csv.utf16", and of a field "csv.invalid_utf8", "csv.nul", "csv.lone_cr",
// "csv.bare_quote", "csv.text_after_quote", "csv.unterminated_quote" (each at most once a field), and of a row
// "csv.uneven" (its count of fields is not that of the first row).
CsvFile read_csv(std::string_view text);

}  // namespace crimpgate

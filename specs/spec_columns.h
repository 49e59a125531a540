// The columns of a spec table: their names, what kind of value each holds, and the header row that names them.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "specs/csv.h"
#include "specs/length.h"
#include "specs/pressure.h"
#include "specs/spec_table.h"

namespace crimpgate {

// length: the name ends in _mm or _in; pressure: in _bar, _mpa, _kpa or _psi; plain: nothing is added.
enum class ColumnKind { plain, length, pressure };

struct ColumnName {
    std::string_view stem;  // "crimp" for crimp_mm and crimp_in
    ColumnKind kind = ColumnKind::plain;
    bool required = true;  // the column must be in the header; whether a cell may be empty is each reader's matter
};

std::span<const ColumnName> spec_columns();

// Where a column stands in this file and in which unit.
struct ColumnPlace {
    std::size_t index = 0;
    std::string name;  // as in the header
    LengthUnit length_unit = LengthUnit::mm;
    PressureUnit pressure_unit = PressureUnit::bar;
};

struct SpecHeader {
    std::vector<std::string> names;                          // as in the file, blanks at the ends removed
    std::map<std::string, ColumnPlace, std::less<>> places;  // by stem; a column that is missing is not in it

    const ColumnPlace* find(std::string_view stem) const;  // null when this file has no such column
};

// Reads the header row; whatever is wrong with it is added to errors, and what can be used is handed back all the same.
SpecHeader read_spec_header(const CsvRow& row, std::vector<TableError>& errors);

// A finished error: the same figures in its fields and in the details of its message.
TableError table_error(int line, std::string_view column, std::string_view found, std::string_view expected,
                       Message why);

// Without the blanks at either end, which spreadsheets let slip in unseen.
std::string_view trimmed(std::string_view text);

}  // namespace crimpgate

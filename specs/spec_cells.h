// One row of a spec table, cell by cell: each reader either gives the value or adds an error that names the cell.
//
// A column that is missing from the header was reported there once; its cells count as not good and are not reported
// again. Blanks at either end of a cell are not part of it.
#pragma once

#include <initializer_list>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "specs/spec_columns.h"
#include "specs/spec_row.h"

namespace crimpgate {

enum class Cell { mandatory, may_be_empty };

class SpecCells {
  public:
    SpecCells(const SpecHeader& header, const CsvRow& row, std::vector<TableError>& errors)
        : header_(header), row_(row), errors_(errors) {}

    // The cell's text, empty where the file has no such column.
    std::string_view cell(std::string_view stem) const;
    bool filled(std::string_view stem) const { return !cell(stem).empty(); }
    // True when all these columns are in the file and none of their cells has an error so far.
    bool good(std::initializer_list<std::string_view> stems) const;
    // The unit of a length column that is in the file.
    LengthUnit length_unit(std::string_view stem) const { return header_.find(stem)->length_unit; }
    bool clean() const { return bad_.empty(); }

    void error(std::string_view stem, std::string_view expected, Message why);

    // Printable text on one line, at most `longest` characters; no control and no invisible characters.
    std::string text(std::string_view stem, Cell need = Cell::mandatory, std::size_t longest = 120);
    std::int64_t whole(std::string_view stem, std::int64_t least, std::int64_t most);
    // "8" or, as the trade writes it, "-8".
    std::int64_t dash(std::string_view stem);
    // Above zero and at most 10 m. nullopt: empty, or an error.
    std::optional<Length> length(std::string_view stem, Cell need = Cell::mandatory);
    // stem, stem_minus and stem_plus; both tolerances above zero, both limits too.
    Toleranced toleranced(std::string_view stem);
    // At most 10 000 bar.
    Rating rating(std::string_view stem);
    // The ordinal of the word that the cell holds among `words`; 0 with an error when it is none of them.
    std::size_t choice(std::string_view stem, std::initializer_list<std::string_view> words);

  private:
    std::optional<Length> any_length(std::string_view stem);
    bool usable(std::string_view stem, Cell need);
    Length tolerance(const std::string& stem);

    const SpecHeader& header_;
    const CsvRow& row_;
    std::vector<TableError>& errors_;
    std::set<std::string, std::less<>> bad_;
};

}  // namespace crimpgate

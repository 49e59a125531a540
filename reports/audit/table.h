// How a sheet is put together: columns by the code of their words, rows of text.
//
// A sheet, a column and a code in a cell are named by the whole code of the catalogue ("audit.column.ends"), so that
// the test which compares sources and catalogue finds each; what stands in the audit is the part behind the prefix.
// A row with another number of cells than there are columns is a bug: std::logic_error.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "reports/audit/audit.h"

namespace crimpgate::audit {

// "audit.value.undersize" -> "undersize".
std::string short_id(std::string_view code);

// A code that the facts brought along (a verdict, a cause, a stage), as it stands in the cell. Its words are those of
// value_words(); one that is not among them is a bug of whoever filled the facts and stays as it is.
std::vector<std::string_view> value_words();

class Table {
  public:
    Table(std::string_view sheet_code, bool inches) : inches_(inches) { sheet_.id = short_id(sheet_code); }

    // Text in a column of people ("audit.column.person", "audit.column.planned_by" ...) is of the kind `person`.
    Table& column(std::string_view code, Cell kind);
    Table& length(std::string_view mm_code, std::string_view inch_code);
    void row(std::vector<std::string> cells);
    void note(Message message) { sheet_.notes.push_back(std::move(message)); }
    std::vector<std::vector<std::string>>& rows() { return sheet_.rows; }
    Sheet done() { return std::move(sheet_); }

  private:
    Sheet sheet_;
    bool inches_ = false;
};

}  // namespace crimpgate::audit

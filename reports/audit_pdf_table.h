// A table on paper: as wide as its contents need, its head repeated on every page that it goes on over.
//
// A
// table that is too wide even in small letters goes on below itself, each part with the first column again. A row stays
// on one page unless it is higher than one.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "reports/paper_writer.h"

namespace crimpgate {

struct PaperTable {
    // Where a cell may be broken: anywhere, between its words (a day and its time), not at all (a serial; a figure,
    // which stands at the right of its column). What alone is wider than a third of the page is broken all the same.
    enum class Keep { text, words, whole, figure };
    struct Column {
        std::string head;
        Keep keep = Keep::text;
    };
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;  // as many cells as there are columns
};

struct TableHeading {
    std::string title;
    std::string continued;           // stands instead of the title on the pages that follow
    std::vector<std::string> notes;  // between title and table
};

// Title, notes, head and the first rows are kept together.
void set_table(PaperWriter& writer, const TableHeading& heading, const PaperTable& table);

// Which columns stand in which part, and how wide each is; for set_table and its tests.
struct TablePart {
    std::vector<std::size_t> columns;
    std::vector<double> widths;
    double size = 0;  // of the letters
};
std::vector<TablePart> table_parts(const PaperWriter& writer, const PaperTable& table);

}  // namespace crimpgate

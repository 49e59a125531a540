// Sets texts on a page from top to bottom: single lines, and rows of labelled cells that grow downwards.
//
// Nothing is measured twice: each call answers how far down it reached. Millimetres.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "reports/page_layout.h"

namespace crimpgate {

struct Cell {
    std::string field;
    std::string label;
    std::string value;
    double share = 1;  // of the row's width
};

// Sizes of labels and values; nothing is ever set smaller than `smallest`.
struct CellStyle {
    double label = 0;
    double value = 0;
    double smallest = 0;
    double gutter = 2;  // between cells
};

class Flow {
  public:
    Flow(PageLayout& page, const FontSet& fonts) : page_(page), fonts_(fonts) {}

    // One line that fills `width` as far as `largest` allows: for serials and pressures, which are never wrapped.
    // Returns the width it took; the line's height is size * line_step and `size_used` tells the size.
    double one_line(std::string_view field, std::string_view text, Weight weight, double x, double y, double width,
                    double largest, double* size_used = nullptr, bool white = false);

    // Fitted text with its top at y; returns its bottom.
    double block(std::string_view field, std::string_view text, Weight weight, double x, double y, double width,
                 double size, double smallest, bool white = false);

    // Cells side by side; returns the bottom of the tallest. Labels take as much room as `label_widths` says for each
    // cell's place in its row (see label_widths()).
    double row(const std::vector<Cell>& cells, double x, double y, double width, const CellStyle& style,
               const std::vector<double>& label_widths);

    // For rows that stand under each other: the widest label at each place.
    std::vector<double> label_widths(const std::vector<std::vector<Cell>>& rows, const CellStyle& style) const;

    // Rows under each other. Where cells side by side would wrap, they stand under each other if that is shorter.
    double rows(const std::vector<std::vector<Cell>>& rows, double x, double y, double width, const CellStyle& style);
    // The same with each label just as wide as it is.
    double ragged_rows(const std::vector<std::vector<Cell>>& rows, double x, double y, double width,
                       const CellStyle& style);

    double text_width(std::string_view utf8, Weight weight) const;
    void line(double x, double y, double width) { page_.lines.push_back({{x, y, width, 0.2}}); }

  private:
    double row_or_rows(const std::vector<Cell>& cells, double x, double y, double width, const CellStyle& style,
                       const std::vector<double>& label_widths);
    std::u32string decoded(std::string_view utf8) const;
    void put(std::string_view field, std::u32string text, Weight weight, double x, double base_line, double size,
             bool white);

    PageLayout& page_;
    const FontSet& fonts_;
};

}  // namespace crimpgate

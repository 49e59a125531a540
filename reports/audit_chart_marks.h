// The small things on charts: markers by shape, and labels beside lines that must not cover each other.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "reports/paper_writer.h"

namespace crimpgate {

// Shapes for signals, in turn: diamond, square, triangle up, triangle down; and the plain point.
void put_point(PaperWriter& writer, double x, double y);
void put_signal(PaperWriter& writer, std::size_t shape, double x, double y);
// Not used for the limits: an open cross.
void put_left_out(PaperWriter& writer, double x, double y);

struct LineLabel {
    std::string text;
    double y = 0;  // of its line
};
// Beside their lines, moved apart where they would touch, inside [top, bottom].
void put_line_labels(PaperWriter& writer, std::vector<LineLabel> labels, double x, double top, double bottom,
                     double size);

// The number that a figure's text stands for, for its place in a picture.
std::optional<double> place_of(std::string_view figure);

}  // namespace crimpgate

#include "reports/flow.h"

#include <algorithm>
#include <stdexcept>

namespace crimpgate {

namespace {

constexpr double after_label = 0.6;  // of the label's size

}  // namespace

std::u32string Flow::decoded(std::string_view utf8) const {
    auto text = decode_utf8(utf8);
    if (!text) throw std::logic_error("text was not checked before it was set");
    return std::move(*text);
}

double Flow::text_width(std::string_view utf8, Weight weight) const {
    return fonts_.width(decoded(utf8), weight);
}

void Flow::put(std::string_view field, std::u32string text, Weight weight, double x, double base_line, double size,
               bool white) {
    const double width = fonts_.width(text, weight) * size;
    page_.texts.push_back({std::string(field),
                           std::move(text),
                           weight,
                           white,
                           size,
                           base_line,
                           {x, base_line - ascent * size, width, line_step * size}});
}

double Flow::one_line(std::string_view field, std::string_view text, Weight weight, double x, double y, double width,
                      double largest, double* size_used, bool white) {
    auto decoded_text = decoded(text);
    const double natural = fonts_.width(decoded_text, weight);
    const double size = natural * largest > width ? width / natural : largest;
    if (size_used != nullptr) *size_used = size;
    put(field, std::move(decoded_text), weight, x, y + ascent * size, size, white);
    return natural * size;
}

double Flow::block(std::string_view field, std::string_view text, Weight weight, double x, double y, double width,
                   double size, double smallest, bool white) {
    auto fitted = fit_text(decoded(text), weight, width, size, smallest, fonts_);
    for (auto& line : fitted.lines) {
        put(field, std::move(line), fitted.weight, x, y + ascent * fitted.size, fitted.size, white);
        y += line_step * fitted.size;
    }
    return y;
}

double Flow::row(const std::vector<Cell>& cells, double x, double y, double width, const CellStyle& style,
                 const std::vector<double>& label_widths) {
    double shares = 0;
    for (const auto& c : cells)
        shares += c.share;
    const double room = width - style.gutter * static_cast<double>(cells.size() - 1);
    const double first_base = y + ascent * style.value;
    double bottom = y + line_step * style.value;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const Cell& c = cells[i];
        const double cell_width = room * c.share / shares;
        const double label_width = label_widths[i];
        if (!c.label.empty()) put("label", decoded(c.label), Weight::regular, x, first_base, style.label, false);
        auto fitted =
            fit_text(decoded(c.value), Weight::regular, cell_width - label_width, style.value, style.smallest, fonts_);
        double base = first_base;
        for (auto& text : fitted.lines) {
            put(c.field, std::move(text), fitted.weight, x + label_width, base, fitted.size, false);
            bottom = std::max(bottom, base + descent * fitted.size);
            base += line_step * fitted.size;
        }
        x += cell_width + style.gutter;
    }
    return bottom;
}

std::vector<double> Flow::label_widths(const std::vector<std::vector<Cell>>& rows, const CellStyle& style) const {
    std::vector<double> out;
    for (const auto& cells : rows) {
        if (out.size() < cells.size()) out.resize(cells.size());
        for (std::size_t i = 0; i < cells.size(); ++i) {
            if (cells[i].label.empty()) continue;
            const double width = (text_width(cells[i].label, Weight::regular) + after_label) * style.label;
            out[i] = std::max(out[i], width);
        }
    }
    return out;
}

double Flow::row_or_rows(const std::vector<Cell>& cells, double x, double y, double width, const CellStyle& style,
                         const std::vector<double>& label_widths) {
    const auto before = page_.texts.size();
    const double together = row(cells, x, y, width, style, label_widths);
    if (cells.size() == 1 || together < y + 1.5 * line_step * style.value) return together;
    const std::vector<PlacedText> side_by_side(page_.texts.begin() + static_cast<std::ptrdiff_t>(before),
                                               page_.texts.end());
    page_.texts.resize(before);

    // Each cell that wraps gets a row of its own, the others stay side by side.
    std::vector<Cell> short_cells;
    std::vector<double> short_labels;
    double apart = y;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const auto lines = std::count_if(side_by_side.begin(), side_by_side.end(),
                                         [&](const PlacedText& t) { return t.field == cells[i].field; });
        if (lines == 1) {
            short_cells.push_back(cells[i]);
            short_labels.push_back(label_widths[i]);
        } else {
            apart = row({cells[i]}, x, apart, width, style, {std::max(label_widths[0], label_widths[i])});
        }
    }
    if (!short_cells.empty()) {
        short_labels[0] = std::max(short_labels[0], label_widths[0]);
        apart = row(short_cells, x, apart, width, style, short_labels);
    }
    if (apart < together) return apart;
    page_.texts.resize(before);
    page_.texts.insert(page_.texts.end(), side_by_side.begin(), side_by_side.end());
    return together;
}

double Flow::rows(const std::vector<std::vector<Cell>>& rows, double x, double y, double width,
                  const CellStyle& style) {
    const auto widths = label_widths(rows, style);
    for (const auto& cells : rows)
        y = row_or_rows(cells, x, y, width, style, widths);
    return y;
}

double Flow::ragged_rows(const std::vector<std::vector<Cell>>& rows, double x, double y, double width,
                         const CellStyle& style) {
    for (const auto& cells : rows)
        y = row_or_rows(cells, x, y, width, style, label_widths({cells}, style));
    return y;
}

}  // namespace crimpgate

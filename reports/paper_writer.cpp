#include "reports/paper_writer.h"

#include <algorithm>

namespace crimpgate {

PaperWriter::PaperWriter(Paper& paper, const FontSet& fonts) : paper_(paper), fonts_(fonts) {
    paper_.pages.emplace_back();
}

void PaperWriter::new_page() {
    paper_.pages.emplace_back();
    y_ = head;
}

void PaperWriter::need(double height) {
    if (height > room() && y_ > head) new_page();
}

double PaperWriter::text_width(std::string_view utf8, Weight weight, double size) const {
    return fonts_.width(text_of(utf8), weight) * size;
}

FittedText PaperWriter::wrapped(std::string_view utf8, Weight weight, double width, double size) const {
    return fit_text(text_of(utf8), weight, std::max(width, size), size, size, fonts_);
}

double PaperWriter::put(std::u32string text, Weight weight, double x, double base_line, double size, bool from_right,
                        double shade) {
    const double width = fonts_.width(text, weight) * size;
    if (text.empty()) return 0;
    page().texts.push_back({std::move(text), weight, size, from_right ? x - width : x, base_line, shade});
    return width;
}

double PaperWriter::put(std::string_view utf8, Weight weight, double x, double base_line, double size, bool from_right,
                        double shade) {
    return put(text_of(utf8), weight, x, base_line, size, from_right, shade);
}

void PaperWriter::paragraph(std::string_view utf8, Weight weight, double size, double indent, double shade) {
    auto fitted = wrapped(utf8, weight, width() - indent, size);
    for (auto& text : fitted.lines) {
        need(line_step * size);
        put(std::move(text), fitted.weight, left() + indent, y_ + ascent * size, size, false, shade);
        y_ += line_step * size;
    }
}

void PaperWriter::line(double x0, double y0, double x1, double y1, double width, double shade, double dash) {
    PaperPath path;
    path.points = {{x0, y0}, {x1, y1}};
    path.width = width;
    path.shade = shade;
    path.dash = dash;
    page().paths.push_back(std::move(path));
}

void PaperWriter::ground(double x, double y, double width, double height, double shade) {
    PaperPath path;
    path.points = {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
    path.shade = shade;
    path.filled = true;
    page().under.push_back(std::move(path));
}

void PaperWriter::frame(double x, double y, double width, double height, double line_width, double shade) {
    PaperPath path;
    path.points = {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
    path.width = line_width;
    path.shade = shade;
    path.closed = true;
    page().paths.push_back(std::move(path));
}

}  // namespace crimpgate

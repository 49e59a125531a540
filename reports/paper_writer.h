// Writes on paper from top to bottom, page after page. Millimetres.
//
// A page's head and foot are left free; whoever knows how many pages there are writes them last.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "reports/paper.h"
#include "reports/text_fit.h"

namespace crimpgate {

class PaperWriter {
  public:
    PaperWriter(Paper& paper, const FontSet& fonts);

    static constexpr double side = 16, head = 14, foot = 20;  // margins

    const FontSet& fonts() const { return fonts_; }
    PaperPage& page() { return paper_.pages.back(); }
    double left() const { return side; }
    double width() const { return paper_.width - 2 * side; }
    double right() const { return paper_.width - side; }
    double bottom() const { return paper_.height - foot; }  // of what may be written
    double page_room() const { return bottom() - head; }    // of an empty page
    double room() const { return bottom() - y_; }
    double y() const { return y_; }
    void go_to(double y) { y_ = y; }
    void down(double mm) { y_ += mm; }
    void new_page();
    // A new page unless that much still fits on this one; what is higher than a page starts where it stands at the top.
    void need(double height);

    std::u32string text_of(std::string_view utf8) const { return settable(utf8, fonts_); }
    double text_width(std::string_view utf8, Weight weight, double size) const;
    // Bold only if the whole text can be: each line is put in the weight that was measured.
    FittedText wrapped(std::string_view utf8, Weight weight, double width, double size) const;

    // One line with its base line there; x is its left, or its right where `from_right`. Returns its width.
    double put(std::u32string text, Weight weight, double x, double base_line, double size, bool from_right = false,
               double shade = 0);
    double put(std::string_view utf8, Weight weight, double x, double base_line, double size, bool from_right = false,
               double shade = 0);
    // Wrapped lines from y() on, over as many pages as it takes.
    void paragraph(std::string_view utf8, Weight weight, double size, double indent = 0, double shade = 0);

    void line(double x0, double y0, double x1, double y1, double width = 0.2, double shade = 0, double dash = 0);
    void ground(double x, double y, double width, double height, double shade);
    void frame(double x, double y, double width, double height, double line_width = 0.3, double shade = 0);

  private:
    Paper& paper_;
    const FontSet& fonts_;
    double y_ = head;
};

}  // namespace crimpgate

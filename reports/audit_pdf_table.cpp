#include "reports/audit_pdf_table.h"

#include <algorithm>
#include <numeric>

namespace crimpgate {

namespace {

using Keep = PaperTable::Keep;

constexpr std::u32string_view anywhere = U" -/,;";  // as text_fit.h breaks
constexpr double usual_size = 2.5, small_size = 2.1;
constexpr double between = 2.4;               // columns
constexpr double above = 0.45, below = 0.55;  // text and rule
constexpr double title_size = 3.6, note_size = 2.4;

struct Widths {
    std::vector<double> least, natural;  // in sizes of the letters
};

// The widest piece of a text that a line need not break, where it may be broken at those characters.
double widest_piece(const std::u32string& text, std::u32string_view breaks, Weight weight, const FontSet& fonts) {
    double widest = 0;
    std::size_t from = 0;
    while (from < text.size()) {
        auto to = text.find_first_of(breaks, from);
        to = to == std::u32string::npos ? text.size() : to + (text[to] == U' ' ? 0 : 1);
        widest = std::max(widest, fonts.width(std::u32string_view(text).substr(from, to - from), weight));
        from = to < text.size() && text[to] == U' ' ? to + 1 : to;
    }
    return widest;
}

Widths widths_of(const PaperWriter& writer, const PaperTable& table) {
    const auto& fonts = writer.fonts();
    Widths out;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const auto head = writer.text_of(table.columns[i].head);
        double least = widest_piece(head, anywhere, Weight::bold, fonts), natural = least;
        const auto keep = table.columns[i].keep;
        for (const auto& row : table.rows) {
            const auto cell = writer.text_of(row[i]);
            const double whole = fonts.width(cell, Weight::regular);
            natural = std::max(natural, whole);
            const auto breaks = keep == Keep::words ? std::u32string_view(U" ") : anywhere;
            least = std::max(least, keep == Keep::figure || keep == Keep::whole
                                        ? whole
                                        : widest_piece(cell, breaks, Weight::regular, fonts));
        }
        const double most = (keep == Keep::figure || keep == Keep::whole ? writer.width() / 3 : 26.0) / usual_size;
        out.least.push_back(std::min(least, most));
        out.natural.push_back(std::max(natural, out.least.back()));
    }
    return out;
}

// Columns as wide as they would like to be, as far as there is room beyond what each needs.
std::vector<double> shared_out(const std::vector<std::size_t>& columns, const Widths& widths, double size,
                               double room) {
    double needed = 0, wanted = 0;
    for (const auto c : columns) {
        needed += widths.least[c] * size + between;
        wanted += (widths.natural[c] - widths.least[c]) * size;
    }
    const double share = wanted <= 0 ? 0 : std::min(1.0, std::max(0.0, room - needed) / wanted);
    std::vector<double> out;
    for (const auto c : columns)
        out.push_back(between + size * (widths.least[c] + share * (widths.natural[c] - widths.least[c])));
    // What is left over parts narrow columns a little more, but does not tear a small table apart.
    const double used = std::accumulate(out.begin(), out.end(), 0.0);
    const double more = std::min(6.0, std::max(0.0, room - used) / static_cast<double>(columns.size()));
    for (auto& w : out)
        w += more;
    return out;
}

using Lines = FittedText;

class TableSetter {
  public:
    TableSetter(PaperWriter& writer, const TableHeading& heading, const PaperTable& table, const TablePart& part)
        : writer_(writer), heading_(heading), table_(table), part_(part), step_(line_step * part.size) {
        width_ = std::accumulate(part_.widths.begin(), part_.widths.end(), 0.0);
        for (std::size_t i = 0; i < part_.columns.size(); ++i)
            head_.push_back(writer_.wrapped(table_.columns[part_.columns[i]].head, Weight::bold,
                                            part_.widths[i] - between, part_.size));
    }

    double head_height() const { return height_of(tallest(head_)); }
    double row_height(std::size_t row) const { return height_of(tallest(cells(row))); }

    void set() {
        put_head();
        for (std::size_t row = 0; row < table_.rows.size(); ++row)
            put_row(cells(row));
        writer_.down(1.0);
    }

  private:
    double height_of(std::size_t lines) const { return static_cast<double>(lines) * step_ + above + below; }

    static std::size_t tallest(const std::vector<Lines>& cells) {
        std::size_t out = 1;
        for (const auto& lines : cells)
            out = std::max(out, lines.lines.size());
        return out;
    }

    std::vector<Lines> cells(std::size_t row) const {
        std::vector<Lines> out;
        for (std::size_t i = 0; i < part_.columns.size(); ++i)
            out.push_back(writer_.wrapped(table_.rows[row][part_.columns[i]], Weight::regular,
                                          part_.widths[i] - between, part_.size));
        return out;
    }

    // Lines [from, from + count) of each cell; the head stands on the foot of its row.
    void put_cells(const std::vector<Lines>& cells, std::size_t from, std::size_t count, bool on_foot) {
        double x = writer_.left();
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const bool figure = table_.columns[part_.columns[i]].keep == PaperTable::Keep::figure;
            const double drop =
                on_foot ? static_cast<double>(count - std::min(count, cells[i].lines.size())) * step_ : 0;
            for (std::size_t n = from; n < std::min(from + count, cells[i].lines.size()); ++n) {
                const double base =
                    writer_.y() + above + drop + static_cast<double>(n - from) * step_ + ascent * part_.size;
                writer_.put(cells[i].lines[n], cells[i].weight,
                            figure ? x + part_.widths[i] - between / 2 : x + between / 2, base, part_.size, figure);
            }
            x += part_.widths[i];
        }
        writer_.down(height_of(count));
    }

    void put_head() {
        const auto lines = tallest(head_);
        writer_.ground(writer_.left(), writer_.y(), width_, height_of(lines), 0.9);
        put_cells(head_, 0, lines, true);
        writer_.line(writer_.left(), writer_.y(), writer_.left() + width_, writer_.y(), 0.25, 0.2);
    }

    void go_on() {
        writer_.new_page();
        writer_.paragraph(heading_.continued, Weight::bold, note_size);
        writer_.down(1.0);
        put_head();
    }

    void put_row(const std::vector<Lines>& row) {
        const auto lines = tallest(row);
        const double full_page = writer_.page_room() - head_height() - 6;
        if (height_of(lines) > writer_.room() && height_of(lines) <= full_page) go_on();
        for (std::size_t done = 0; done < lines;) {
            const double room = (writer_.room() - above - below) / step_ + 1e-6;
            if (room < 1) {
                go_on();
                continue;
            }
            const auto count = std::min(lines - done, static_cast<std::size_t>(room));
            put_cells(row, done, count, false);
            done += count;
        }
        writer_.line(writer_.left(), writer_.y(), writer_.left() + width_, writer_.y(), 0.1, 0.7);
    }

    PaperWriter& writer_;
    const TableHeading& heading_;
    const PaperTable& table_;
    const TablePart& part_;
    double step_;
    double width_ = 0;
    std::vector<Lines> head_;
};

}  // namespace

std::vector<TablePart> table_parts(const PaperWriter& writer, const PaperTable& table) {
    const auto widths = widths_of(writer, table);
    const double room = writer.width();
    for (const double size : {usual_size, small_size}) {
        double needed = 0;
        for (const double least : widths.least)
            needed += least * size + between;
        if (needed > room) continue;
        TablePart part;
        part.columns.resize(table.columns.size());
        std::iota(part.columns.begin(), part.columns.end(), std::size_t{0});
        part.size = size;
        part.widths = shared_out(part.columns, widths, size, room);
        return {part};
    }
    std::vector<TablePart> out;
    double used = 0;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const double least = widths.least[c] * usual_size + between;
        if (out.empty() || (used + least > room && out.back().columns.size() > 1)) {
            out.push_back({});
            out.back().size = usual_size;
            used = 0;
            if (c > 0) {
                out.back().columns.push_back(0);
                used = widths.least[0] * usual_size + between;
            }
        }
        out.back().columns.push_back(c);
        used += least;
    }
    for (auto& part : out)
        part.widths = shared_out(part.columns, widths, part.size, room);
    return out;
}

void set_table(PaperWriter& writer, const TableHeading& heading, const PaperTable& table) {
    const auto parts = table_parts(writer, table);
    double start = line_step * title_size + 1.5;
    for (const auto& note : heading.notes)
        start += static_cast<double>(writer.wrapped(note, Weight::regular, writer.width(), note_size).lines.size()) *
                     line_step * note_size +
                 0.5;
    bool first = true;
    for (const auto& part : parts) {
        TableSetter setter(writer, heading, table, part);
        double together = (first ? start : 0) + setter.head_height();
        for (std::size_t row = 0; row < std::min<std::size_t>(table.rows.size(), 3); ++row)
            together += setter.row_height(row);
        writer.need(std::min(together, writer.page_room()));
        if (first) {
            writer.paragraph(heading.title, Weight::bold, title_size);
            writer.down(0.8);
            for (const auto& note : heading.notes) {
                writer.paragraph(note, Weight::regular, note_size, 0, 0.25);
                writer.down(0.5);
            }
        }
        first = false;
        setter.set();
    }
    writer.down(4);
}

}  // namespace crimpgate

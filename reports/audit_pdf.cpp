#include "reports/audit_pdf.h"

#include <algorithm>
#include <set>

#include "reports/audit_pdf_chart.h"
#include "reports/audit_pdf_table.h"
#include "reports/audit_pdf_words.h"
#include "reports/paper_writer.h"

namespace crimpgate {

namespace {

using audit::said;

constexpr double text_size = 2.6, small = 2.2;

PaperTable::Keep kept(audit::Cell kind) {
    if (audit::is_figure(kind)) return PaperTable::Keep::figure;
    switch (kind) {
        case audit::Cell::time:
            return PaperTable::Keep::words;
        case audit::Cell::serial:
        case audit::Cell::shift:
        case audit::Cell::gauge:
            return PaperTable::Keep::whole;
        default:
            return PaperTable::Keep::text;
    }
}

// People are called by the names that the audit has for them.
AuditPaper with_names(AuditPaper paper, const audit::Audit& audit) {
    paper.reader.people = audit.people;
    return paper;
}

class AuditSetter {
  public:
    AuditSetter(const audit::Audit& audit, const AuditPaper& paper, const FontSet& fonts)
        : audit_(audit),
          paper_(with_names(paper, audit)),
          reader_(paper_.reader),
          out_(blank_paper(paper.size)),
          writer_(out_, fonts) {
        out_.title = encode_utf8(writer_.text_of(audit_words::title(audit, reader_)));
        out_.language = reader_.language;
    }

    Paper set() {
        head();
        caution();
        figures();
        notes();
        sheet("open_points");
        for (const auto& chart : audit_.charts)
            if (chart.kind == "pareto") set_chart(writer_, chart, audit::find_sheet(audit_, "reasons"), reader_);
        sheet("reasons");
        for (const auto& chart : audit_.charts)
            if (chart.kind != "pareto") set_chart(writer_, chart, nullptr, reader_);
        for (const auto& one : audit_.sheets)
            if (!done_.contains(one.id)) sheet(one.id);
        sign_off();
        feet();
        return std::move(out_);
    }

  private:
    void head() {
        writer_.paragraph(audit_words::title(audit_, reader_), Weight::bold, 6);
        writer_.down(2);
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.5);
        writer_.down(1.5);
        // Two columns of short lines; what is long has a line of its own.
        const auto lines = audit_words::head(audit_, paper_);
        const double half = (writer_.width() - 6) / 2;
        double label = 0;
        for (const auto& l : lines)
            label = std::max(label, writer_.text_width(l.label, Weight::regular, small));
        label = std::min(label + 2, half / 2);
        bool right = false;
        for (const auto& l : lines) {
            const bool is_long = writer_.text_width(l.value, Weight::regular, text_size) > half - label;
            if (right && is_long) {
                writer_.down(line_step * text_size + 0.3);
                right = false;
            }
            const double x = writer_.left() + (right ? half + 6 : 0);
            const double room = (is_long ? writer_.width() : half) - label;
            const double base = writer_.y() + ascent * text_size;
            writer_.put(l.label, Weight::regular, x, base, small, false, 0.35);
            auto values = writer_.wrapped(l.value, Weight::regular, room, text_size).lines;
            if (is_long) {
                for (auto& text : values) {
                    writer_.need(line_step * text_size);
                    writer_.put(std::move(text), Weight::regular, x + label, writer_.y() + ascent * text_size,
                                text_size);
                    writer_.down(line_step * text_size);
                }
                writer_.down(0.3);
                continue;
            }
            writer_.put(std::move(values.front()), Weight::regular, x + label, base, text_size);
            if (right) writer_.down(line_step * text_size + 0.3);
            right = !right;
        }
        if (right) writer_.down(line_step * text_size + 0.3);
        writer_.down(1);
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.5);
        writer_.down(3);
    }

    // R13: beside the work, in a frame, on the first page.
    void caution() {
        constexpr double pad = 1.6, sign = 7;
        const auto lines =
            writer_.wrapped(audit_words::caution(reader_), Weight::regular, writer_.width() - 3 * pad - sign, small)
                .lines;
        const double height = static_cast<double>(lines.size()) * line_step * small + 2 * pad;
        writer_.need(height);
        const double top = writer_.y();
        writer_.frame(writer_.left(), top, writer_.width(), height, 0.4);
        writer_.put(std::string_view("\u26A0"), Weight::regular, writer_.left() + pad, top + height / 2 + 2.0, 6);
        double y = top + pad;
        for (const auto& text : lines) {
            writer_.put(text, Weight::regular, writer_.left() + 2 * pad + sign, y + ascent * small, small);
            y += line_step * small;
        }
        writer_.go_to(top + height + 4);
    }

    // A sheet of one row, such as "made": each figure large, under its name.
    void figures() {
        const auto* made = audit::find_sheet(audit_, "made");
        if (made == nullptr || made->rows.size() != 1) return;
        done_.insert("made");
        writer_.paragraph(audit::sheet_title(*made, reader_), Weight::bold, 3.6);
        writer_.down(1);
        tiles(*made, 0);
        writer_.down(4);
    }

    void tiles(const audit::Sheet& made, std::size_t row) {
        constexpr std::size_t across = 6;
        constexpr double gap = 1.5, value_size = 4.4;
        const double width = (writer_.width() - gap * (across - 1)) / across;
        for (std::size_t from = 0; from < made.columns.size(); from += across) {
            const auto to = std::min(made.columns.size(), from + across);
            std::vector<std::vector<std::u32string>> names;
            std::size_t lines = 1;
            for (std::size_t i = from; i < to; ++i) {
                names.push_back(
                    writer_.wrapped(audit::column_title(made.columns[i], reader_), Weight::regular, width - 2.4, small)
                        .lines);
                lines = std::max(lines, names.back().size());
            }
            const double height = static_cast<double>(lines) * line_step * small + line_step * value_size + 2.4;
            writer_.need(height);
            const double top = writer_.y();
            for (std::size_t i = from; i < to; ++i) {
                const double x = writer_.left() + static_cast<double>(i - from) * (width + gap);
                writer_.frame(x, top, width, height, 0.2, 0.5);
                double y = top + 0.9;
                for (const auto& text : names[i - from]) {
                    writer_.put(text, Weight::regular, x + 1.2, y + ascent * small, small, false, 0.3);
                    y += line_step * small;
                }
                const auto shown = audit::shown_cell(made.columns[i], made.rows[row][i], reader_);
                const double natural = writer_.text_width(shown, Weight::bold, value_size);
                const double size = natural > width - 2.4 ? value_size * (width - 2.4) / natural : value_size;
                writer_.put(shown, Weight::bold, x + 1.2, top + height - 1.5 - descent * value_size / 2, size);
            }
            writer_.go_to(top + height + gap);
        }
    }

    void notes() {
        if (audit_.notes.empty()) return;
        for (const auto& note : audit_.notes)
            writer_.paragraph(said(note, reader_), Weight::regular, text_size);
        writer_.down(3);
    }

    void sheet(const std::string& id) {
        done_.insert(id);
        const auto* sheet = audit::find_sheet(audit_, id);
        if (sheet == nullptr || sheet->columns.empty()) return;
        TableHeading heading;
        heading.title = audit::sheet_title(*sheet, reader_);
        heading.continued = said(message("audit.paper.continued").with("sheet", heading.title), reader_);
        for (const auto& note : sheet->notes)
            heading.notes.push_back(said(note, reader_));
        if (sheet->rows.empty()) return nothing(heading);
        const auto rows = std::min(sheet->rows.size(), std::max<std::size_t>(paper_.longest_sheet, 1));
        const auto table = paper_table(*sheet, rows, reader_);
        if (rows < sheet->rows.size())
            heading.notes.push_back(said(message("audit.paper.more_rows")
                                             .with("shown", std::to_string(rows))
                                             .with("rows", std::to_string(sheet->rows.size())),
                                         reader_));
        set_table(writer_, heading, table);
    }

    void nothing(const TableHeading& heading) {
        writer_.need(12);
        writer_.paragraph(heading.title, Weight::bold, 3.6);
        for (const auto& note : heading.notes)
            writer_.paragraph(note, Weight::regular, 2.4, 0, 0.25);
        writer_.paragraph(said(message("audit.paper.nothing"), reader_), Weight::regular, text_size);
        writer_.down(4);
    }

    void sign_off() {
        const auto signatures = audit_words::signatures(audit_, reader_);
        double words = 0;
        for (const auto& line : signatures)
            words +=
                static_cast<double>(writer_.wrapped(line, Weight::regular, writer_.width(), text_size).lines.size()) *
                line_step * text_size;
        constexpr double lines_room = 44;
        writer_.need(std::min(words + lines_room + 10, writer_.page_room()));
        writer_.paragraph(said(message("audit.paper.sign_off"), reader_), Weight::bold, 3.6);
        writer_.down(1);
        for (const auto& line : signatures)
            writer_.paragraph(line, Weight::regular, text_size);
        writer_.need(lines_room);
        for (Message who : {message("audit.paper.lead"), message("audit.paper.auditor")}) {
            writer_.down(14);
            const double y = writer_.y(), width = writer_.width();
            const double xs[] = {0, width * 0.44, width * 0.62, width};
            const Message names[] = {who, message("audit.paper.date"), message("audit.paper.signature")};
            for (std::size_t i = 0; i < 3; ++i) {
                const double from = writer_.left() + xs[i], to = writer_.left() + xs[i + 1] - (i < 2 ? 4 : 0);
                writer_.line(from, y, to, y, 0.2);
                writer_.put(said(names[i], reader_), Weight::regular, from, y + ascent * small + 0.6, small, false,
                            0.3);
            }
            writer_.down(5);
        }
    }

    // Last, since only now it is known how many pages there are.
    void feet() {
        const auto pages = out_.pages.size();
        const double base = out_.height - 10;
        const auto record = writer_.text_of(audit_words::foot(audit_, reader_));
        for (std::size_t i = 0; i < pages; ++i) {
            auto& page = out_.pages[i];
            const auto number = writer_.text_of(audit_words::page_of(i + 1, pages, reader_));
            const double number_width = writer_.fonts().width(number, Weight::regular) * small;
            const auto lines =
                fit_text(record, Weight::regular, writer_.width() - number_width - 6, small, small, writer_.fonts())
                    .lines;
            double y = base;
            for (std::size_t n = 0; n < std::min<std::size_t>(lines.size(), 2); ++n, y += line_step * small)
                page.texts.push_back({lines[n], Weight::regular, small, writer_.left(), y, 0.2});
            page.texts.push_back({number, Weight::regular, small, writer_.right() - number_width, base, 0.2});
            PaperPath rule;
            rule.points = {{writer_.left(), base - 4}, {writer_.right(), base - 4}};
            rule.shade = 0.4;
            page.paths.push_back(std::move(rule));
        }
    }

    const audit::Audit& audit_;
    const AuditPaper paper_;
    const audit::Reader& reader_;  // the one of paper_
    Paper out_;
    PaperWriter writer_;
    std::set<std::string> done_;
};

}  // namespace

PaperTable paper_table(const audit::Sheet& sheet, std::size_t rows, const audit::Reader& reader) {
    PaperTable table;
    for (const auto& column : sheet.columns)
        table.columns.push_back({audit::column_title(column, reader), kept(column.kind)});
    for (std::size_t r = 0; r < std::min(rows, sheet.rows.size()); ++r) {
        table.rows.emplace_back();
        for (std::size_t c = 0; c < sheet.columns.size(); ++c)
            table.rows.back().push_back(
                c < sheet.rows[r].size() ? audit::shown_cell(sheet.columns[c], sheet.rows[r][c], reader) : "");
    }
    return table;
}

Paper audit_paper(const audit::Audit& audit, const AuditPaper& paper, const FontSet& fonts) {
    return AuditSetter(audit, paper, fonts).set();
}

Result<std::string> audit_pdf(const audit::Audit& audit, const AuditPaper& paper) {
    // Read once a process: the fonts are files of the build or the installation and do not change under it.
    static const Result<FontSet> fonts = FontSet::load(FontSet::built_directory());
    if (!fonts) return refuse(fonts.error());
    return draw_paper(audit_paper(audit, paper, *fonts), *fonts);
}

}  // namespace crimpgate

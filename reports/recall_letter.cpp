#include "reports/recall_letter.h"

#include <algorithm>

#include "reports/audit_pdf_table.h"
#include "reports/paper_writer.h"

namespace crimpgate {
namespace {

constexpr double text_size = 3.5, small = 2.6, foot_size = 2.2;

class LetterSetter {
  public:
    LetterSetter(const RecallLetter& letter, const FontSet& fonts)
        : letter_(letter), out_(blank_paper(letter.size)), writer_(out_, fonts) {
        out_.title = encode_utf8(writer_.text_of(title()));
        out_.language = letter.language;
    }

    Paper set() {
        head();
        writer_.paragraph(said(message("recall.paper.intro").with("count", std::to_string(letter_.lines.size()))),
                          Weight::bold, text_size);
        writer_.down(1.5);
        writer_.paragraph(said(message("recall.paper.reason").with("reason", letter_.reason)), Weight::regular,
                          text_size);
        writer_.down(2.5);
        what_to_do();
        caution();
        list();
        answer();
        feet();
        return std::move(out_);
    }

  private:
    std::string said(const Message& m) const {
        if (letter_.say) return letter_.say(m);
        std::string out = m.code;
        for (const auto& d : m.details)
            out += " " + d.name + "=" + d.text;
        return out;
    }

    std::string title() const {
        return letter_.recall.empty() ? said(message("recall.paper.title_unnumbered"))
                                      : said(message("recall.paper.title").with("recall", letter_.recall));
    }

    void labelled(const Message& label, const std::string& value) {
        if (value.empty()) return;
        const double room = 38;
        auto lines = writer_.wrapped(value, Weight::regular, writer_.width() - room, text_size).lines;
        bool first = true;
        for (auto& text : lines) {
            writer_.need(line_step * text_size);
            const double base = writer_.y() + ascent * text_size;
            if (first) writer_.put(said(label), Weight::regular, writer_.left(), base, small, false, 0.3);
            writer_.put(std::move(text), Weight::regular, writer_.left() + room, base, text_size);
            writer_.down(line_step * text_size);
            first = false;
        }
        writer_.down(0.4);
    }

    void head() {
        writer_.paragraph(letter_.shop, Weight::bold, text_size);
        writer_.down(4);
        writer_.paragraph(title(), Weight::bold, 6);
        writer_.down(1.5);
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.5);
        writer_.down(2);
        labelled(message("recall.paper.to"), letter_.customer);
        labelled(message("recall.paper.date"), letter_.date);
        labelled(message("recall.paper.written_by"), letter_.written_by);
        writer_.down(1);
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.5);
        writer_.down(4);
    }

    void what_to_do() {
        writer_.need(30);
        writer_.paragraph(said(message("recall.paper.do")), Weight::bold, 4.2);
        writer_.down(1);
        int number = 0;
        for (const Message& step :
             {message("recall.paper.do_pressure"), message("recall.paper.do_not_use"), message("recall.paper.do_hold"),
              message("recall.paper.do_passed_on"), message("recall.paper.do_answer")}) {
            const auto lines = writer_.wrapped(said(step), Weight::regular, writer_.width() - 7, text_size).lines;
            writer_.need(static_cast<double>(lines.size()) * line_step * text_size);
            writer_.put(std::to_string(++number) + ".", Weight::bold, writer_.left(), writer_.y() + ascent * text_size,
                        text_size);
            for (const auto& text : lines) {
                writer_.need(line_step * text_size);
                writer_.put(text, Weight::regular, writer_.left() + 7, writer_.y() + ascent * text_size, text_size);
                writer_.down(line_step * text_size);
            }
            writer_.down(0.8);
        }
        writer_.down(2);
    }

    // R13: in a frame, before the list.
    void caution() {
        constexpr double pad = 2, sign = 9;
        const double width = writer_.width() - 3 * pad - sign;
        const auto word = writer_.text_of(said(message("recall.paper.warning")));
        const auto lines = writer_.wrapped(said(message("recall.paper.caution")), Weight::regular, width, 3.1).lines;
        const double height = (1.2 + static_cast<double>(lines.size())) * line_step * 3.1 + 2 * pad;
        writer_.need(height);
        const double top = writer_.y();
        writer_.frame(writer_.left(), top, writer_.width(), height, 0.6);
        writer_.put(std::string_view("\u26A0"), Weight::regular, writer_.left() + pad, top + height / 2 + 2.4, 8);
        const double x = writer_.left() + 2 * pad + sign;
        double y = top + pad;
        writer_.put(word, Weight::bold, x, y + ascent * 3.7, 3.7);
        y += 1.2 * line_step * 3.1;
        for (const auto& text : lines) {
            writer_.put(text, Weight::regular, x, y + ascent * 3.1, 3.1);
            y += line_step * 3.1;
        }
        writer_.go_to(top + height + 5);
    }

    void list() {
        using Keep = PaperTable::Keep;
        PaperTable table;
        table.columns = {
            {said(message("recall.paper.serial")), Keep::whole},   {said(message("recall.paper.part")), Keep::text},
            {said(message("recall.paper.order")), Keep::text},     {said(message("recall.paper.hose_lot")), Keep::text},
            {said(message("recall.paper.delivery")), Keep::whole}, {said(message("recall.paper.note")), Keep::text},
            {said(message("recall.paper.sent")), Keep::whole},     {said(message("recall.paper.sent_to")), Keep::text}};
        for (const auto& l : letter_.lines)
            table.rows.push_back(
                {l.serial, l.customer_part, l.order, l.hose_lot, l.delivery, l.note_number, l.delivered, l.to});
        TableHeading heading;
        heading.title = said(message("recall.paper.list").with("count", std::to_string(letter_.lines.size())));
        heading.continued = said(message("recall.paper.continued").with("title", heading.title));
        set_table(writer_, heading, table);
    }

    // For the answer, to be sent back.
    void answer() {
        writer_.need(46);
        writer_.down(3);
        writer_.paragraph(said(message("recall.paper.answer")), Weight::bold, 4.2);
        writer_.paragraph(said(message("recall.paper.answer_text")), Weight::regular, small, 0, 0.2);
        for (const Message& line : {message("recall.paper.found"), message("recall.paper.elsewhere")}) {
            writer_.down(9);
            rule(line, 0, writer_.width());
        }
        writer_.down(11);
        const double width = writer_.width();
        rule(message("recall.paper.answer_date"), 0, width * 0.22);
        rule(message("recall.paper.answer_name"), width * 0.25, width * 0.62);
        rule(message("recall.paper.answer_signature"), width * 0.65, width);
        writer_.down(5);
    }

    void rule(const Message& what, double from, double to) {
        writer_.line(writer_.left() + from, writer_.y(), writer_.left() + to, writer_.y(), 0.2);
        writer_.put(said(what), Weight::regular, writer_.left() + from, writer_.y() + ascent * foot_size + 0.6,
                    foot_size, false, 0.3);
    }

    // Last, since only now it is known how many pages there are.
    void feet() {
        const auto pages = out_.pages.size();
        const double base = out_.height - 10;
        const auto hash = letter_.list_sha256.substr(0, 12);
        const Message record = (letter_.recall.empty() ? message("recall.paper.foot_copy")
                                                       : message("recall.paper.foot").with("recall", letter_.recall))
                                   .with("station", letter_.station)
                                   .with("seq", std::to_string(letter_.upto_seq))
                                   .with("hash", hash);
        const auto text = writer_.text_of(said(record));
        for (std::size_t i = 0; i < pages; ++i) {
            auto& page = out_.pages[i];
            const auto number = writer_.text_of(said(
                message("recall.paper.page").with("page", std::to_string(i + 1)).with("pages", std::to_string(pages))));
            const double number_width = writer_.fonts().width(number, Weight::regular) * foot_size;
            const auto lines = fit_text(text, Weight::regular, writer_.width() - number_width - 6, foot_size, foot_size,
                                        writer_.fonts())
                                   .lines;
            double y = base;
            for (std::size_t n = 0; n < std::min<std::size_t>(lines.size(), 2); ++n, y += line_step * foot_size)
                page.texts.push_back({lines[n], Weight::regular, foot_size, writer_.left(), y, 0.2});
            page.texts.push_back({number, Weight::regular, foot_size, writer_.right() - number_width, base, 0.2});
            PaperPath line;
            line.points = {{writer_.left(), base - 4}, {writer_.right(), base - 4}};
            line.shade = 0.4;
            page.paths.push_back(std::move(line));
        }
    }

    const RecallLetter& letter_;
    Paper out_;
    PaperWriter writer_;
};

}  // namespace

Paper recall_letter_paper(const RecallLetter& letter, const FontSet& fonts) {
    return LetterSetter(letter, fonts).set();
}

Result<std::string> recall_letter_pdf(const RecallLetter& letter) {
    // Read once a process, as for the audit: the fonts do not change under it.
    static const Result<FontSet> fonts = FontSet::load(FontSet::built_directory());
    if (!fonts) return refuse(fonts.error());
    return draw_paper(recall_letter_paper(letter, *fonts), *fonts);
}

}  // namespace crimpgate

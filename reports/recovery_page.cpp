#include "reports/recovery_page.h"

#include <algorithm>

#include "reports/paper_writer.h"

namespace crimpgate {
namespace {

constexpr double text_size = 3.5, small = 2.7, group_size = 8.5;
constexpr std::size_t groups_in_row = 3;

class PageSetter {
  public:
    PageSetter(const RecoveryPage& page, const FontSet& fonts)
        : page_(page), out_(blank_paper(page.size)), writer_(out_, fonts) {
        out_.title = encode_utf8(writer_.text_of(said(message("recovery.paper.title"))));
        out_.language = page.language;
    }

    Paper set() {
        writer_.paragraph(page_.shop, Weight::bold, text_size);
        writer_.down(3);
        writer_.paragraph(said(message("recovery.paper.title")), Weight::bold, 6);
        writer_.down(1);
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.5);
        writer_.down(3);
        writer_.paragraph(said(message("recovery.paper.what").with("station", page_.station)), Weight::regular,
                          text_size);
        writer_.down(2);
        keep();
        groups();
        labelled(message("recovery.paper.key"), page_.key);
        labelled(message("recovery.paper.printed"), page_.date + ", " + page_.printed_by);
        writer_.down(3);
        writer_.paragraph(said(message("recovery.paper.back")), Weight::bold, text_size);
        writer_.down(1);
        for (const Message& step : {message("recovery.paper.back_type"), message("recovery.paper.back_read"),
                                    message("recovery.paper.back_compare")}) {
            writer_.paragraph(said(step), Weight::regular, text_size);
            writer_.down(1);
        }
        return std::move(out_);
    }

  private:
    std::string said(const Message& m) const {
        if (page_.say) return page_.say(m);
        std::string out = m.code;
        for (const auto& d : m.details)
            out += " " + d.name + "=" + d.text;
        return out;
    }

    // What never to do, in a frame, before the secret itself.
    void keep() {
        constexpr double pad = 2.5;
        const double width = writer_.width() - 2 * pad;
        std::vector<std::u32string> lines;
        for (const Message& m : {message("recovery.paper.keep"), message("recovery.paper.never")})
            for (auto& text : writer_.wrapped(said(m), Weight::regular, width, text_size).lines)
                lines.push_back(std::move(text));
        const double height = static_cast<double>(lines.size()) * line_step * text_size + 2 * pad;
        const double top = writer_.y();
        writer_.frame(writer_.left(), top, writer_.width(), height, 0.6);
        double y = top + pad;
        for (auto& text : lines) {
            writer_.put(std::move(text), Weight::regular, writer_.left() + pad, y + ascent * text_size, text_size);
            y += line_step * text_size;
        }
        writer_.go_to(top + height + 6);
    }

    void groups() {
        const double column = writer_.width() / static_cast<double>(groups_in_row);
        for (std::size_t at = 0; at < page_.groups.size(); at += groups_in_row) {
            constexpr double row = 17;
            writer_.need(row);
            const double top = writer_.y();
            writer_.frame(writer_.left(), top, writer_.width(), row, 0.2, 0.4);
            const std::size_t end = std::min(at + groups_in_row, page_.groups.size());
            for (std::size_t i = at; i < end; ++i) {
                const double x = writer_.left() + column * static_cast<double>(i - at) + 4;
                writer_.put(std::to_string(i + 1), Weight::regular, x, top + 4.2, small, false, 0.3);
                writer_.put(std::string_view(page_.groups[i]), Weight::bold, x, top + 13.2, group_size);
            }
            writer_.down(row);
        }
        writer_.down(5);
    }

    void labelled(const Message& label, const std::string& value) {
        constexpr double indent = 38;
        bool first = true;
        for (auto& text : writer_.wrapped(value, Weight::regular, writer_.width() - indent, text_size).lines) {
            const double base = writer_.y() + ascent * text_size;
            if (first) writer_.put(said(label), Weight::regular, writer_.left(), base, small, false, 0.3);
            writer_.put(std::move(text), Weight::regular, writer_.left() + indent, base, text_size);
            writer_.down(line_step * text_size);
            first = false;
        }
        writer_.down(0.8);
    }

    const RecoveryPage& page_;
    Paper out_;
    PaperWriter writer_;
};

}  // namespace

Paper recovery_page_paper(const RecoveryPage& page, const FontSet& fonts) {
    return PageSetter(page, fonts).set();
}

Result<std::string> recovery_page_pdf(const RecoveryPage& page) {
    // Read once a process: the fonts do not change under it.
    static const Result<FontSet> fonts = FontSet::load(FontSet::built_directory());
    if (!fonts) return refuse(fonts.error());
    return draw_paper(recovery_page_paper(page, *fonts), *fonts);
}

}  // namespace crimpgate

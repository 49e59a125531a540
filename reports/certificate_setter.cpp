// Sets a certificate on its pages. The first page has all that whoever holds the paper must see at once.
#include <algorithm>
#include <stdexcept>

#include "reports/certificate.h"
#include "reports/certificate_tables.h"
#include "reports/certificate_words.h"
#include "reports/paper_code.h"
#include "reports/paper_writer.h"

namespace crimpgate {

namespace {

using certificate_words::Labelled;
using certificate_words::Words;
namespace tables = certificate_tables;

constexpr double title_size = 5.6, heading_size = 3.2, text_size = 2.5, small = 2.1;
constexpr double pad = 1.6;
// Of a delivery with many concessions the first page names so many; the summary has them all.
constexpr std::size_t most_conceded = 6;

class CertificateSetter {
  public:
    CertificateSetter(const CertificateData& data, const CertificatePaper& paper, const FontSet& fonts)
        : data_(data), words_(data, paper), out_(blank_paper(paper.size)), writer_(out_, fonts) {
        out_.title = encode_utf8(writer_.text_of(words_.title() + " " + data.number));
        out_.language = paper.reader.language;
    }

    Paper set() {
        title();
        concessions();
        sentences(message("certificate.paper.statement"), words_.statement());
        sentences(message("certificate.paper.requirements"), words_.requirements());
        sentences(message("certificate.paper.rule"), words_.rules());
        sentences(message("certificate.paper.limitations"), words_.limitations());
        framed({words_.caution()}, true, 0.4);
        record();
        link();
        signature();
        items();
        assemblies();
        more_tables();
        how_to_check();
        feet();
        return std::move(out_);
    }

  private:
    std::string say(const Message& message) const { return words_.say(message); }

    void title() {
        writer_.paragraph(words_.title(), Weight::bold, title_size);
        writer_.paragraph(words_.manner(), Weight::regular, small, 0, 0.25);
        writer_.down(1);
        rule();
        labelled(words_.head(), text_size);
        rule();
        writer_.down(1);
    }

    void rule() {
        writer_.down(0.6);
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.4);
        writer_.down(1.2);
    }

    // Label and value side by side; long values wrap in their column.
    void labelled(const std::vector<Labelled>& lines, double size, double value_size = 0) {
        if (value_size == 0) value_size = size;
        double label = 0;
        for (const auto& l : lines)
            label = std::max(label, writer_.text_width(l.label, Weight::regular, small));
        label = std::min(label + 2, writer_.width() / 3);
        for (const auto& l : lines) {
            auto names = writer_.wrapped(l.label, Weight::regular, label - 1, small).lines;
            auto values = writer_.wrapped(l.value, Weight::regular, writer_.width() - label, value_size).lines;
            const auto count = std::max(names.size(), values.size());
            for (std::size_t n = 0; n < count; ++n) {
                writer_.need(line_step * size);
                const double base = writer_.y() + ascent * size;
                if (n < names.size())
                    writer_.put(std::move(names[n]), Weight::regular, writer_.left(), base, small, false, 0.3);
                if (n < values.size())
                    writer_.put(std::move(values[n]), Weight::regular, writer_.left() + label, base, value_size);
                writer_.down(line_step * size);
            }
        }
    }

    void heading(const Message& text) {
        writer_.need(line_step * heading_size + 3 * line_step * text_size);
        writer_.paragraph(say(text), Weight::bold, heading_size);
        writer_.down(0.4);
    }

    void sentences(const Message& title, const std::vector<std::string>& texts) {
        heading(title);
        for (const auto& text : texts)
            writer_.paragraph(text, Weight::regular, text_size);
        writer_.down(1.8);
    }

    // Sentences in a frame; with the sign before them where a person could be hurt.
    void framed(const std::vector<std::string>& texts, bool sign, double line_width, const std::string& title = "") {
        const double sign_width = sign ? 8 : 0;
        std::vector<std::vector<std::u32string>> lines;
        double height = 2 * pad + (title.empty() ? 0 : line_step * heading_size);
        for (const auto& text : texts) {
            lines.push_back(
                writer_.wrapped(text, Weight::regular, writer_.width() - 2 * pad - sign_width, small + 0.1).lines);
            height += static_cast<double>(lines.back().size()) * line_step * (small + 0.1);
        }
        writer_.need(height);
        const double top = writer_.y();
        writer_.frame(writer_.left(), top, writer_.width(), height, line_width);
        if (sign)
            writer_.put(std::string_view("\u26A0"), Weight::regular, writer_.left() + pad, top + height / 2 + 2.0, 6);
        double y = top + pad;
        if (!title.empty()) {
            writer_.put(title, Weight::bold, writer_.left() + pad, y + ascent * heading_size, heading_size);
            y += line_step * heading_size;
        }
        for (auto& text : lines)
            for (auto& line : text) {
                writer_.put(std::move(line), Weight::regular, writer_.left() + pad + sign_width,
                            y + ascent * (small + 0.1), small + 0.1);
                y += line_step * (small + 0.1);
            }
        writer_.go_to(top + height + 2);
    }

    void concessions() {
        const auto title = words_.concession_title();
        if (title.empty()) return;
        framed(words_.concessions(most_conceded), false, 0.8, title);
    }

    void record() {
        heading(message("certificate.paper.record"));
        labelled(words_.record(), small + 0.1);
        writer_.down(1.5);
    }

    // The way to the customer's page: sentences and the address at the left, the code at the right, kept together.
    void link() {
        if (!data_.link) return;
        constexpr double code_room = 26, gap = 6;
        const auto symbol = qr_code(data_.link->address);
        if (!symbol) throw std::domain_error("a certificate's link that no code can hold");
        const double side = code_side(*symbol, code_room), width = writer_.width() - side - gap;
        auto told = writer_.wrapped(words_.link(), Weight::regular, width, text_size).lines;
        auto address = writer_.wrapped(data_.link->address, Weight::regular, width, text_size).lines;
        auto holder = writer_.wrapped(words_.link_holder(), Weight::regular, width, small).lines;
        const double texts = line_step * (heading_size + text_size * static_cast<double>(told.size() + address.size()) +
                                          small * static_cast<double>(holder.size())) +
                             2.4;
        const double height = std::max(side, texts);
        writer_.need(height + 2);
        const double top = writer_.y();
        put_code(writer_.page(), *symbol, writer_.right() - side, top, side);
        const auto lines = [&](std::vector<std::u32string>& all, double size, double shade = 0) {
            for (auto& line : all) {
                writer_.put(std::move(line), Weight::regular, writer_.left(), writer_.y() + ascent * size, size, false,
                            shade);
                writer_.down(line_step * size);
            }
        };
        writer_.put(say(message("certificate.paper.link")), Weight::bold, writer_.left(), top + ascent * heading_size,
                    heading_size);
        writer_.down(line_step * heading_size + 0.4);
        lines(told, text_size);
        writer_.down(0.8);
        lines(address, text_size);
        writer_.down(0.8);
        lines(holder, small, 0.3);
        writer_.go_to(top + height + 2);
    }

    void signature() {
        constexpr double room = 24;
        writer_.need(room + line_step * text_size);
        writer_.paragraph(words_.released(), Weight::regular, text_size);
        writer_.down(11);
        const double y = writer_.y(), width = writer_.width();
        const double xs[] = {0, width * 0.36, width * 0.72, width};
        const std::string above[] = {(data_.place.empty() ? "" : data_.place + ", ") + data_.issued_date,
                                     data_.releaser + ", " + data_.function, ""};
        const Message names[] = {message("certificate.paper.place_date"), message("certificate.paper.name_function"),
                                 message("certificate.paper.signature")};
        for (std::size_t i = 0; i < 3; ++i) {
            const double from = writer_.left() + xs[i], to = writer_.left() + xs[i + 1] - (i < 2 ? 4 : 0);
            writer_.line(from, y, to, y, 0.2);
            auto text = writer_.wrapped(above[i], Weight::regular, to - from, small + 0.2).lines;
            double base = y - 1.2 - line_step * (small + 0.2) * static_cast<double>(text.size() - 1);
            for (auto& line : text) {
                writer_.put(std::move(line), Weight::regular, from, base, small + 0.2);
                base += line_step * (small + 0.2);
            }
            writer_.put(say(names[i]), Weight::regular, from, y + ascent * small + 0.6, small, false, 0.3);
        }
        writer_.down(6);
    }

    void items() {
        for (std::size_t i = 0; i < data_.items.size(); ++i) {
            const auto count = static_cast<std::size_t>(std::count_if(data_.assemblies.begin(), data_.assemblies.end(),
                                                                      [&](const auto& a) { return a.item == i; }));
            const auto lines = words_.item(data_.items[i]);
            writer_.need(line_step * heading_size + static_cast<double>(lines.size() + 1) * line_step * text_size);
            writer_.paragraph(words_.item_title(i, count), Weight::bold, heading_size);
            writer_.down(0.4);
            labelled(lines, text_size);
            writer_.down(2);
        }
    }

    void table(const Message& title, const PaperTable& rows, std::vector<Message> notes = {}) {
        if (rows.rows.empty()) return;
        TableHeading heading;
        heading.title = say(title);
        heading.continued = say(message("audit.paper.continued").with("sheet", heading.title));
        for (const auto& note : notes)
            heading.notes.push_back(say(note));
        set_table(writer_, heading, rows);
    }

    void assemblies() {
        const auto lengths = message("certificate.paper.lengths").with("unit", words_.unit());
        table(message("certificate.paper.summary"), tables::summary(data_, words_), {lengths});
        if (data_.assemblies.size() <= tables::few) {
            for (const auto& a : data_.assemblies)
                table(message("certificate.paper.readings_of").with("serial", a.serial), tables::readings(a, words_),
                      {lengths, message("certificate.paper.readings_note")});
            return;
        }
        const tables::Bases bases(data_);
        table(message("certificate.paper.bases"), tables::bases(bases, data_, words_),
              {lengths, message("certificate.paper.bases_note")});
        table(message("certificate.paper.readings"), tables::ends(data_, bases, words_),
              {lengths, message("certificate.paper.ends_note")});
    }

    void more_tables() {
        const auto lengths = message("certificate.paper.lengths").with("unit", words_.unit());
        table(message("certificate.paper.recrimps"), tables::recrimps(data_, words_),
              {message("certificate.paper.recrimps_note")});
        table(message("certificate.paper.proof_tests"), tables::proof_tests(data_, words_));
        table(message("certificate.paper.gauges"), tables::gauges(data_, words_), {lengths});
        table(message("certificate.paper.proofs"), tables::proofs(data_, words_),
              {lengths, message("certificate.paper.proofs_note")});
        for (const auto& application : data_.applications) {
            std::vector<Message> notes = {message("certificate.paper.application_note")};
            if (!application.overridden_by.empty())
                notes.push_back(message("certificate.paper.overridden")
                                    .with("who", application.overridden_by)
                                    .with("reason", application.override_reason));
            table(message("certificate.paper.application").with("order", application.order),
                  tables::application(application, words_), std::move(notes));
        }
    }

    void how_to_check() {
        sentences(message("certificate.paper.check"),
                  {say(message("certificate.paper.check_how")), say(message("certificate.paper.check_proves")),
                   say(message("certificate.paper.check_not"))});
    }

    // Last, since only now it is known how many pages there are.
    void feet() {
        const auto pages = out_.pages.size();
        const double base = out_.height - 10;
        const auto record = writer_.text_of(words_.foot());
        for (std::size_t i = 0; i < pages; ++i) {
            auto& page = out_.pages[i];
            const auto number = writer_.text_of(words_.page_of(i + 1, pages));
            const double number_width = writer_.fonts().width(number, Weight::regular) * small;
            const auto lines =
                fit_text(record, Weight::regular, writer_.width() - number_width - 6, small, small, writer_.fonts())
                    .lines;
            double y = base;
            for (std::size_t n = 0; n < std::min<std::size_t>(lines.size(), 2); ++n, y += line_step * small)
                page.texts.push_back({lines[n], Weight::regular, small, writer_.left(), y, 0.2});
            page.texts.push_back({number, Weight::regular, small, writer_.right() - number_width, base, 0.2});
            PaperPath line;
            line.points = {{writer_.left(), base - 4}, {writer_.right(), base - 4}};
            line.shade = 0.4;
            page.paths.push_back(std::move(line));
        }
    }

    const CertificateData& data_;
    Words words_;
    Paper out_;
    PaperWriter writer_;
};

}  // namespace

Paper certificate_paper(const CertificateData& data, const CertificatePaper& paper, const FontSet& fonts) {
    return CertificateSetter(data, paper, fonts).set();
}

}  // namespace crimpgate

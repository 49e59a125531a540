#include "reports/return_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "reports/audit_pdf_table.h"
#include "reports/audit_pdf_words.h"
#include "reports/paper_writer.h"

namespace crimpgate {

namespace {

constexpr double text_size = 2.6, small = 2.2, title_size = 3.6;
using Keep = PaperTable::Keep;

// A sum or a weight with its sign, so that what speaks against is not read as for.
std::string signed_points(std::int64_t points) {
    return points < 0 ? "\u2212" + std::to_string(-points) : points > 0 ? "+" + std::to_string(points) : "0";
}

class ReturnSetter {
  public:
    ReturnSetter(const ReturnReport& report, const ReturnPaper& paper, const FontSet& fonts)
        : report_(report),
          ranking_(report.ranking),
          paper_(paper),
          out_(blank_paper(paper.size)),
          writer_(out_, fonts) {
        title_ = said(message("returned.paper.title").with("number", report.number));
        out_.title = encode_utf8(writer_.text_of(title_));
        out_.language = paper.reader.language;
    }

    Paper set() {
        head();
        cautions();
        notices();
        likely();
        record();
        seen();
        unknown();
        actions();
        siblings();
        arithmetic();
        signature();
        feet();
        return std::move(out_);
    }

  private:
    std::string said(const Message& m) const { return audit::said(m, paper_.reader); }
    std::string word(std::string_view code) const { return said(Message{std::string(code), {}}); }
    std::string time(const std::optional<std::int64_t>& ms) const {
        return ms ? audit_words::time_of(*ms, paper_.reader) : "";
    }

    void heading(const std::string& text) {
        writer_.need(16);
        writer_.paragraph(text, Weight::bold, title_size);
        writer_.down(1);
    }

    void facts(const std::vector<ReturnFact>& facts) {
        double label = 0;
        for (const auto& f : facts)
            label = std::max(label, writer_.text_width(f.label, Weight::regular, small));
        label = std::min(label + 3, writer_.width() * 0.42);
        for (const auto& f : facts) {
            if (f.value.empty()) continue;
            const auto labels = writer_.wrapped(f.label, Weight::regular, label - 2, small).lines;
            const auto values = writer_.wrapped(f.value, Weight::regular, writer_.width() - label, text_size).lines;
            for (std::size_t i = 0; i < std::max(labels.size(), values.size()); ++i) {
                writer_.need(line_step * text_size);
                const double base = writer_.y() + ascent * text_size;
                if (i < labels.size())
                    writer_.put(labels[i], Weight::regular, writer_.left(), base, small, false, 0.35);
                if (i < values.size()) writer_.put(values[i], Weight::regular, writer_.left() + label, base, text_size);
                writer_.down(line_step * text_size);
            }
            writer_.down(0.3);
        }
    }

    void head() {
        writer_.paragraph(title_, Weight::bold, 6);
        writer_.down(1);
        writer_.paragraph(report_.for_customer ? said(message("returned.paper.customers_copy"))
                                               : said(message("returned.paper.internal")),
                          Weight::bold, text_size);
        writer_.down(1.5);
        rule();
        const auto serial = report_.serial.empty() ? said(message("returned.paper.unknown_hose")) : report_.serial;
        facts({{said(message("returned.paper.serial")), serial},
               {said(message("returned.paper.described")), report_.described},
               {said(message("returned.paper.customer")), report_.customer},
               {said(message("returned.paper.order")), report_.order},
               {said(message("returned.paper.opened")), time(report_.opened_ms)},
               {said(message("returned.paper.concluded")), time(report_.concluded_ms)},
               {said(message("returned.paper.concluded_by")), report_.concluded_by},
               {said(message("returned.paper.judged")), judged()},
               {said(message("returned.paper.made_at")), audit_words::time_of(paper_.made_ms, paper_.reader)},
               {said(message("returned.paper.made_by")), paper_.made_by},
               {said(message("returned.paper.shop")), paper_.shop}});
        writer_.down(1);
        rule();
        writer_.down(2);
    }

    // What a person made of it; the ranking stays the station's.
    std::string judged() const {
        if (!report_.concluded_ms) return said(message("returned.paper.not_concluded"));
        const auto* mode = find_mode(report_.cause);
        return mode == nullptr ? said(message("returned.paper.cause_unknown")) : word(mode->words);
    }

    // Scrapped, on hold, another customer's: before anything is made of the ranking.
    void notices() {
        if (report_.notices.empty()) return;
        for (const auto& m : report_.notices)
            writer_.paragraph(said(m), Weight::bold, text_size);
        writer_.down(3);
    }

    void rule() {
        writer_.line(writer_.left(), writer_.y(), writer_.right(), writer_.y(), 0.5);
        writer_.down(1.5);
    }

    // R13: in a frame, on the first page, before anything else is read.
    void cautions() {
        constexpr double pad = 1.6, sign = 7, between = 0.7;
        std::vector<std::u32string> lines;
        std::vector<bool> first;
        for (const auto& m : ranking_.cautions) {
            auto wrapped = writer_.wrapped(said(m), Weight::regular, writer_.width() - 3 * pad - sign, small).lines;
            for (std::size_t i = 0; i < wrapped.size(); ++i) {
                first.push_back(i == 0 && !lines.empty());
                lines.push_back(std::move(wrapped[i]));
            }
        }
        if (lines.empty()) return;
        const auto gaps = static_cast<double>(std::ranges::count(first, true));
        const double height = static_cast<double>(lines.size()) * line_step * small + gaps * between + 2 * pad;
        writer_.need(height);
        const double top = writer_.y();
        writer_.frame(writer_.left(), top, writer_.width(), height, 0.5);
        writer_.put(std::string_view("\u26A0"), Weight::regular, writer_.left() + pad, top + height / 2 + 2.0, 6);
        double y = top + pad;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (first[i]) y += between;
            writer_.put(lines[i], Weight::regular, writer_.left() + 2 * pad + sign, y + ascent * small, small);
            y += line_step * small;
        }
        writer_.go_to(top + height + 4);
    }

    std::string fault_of(const FailureMode& mode) const {
        switch (mode.fault) {
            case FaultOf::bench:
                return said(message("returned.paper.fault_bench"));
            case FaultOf::application:
                return said(message("returned.paper.fault_application"));
            case FaultOf::material:
                return said(message("returned.paper.fault_material"));
        }
        return {};
    }

    std::string kind_of(LineOf kind) const {
        switch (kind) {
            case LineOf::symptom:
                return said(message("returned.paper.kind_symptom"));
            case LineOf::record:
                return said(message("returned.paper.kind_record"));
            case LineOf::application:
                return said(message("returned.paper.kind_application"));
            case LineOf::measured:
                return said(message("returned.paper.kind_measured"));
        }
        return {};
    }

    void table(const std::string& title, std::vector<std::string> notes, const PaperTable& table) {
        TableHeading heading;
        heading.title = title;
        heading.continued = said(message("returned.paper.continued").with("title", title));
        heading.notes = std::move(notes);
        set_table(writer_, heading, table);
        writer_.down(3);
    }

    // Every cause, so that what was ruled out can be read as well.
    void likely() {
        PaperTable t;
        t.columns = {{said(message("returned.paper.rank")), Keep::figure},
                     {said(message("returned.paper.cause")), Keep::text},
                     {said(message("returned.paper.fault")), Keep::text}};
        for (const auto kind : kinds)
            t.columns.push_back({kind_of(kind), Keep::figure});
        t.columns.push_back({said(message("returned.paper.points")), Keep::figure});
        for (const auto& mode : ranking_.modes) {
            t.rows.push_back({std::to_string(mode.rank), word(mode.mode->words), fault_of(*mode.mode)});
            for (const auto kind : kinds)
                t.rows.back().push_back(signed_points(mode.points_of(kind)));
            t.rows.back().push_back(signed_points(mode.points));
        }
        table(said(message("returned.paper.ranking")),
              {said(ranking_.conclusion), said(message("returned.paper.how_reckoned"))}, t);
    }

    void record() {
        heading(said(message("returned.paper.record_says")));
        writer_.paragraph(said(ranking_.record_sentence), Weight::bold, text_size);
        writer_.down(1);
        facts(report_.record);
        if (!report_.measured.empty()) {
            writer_.down(1.5);
            writer_.need(12);
            writer_.paragraph(said(message("returned.paper.measured")), Weight::bold, text_size);
            facts(report_.measured);
        }
        writer_.down(3);
    }

    void seen() {
        PaperTable t;
        t.columns = {{said(message("returned.paper.question")), Keep::text},
                     {said(message("returned.paper.answer")), Keep::text}};
        for (const auto& question : return_questions())
            for (const auto& answer : report_.answers)
                if (answer.question == question.code && answer.answer != not_known)
                    t.rows.push_back({word(question.words), word(find_answer(question.code, answer.answer)->words)});
        if (t.rows.empty()) t.rows.push_back({said(message("returned.paper.nothing_seen")), ""});
        table(said(message("returned.paper.seen")), {}, t);
        if (ranking_.contradicting.empty()) return;
        heading(said(message("returned.paper.contradictions")));
        for (const auto& c : ranking_.contradicting)
            bullet(word(find_answer(c.question_a, c.answer_a)->words) + "  /  " +
                   word(find_answer(c.question_b, c.answer_b)->words));
        writer_.down(3);
    }

    void bullet(const std::string& text) {
        writer_.need(line_step * text_size);
        writer_.put(std::string_view("\u2022"), Weight::regular, writer_.left(), writer_.y() + ascent * text_size,
                    text_size);
        writer_.paragraph(text, Weight::regular, text_size, 4);
        writer_.down(0.4);
    }

    void unknown() {
        heading(said(message("returned.paper.unknown")));
        for (const auto& m : ranking_.unknown)
            bullet(said(m));
        for (const auto code : ranking_.open_questions)
            bullet(said(message("returned.paper.not_answered")) + " " + word(find_question(code)->words));
        writer_.down(3);
    }

    // For the causes within reach, each action once.
    void actions() {
        heading(said(message("returned.paper.actions")));
        std::vector<std::string_view> bench, in_use;
        for (const auto& mode : ranking_.modes) {
            if (!within_reach(mode, ranking_)) continue;
            if (std::ranges::find(bench, mode.mode->bench) == bench.end()) bench.push_back(mode.mode->bench);
            if (std::ranges::find(in_use, mode.mode->in_use) == in_use.end()) in_use.push_back(mode.mode->in_use);
        }
        if (bench.empty()) writer_.paragraph(said(message("returned.paper.no_actions")), Weight::regular, text_size);
        const auto list = [&](const std::string& title, const std::vector<std::string_view>& codes) {
            if (codes.empty()) return;
            writer_.need(10);
            writer_.paragraph(title, Weight::bold, text_size);
            for (const auto code : codes)
                bullet(word(code));
            writer_.down(1);
        };
        list(said(message("returned.paper.at_the_bench")), bench);
        list(said(message("returned.paper.where_used")), in_use);
        const auto decided = [&](const Message& title, const std::string& text) {
            if (text.empty()) return;
            writer_.need(10);
            writer_.paragraph(said(title), Weight::bold, text_size);
            writer_.paragraph(text, Weight::regular, text_size);
            writer_.down(1);
        };
        decided(message("returned.paper.decided_bench"), report_.bench_action);
        decided(message("returned.paper.decided_use"), report_.application_action);
        decided(message("returned.paper.remark"), report_.remark);
        writer_.down(3);
    }

    std::string group_of(SiblingGroup group) const {
        switch (group) {
            case SiblingGroup::hose_lot:
                return said(message("returned.paper.group_hose_lot"));
            case SiblingGroup::fitting_lot:
                return said(message("returned.paper.group_fitting_lot"));
            case SiblingGroup::setup:
                return said(message("returned.paper.group_setup"));
            case SiblingGroup::gauge_since_proof:
                return said(message("returned.paper.group_gauge"));
            case SiblingGroup::operator_shift:
                return said(message("returned.paper.group_operator"));
            case SiblingGroup::application:
                return said(message("returned.paper.group_application"));
        }
        return {};
    }

    void siblings() {
        PaperTable t;
        t.columns = {{said(message("returned.paper.group")), Keep::text},
                     {said(message("returned.paper.why")), Keep::text},
                     {said(message("returned.paper.how_many")), Keep::text},
                     {said(message("returned.paper.serials")), Keep::text}};
        for (const auto& risk : ranking_.siblings) {
            std::string why;
            for (const auto code : risk.why)
                why += (why.empty() ? "" : " ") + word(code);
            bool found = false;
            for (const auto& siblings : report_.siblings) {
                if (siblings.group != risk.group) continue;
                found = true;
                t.rows.push_back({group_of(risk.group) + (siblings.key.empty() ? "" : ": " + siblings.key), why,
                                  siblings.count ? std::to_string(*siblings.count) +
                                                       (siblings.where.empty() ? "" : " (" + siblings.where + ")")
                                                 : said(message("returned.paper.cannot_tell")),
                                  serials_of(siblings)});
            }
            if (!found) t.rows.push_back({group_of(risk.group), why, said(message("returned.paper.cannot_tell")), ""});
        }
        if (t.rows.empty()) {
            heading(said(message("returned.paper.siblings")));
            writer_.paragraph(said(message("returned.paper.no_siblings")), Weight::regular, text_size);
            writer_.down(3);
            return;
        }
        table(said(message("returned.paper.siblings")), {}, t);
    }

    std::string serials_of(const FoundSiblings& siblings) const {
        std::string out;
        const auto shown = std::min(siblings.serials.size(), paper_.most_serials);
        for (std::size_t i = 0; i < shown; ++i)
            out += (i > 0 ? ", " : "") + siblings.serials[i];
        const auto all = std::max<std::int64_t>(siblings.count.value_or(0), std::ssize(siblings.serials));
        if (static_cast<std::int64_t>(shown) < all && shown > 0)
            out += " " + said(message("returned.paper.more_serials")
                                  .with("shown", std::to_string(shown))
                                  .with("count", std::to_string(all)));
        return out;
    }

    // Line by line, those within reach first; each sum stands under its lines.
    void arithmetic() {
        for (const bool reach : {true, false}) {
            PaperTable t;
            t.columns = {{said(message("returned.paper.cause")), Keep::text},
                         {said(message("returned.paper.line")), Keep::text},
                         {said(message("returned.paper.kind")), Keep::text},
                         {said(message("returned.paper.points")), Keep::figure}};
            for (const auto& mode : ranking_.modes) {
                if (within_reach(mode, ranking_) != reach || mode.lines.empty()) continue;
                std::string cause = word(mode.mode->words);
                for (const auto& line : mode.lines) {
                    const auto also = line.together.empty() ? "" : " + " + word(line.together);
                    t.rows.push_back({cause, said(line.what) + also, kind_of(line.kind), signed_points(line.weight)});
                    cause.clear();
                }
                t.rows.push_back({"", said(message("returned.paper.sum").with("sources", sources_of(*mode.mode))), "",
                                  "= " + signed_points(mode.points)});
            }
            if (t.rows.empty()) continue;
            table(reach ? said(message("returned.paper.arithmetic")) : said(message("returned.paper.arithmetic_rest")),
                  reach ? std::vector{said(message("returned.paper.weights"))} : std::vector<std::string>{}, t);
        }
    }

    std::string sources_of(const FailureMode& mode) const {
        std::string out;
        for (const auto source : mode.sources)
            out += (out.empty() ? "" : "; ") + word(words_of(source));
        return fmt::format("{} ({})", out, mark_of(mode.mark));
    }

    void signature() {
        writer_.need(34);
        writer_.paragraph(said(message("returned.paper.sign")), Weight::regular, text_size);
        writer_.down(14);
        const double y = writer_.y(), width = writer_.width();
        const double xs[] = {0, width * 0.44, width * 0.62, width};
        const Message names[] = {message("returned.paper.sign_name"), message("returned.paper.sign_date"),
                                 message("returned.paper.sign_hand")};
        for (std::size_t i = 0; i < 3; ++i) {
            const double from = writer_.left() + xs[i], to = writer_.left() + xs[i + 1] - (i < 2 ? 4 : 0);
            writer_.line(from, y, to, y, 0.2);
            writer_.put(said(names[i]), Weight::regular, from, y + ascent * small + 0.6, small, false, 0.3);
        }
        writer_.down(6);
    }

    // Last, since only now it is known how many pages there are.
    void feet() {
        const double base = out_.height - 10;
        const auto text = writer_.text_of(said(message("returned.paper.foot")
                                                   .with("number", report_.number)
                                                   .with("station", paper_.station)
                                                   .with("seq", std::to_string(paper_.last_seq))
                                                   .with("hash", paper_.last_hash.substr(0, 16))));
        for (std::size_t i = 0; i < out_.pages.size(); ++i) {
            auto& page = out_.pages[i];
            const auto number = writer_.text_of(audit_words::page_of(i + 1, out_.pages.size(), paper_.reader));
            const double number_width = writer_.fonts().width(number, Weight::regular) * small;
            const auto lines =
                fit_text(text, Weight::regular, writer_.width() - number_width - 6, small, small, writer_.fonts())
                    .lines;
            double y = base;
            for (std::size_t n = 0; n < std::min<std::size_t>(lines.size(), 2); ++n, y += line_step * small)
                page.texts.push_back({lines[n], Weight::regular, small, writer_.left(), y, 0.2});
            page.texts.push_back({number, Weight::regular, small, writer_.right() - number_width, base, 0.2});
            PaperPath above;
            above.points = {{writer_.left(), base - 4}, {writer_.right(), base - 4}};
            above.shade = 0.4;
            page.paths.push_back(std::move(above));
        }
    }

    static constexpr LineOf kinds[] = {LineOf::symptom, LineOf::record, LineOf::application, LineOf::measured};
    const ReturnReport& report_;
    const ReturnRanking& ranking_;
    const ReturnPaper& paper_;
    Paper out_;
    PaperWriter writer_;
    std::string title_;
};

}  // namespace

Paper return_report_paper(const ReturnReport& report, const ReturnPaper& paper, const FontSet& fonts) {
    return ReturnSetter(report, paper, fonts).set();
}

Result<std::string> return_report_pdf(const ReturnReport& report, const ReturnPaper& paper) {
    // Read once a process: the fonts are files of the build or the installation and do not change under it.
    static const Result<FontSet> fonts = FontSet::load(FontSet::built_directory());
    if (!fonts) return refuse(fonts.error());
    return draw_paper(return_report_paper(report, paper, *fonts), *fonts);
}

}  // namespace crimpgate

#include "reports/tag_setter.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "reports/flow.h"
#include "reports/tag_text.h"
#include "reports/tag_words.h"

namespace crimpgate {

namespace {

// Millimetres. 1.6 mm is 4.5 pt: 13 dots of a 203 dpi head from accent to tail.
constexpr double smallest = 1.6;
// Modules of bar codes: finer than this hand-held readers give up, coarser only takes room.
constexpr double code_128_finest = 0.24, code_128_coarsest = 0.39;
constexpr double qr_finest = 0.33, qr_coarsest = 0.9;
// What a code of its own may take where the plan's room is too little for it: a signed statement is long.
constexpr double qr_most_large = 26.0, qr_most_small = 24.6;

using Plan = TagPlan;

constexpr Plan large{3.0, 1.6, 4.4, 9.5, 12.0, 26.0, 12.5, 5.2, 4.2, 2.3, 3.4, 2.9, 2.2, 1.25};
constexpr Plan small{1.6, 0.5, 2.6, 7.2, 6.0, 18.4, 7.2, 3.5, 2.8, 1.7, 2.5, 2.1, 1.7, 1.2};
// Where names are so long that nothing else helps, serial and pressure give way as well, but stay the largest.
constexpr Plan large_tight{3.0, 0.8, 3.0, 7.0, 9.0, 22.0, 8.0, 3.8, 3.2, 1.8, 2.8, 2.9, 2.2, 0.8};
constexpr Plan small_tight{1.6, 0.2, 2.0, 5.0, 4.5, 14.7, 4.6, 2.5, 2.4, 1.6, 2.2, 2.1, 1.7, 0.8};

double between(double a, double b, double t) {
    return a + (b - a) * t;
}

Plan blend(const Plan& a, const Plan& b, double t) {
    Plan out;
    out.margin = between(a.margin, b.margin, t);
    out.gap = between(a.gap, b.gap, t);
    out.shop = between(a.shop, b.shop, t);
    out.serial = between(a.serial, b.serial, t);
    out.bars = between(a.bars, b.bars, t);
    out.qr = between(a.qr, b.qr, t);
    out.pressure = between(a.pressure, b.pressure, t);
    out.pressure_side = between(a.pressure_side, b.pressure_side, t);
    out.strip = between(a.strip, b.strip, t);
    out.caution = between(a.caution, b.caution, t);
    out.signal = between(a.signal, b.signal, t);
    out.value = between(a.value, b.value, t);
    out.label = between(a.label, b.label, t);
    out.largest_scale = between(a.largest_scale, b.largest_scale, t);
    return out;
}

class TagSetter {
  public:
    TagSetter(const TagData& tag, TagSize size, const Plan& plan, const FontSet& fonts, int dpi, const Symbol& bars,
              const Symbol& qr)
        : tag_(tag),
          fonts_(fonts),
          dpi_(dpi),
          bars_(bars),
          qr_(qr),
          compact_(size == TagSize::mm100x50),
          plan_(plan),
          format_(tag_format(size)) {}

    Result<SetTag> at_scale(double scale, double extra_gap) {
        page_ = {};
        across_ = room();
        least_bottom_ = 0;
        page_.width = format_.width;
        page_.height = format_.height;
        page_.title = tag_.serial;
        scale_ = scale;
        gap_ = plan_.gap + extra_gap;
        style_ = {std::max(smallest, plan_.label * scale), std::max(smallest, plan_.value * scale), smallest,
                  compact_ ? 1.5 : 2.5};
        Flow flow(page_, fonts_);
        const double caution_top = caution(flow);
        double y = plan_.margin;
        if (!compact_) y = heading(flow, y);
        y = verdicts(flow, y);
        const auto below_codes = serial_and_codes(flow, y);
        if (!below_codes) return refuse(below_codes.error());
        y = pressure(flow, *below_codes);
        y = compact_ ? compact_rows(flow, y) : ends(flow, order_rows(flow, y));
        return SetTag{std::move(page_), caution_top - y, compact_ ? 3 : 5};
    }

  private:
    double left() const { return plan_.margin; }
    double room() const { return format_.width - 2 * plan_.margin; }
    double shrunk(double size) const { return std::max(smallest, size * std::min(1.0, scale_)); }

    double heading(Flow& flow, double y) {
        constexpr double kind_size = 2.4;
        const double kind_width = flow.text_width(tag_words::kind, Weight::regular) * kind_size;
        const double shop = shrunk(plan_.shop);
        double bottom = flow.block("shop", tag_.shop, Weight::bold, left(), y, room() - kind_width - 3, shop, smallest);
        const double kind_top = y + ascent * std::max(0.0, shop - kind_size);  // on the shop's base line
        flow.one_line("kind", tag_words::kind, Weight::regular, left() + room() - kind_width, kind_top, kind_width + 1,
                      kind_size);
        bottom = std::max(bottom, kind_top + line_step * kind_size);
        flow.line(left(), bottom + 0.3, room());
        return bottom + 0.5 + gap_;
    }

    // White on black, read first. All on one line where the concession's reference has room beside the other words;
    // else the concession has a strip of its own above them.
    double verdicts(Flow& flow, double y) {
        std::vector<std::pair<std::string, std::string>> words;
        if (tag_.recrimped()) words.emplace_back("recrimped", tag_words::recrimped);
        if (tag_.reprint > 0) words.emplace_back("reprint", fmt::format("{} {}", tag_words::reprint, tag_.reprint));
        if (words.empty() && !tag_.concession_reference) return y;

        const double size = plan_.strip, pad = size * 0.4, between = 1.0, line = line_step * size;
        double words_width = 0;
        for (const auto& w : words)
            words_width += flow.text_width(w.second, Weight::bold) * size + 2 * pad + between;
        double x = left(), height = line;
        if (tag_.concession_reference) {
            const double reference = shrunk(size * 0.85);
            const double word = flow.text_width(tag_words::concession, Weight::bold) * size;
            const double natural = flow.text_width(*tag_.concession_reference, Weight::bold) * reference * 0.8;
            const bool own_strip = word + natural + 3 * pad > room() - words_width;
            const double box = own_strip ? room() : room() - words_width;
            flow.one_line("concession", tag_words::concession, Weight::bold, x + pad, y, box, size, nullptr, true);
            if (!tag_.concession_reference->empty()) {
                const double top = y + ascent * (size - reference);
                const double bottom =
                    flow.block("concession_reference", *tag_.concession_reference, Weight::bold, x + word + 2 * pad,
                               top, box - word - 3 * pad, reference, smallest, true);
                height = std::max(height, bottom - y);
            }
            page_.frames.push_back({{x, y, box, height}, true});
            if (own_strip && !words.empty()) {
                y += height + between * 0.5;
                height = line;
            } else {
                x += box + between;
            }
        }
        for (const auto& [field, text] : words) {
            const double width = flow.one_line(field, text, Weight::bold, x + pad, y, room(), size, nullptr, true);
            page_.frames.push_back({{x, y, width + 2 * pad, height}, true});
            x += width + 2 * pad + between;
        }
        return y + height + std::max(0.6, gap_ * 0.7);
    }

    // Snapped to the dot grid from the page's top left corner, quiet zone included in the box.
    PlacedCode placed(std::string_view field, const Symbol& symbol, int dots, double x, double y,
                      double bar_height) const {
        const double mm = 25.4 / dpi_;
        const int left_dot = static_cast<int>(std::ceil(x / mm)) + symbol.quiet * dots;
        const bool linear = symbol.rows == 1;
        const int bar_dots = linear ? static_cast<int>(std::floor(bar_height / mm)) : dots;
        const int quiet_above = linear ? 0 : symbol.quiet * dots;
        const int top_dot = static_cast<int>(std::ceil(y / mm)) + quiet_above;
        const Box box{(left_dot - symbol.quiet * dots) * mm, (top_dot - quiet_above) * mm,
                      symbol.columns_with_quiet() * dots * mm, (symbol.rows * bar_dots + 2 * quiet_above) * mm};
        return {std::string(field), symbol, dots, bar_dots, left_dot, top_dot, box};
    }

    tl::unexpected<Message> too_dense(std::string_view symbol, std::string_view text) const {
        return refuse(message("tag.code_too_dense")
                          .with("symbol", symbol)
                          .with("text", text)
                          .with("dpi", fmt::format("{}", dpi_)));
    }

    // Serial and Code 128 at the left, the 2-D code at the right; a long serial's bars go below, over the whole width.
    Result<double> serial_and_codes(Flow& flow, double y) {
        const double mm = 25.4 / dpi_;
        int qr_dots = dots_per_module(qr_, plan_.qr + mm, qr_finest, qr_coarsest, dpi_);
        if (qr_dots == 0)
            qr_dots =
                dots_per_module(qr_, (compact_ ? qr_most_small : qr_most_large) + mm, qr_finest, qr_coarsest, dpi_);
        if (qr_dots == 0) return too_dense("2-D code", tag_.code_payload.empty() ? tag_.serial : tag_.code_payload);
        const double qr_width = qr_.columns_with_quiet() * qr_dots * mm;
        const PlacedCode qr = placed("qr", qr_, qr_dots, left() + room() - qr_width - mm, y, 0);
        page_.codes.push_back(qr);

        const double column = room() - qr_width - 2 * mm - 1;
        double at = y;
        if (compact_)
            at = flow.block("shop", tag_.shop, Weight::bold, left(), at, column, shrunk(plan_.shop), smallest);
        else
            at = flow.block("label", tag_words::serial, Weight::regular, left(), at, column, 2.4, smallest);
        double size = 0;
        flow.one_line("serial", tag_.serial, Weight::bold, left(), at, column, plan_.serial, &size);
        at += line_step * size;

        const int beside = dots_per_module(bars_, column, code_128_finest, code_128_coarsest, dpi_);
        if (beside > 0) {
            double height = std::max(plan_.bars, qr.box.bottom() - at - mm);
            if (compact_ && !tag_.code_payload.empty()) {
                // A signed code is large: the pressure stands beside it, too.
                across_ = column;
                least_bottom_ = qr.box.bottom();
                height = std::max(plan_.bars, height - line_step * plan_.pressure - 2 * gap_);
                page_.codes.push_back(placed("code_128", bars_, beside, left(), at, height));
                return page_.codes.back().box.bottom() + gap_;
            }
            page_.codes.push_back(placed("code_128", bars_, beside, left(), at, height));
            return std::max(qr.box.bottom(), page_.codes.back().box.bottom()) + gap_;
        }
        const int below = dots_per_module(bars_, room() - mm, code_128_finest, code_128_coarsest, dpi_);
        if (below == 0) return too_dense("Code 128", tag_.serial);
        page_.codes.push_back(placed("code_128", bars_, below, left(), std::max(at, qr.box.bottom()), plan_.bars));
        return page_.codes.back().box.bottom() + gap_;
    }

    double pressure(Flow& flow, double y) {
        const Pressure p = tag_.working_pressure.pressure;
        if (!compact_) {
            flow.line(left(), y - gap_ * 0.5, room());
            y = flow.block("label", tag_words::pressure, Weight::regular, left(), y, room(), 2.4, smallest);
        }
        const std::string mega = tag_text::mpa(p) + " MPa", pounds = tag_text::psi(tag_.working_pressure) + " psi";
        double side = plan_.pressure_side;
        const double beside =
            std::max(flow.text_width(mega, Weight::bold), flow.text_width(pounds, Weight::bold)) * side;
        double size = 0;
        const double main = flow.one_line("working_pressure", tag_text::bar(p) + " bar", Weight::bold, left(), y,
                                          across_ - std::min(beside, across_ * 0.45) - 4, plan_.pressure, &size);
        const double x = left() + main + 4, width = left() + across_ - x;
        if (compact_) {  // one line, with the label above it
            const double label_size = smallest;
            flow.block("label", tag_words::pressure, Weight::regular, x, y, width, label_size, smallest);
            const double below = y + line_step * label_size;
            const std::string both = mega + "  " + pounds;
            const double largest = std::min(side, (size * line_step - line_step * label_size) / line_step);
            flow.one_line("working_pressure", both, Weight::bold, x, below, width, largest);
            return std::max(y + line_step * size, least_bottom_) + gap_;
        }
        // Two lines beside the large one, their last base line on its base line.
        side = std::min(side, size * 0.48);
        const double base = y + ascent * size;
        double used = 0;
        flow.one_line("working_pressure", pounds, Weight::bold, x, base - ascent * side, width, side, &used);
        flow.one_line("working_pressure", mega, Weight::bold, x, base - ascent * side - line_step * side, width, side,
                      &used);
        return y + line_step * size + gap_;
    }

    std::string assembled() const {
        return tag_.date_code.empty() ? tag_.assembly_date : fmt::format("{} ({})", tag_.assembly_date, tag_.date_code);
    }

    double order_rows(Flow& flow, double y) {
        flow.line(left(), y - gap_ * 0.5, room());
        y = flow.rows(
            {{{"order", tag_words::order, tag_.order}, {"customer_part", tag_words::part, tag_.customer_part}},
             {{"customer", tag_words::customer, tag_.customer}},
             {{"hose", tag_words::hose, tag_text::hose(tag_)}},
             {{"hose_lot", tag_words::hose_lot, tag_.hose_lot},
              {"record", tag_words::record, fmt::format("{}", tag_.journal_sequence)}},
             {{"overall_length", tag_words::length, tag_text::overall_length(tag_)},
              {"orientation", tag_words::orientation, tag_text::orientation(tag_)}},
             {{"assembled", tag_words::assembled, assembled()}, {"station", tag_words::station, tag_.station}},
             {{"operator", tag_words::operator_name, tag_.operator_name}}},
            left(), y, room(), style_);
        return y + gap_;
    }

    double ends(Flow& flow, double y) {
        flow.line(left(), y - gap_ * 0.5, room());
        CellStyle style = style_;  // half the width and longer texts: a size that most of them fit in as it is
        style.value = std::max(smallest, style.value * 0.87);
        const double between = 3, width = (room() - between) / 2;
        double bottom = y;
        for (int i = 0; i < 2; ++i) {
            const TagEnd& e = tag_.ends[i];
            const std::string id = i == 0 ? "end_a." : "end_b.";
            const double x = left() + i * (width + between);
            double at = flow.block(id + "name", tag_words::end[i], Weight::bold, x, y, width, style_.value, smallest);
            std::vector<std::vector<Cell>> rows{{{id + "fitting", tag_words::fitting, tag_text::fitting(e)}},
                                                {{id + "fitting_lot", tag_words::lot, e.fitting_lot}},
                                                {{id + "depth", tag_words::depth, tag_text::depth(e)}},
                                                {{id + "diameters", tag_words::crimp, tag_text::diameters(e)}},
                                                {{id + "spread", tag_words::spread, tag_text::spread(e)}},
                                                {{id + "gauges", tag_words::gauge, tag_text::gauges(e)}},
                                                {{id + "rule", tag_words::rule, tag_text::rule(e.rule)}}};
            if (e.recrimps > 0) rows.push_back({{id + "recrimps", tag_words::recrimps, fmt::format("{}", e.recrimps)}});
            at = flow.rows(rows, x, at, width, style);
            bottom = std::max(bottom, at);
        }
        page_.lines.push_back({{left() + width + between / 2 - 0.1, y, 0.2, bottom - y}});
        return bottom + gap_;
    }

    double compact_rows(Flow& flow, double y) {
        flow.line(left(), y - gap_ * 0.5 - 0.1, room());
        y = flow.ragged_rows(
            {{{"order", tag_words::order, tag_.order}, {"customer_part", tag_words::part, tag_.customer_part}},
             {{"hose", tag_words::hose, tag_text::hose(tag_)}},
             {{"end_a.fitting", tag_words::end[0], tag_text::fitting(tag_.ends[0])}},
             {{"end_b.fitting", tag_words::end[1], tag_text::fitting(tag_.ends[1])}},
             {{"overall_length", tag_words::length, tag_text::overall_length(tag_)},
              {"assembled", tag_words::assembled, assembled()}},
             {{"customer", tag_words::customer, tag_.customer, 1.4},
              {"operator", tag_words::operator_name, tag_.operator_name},
              {"station", tag_words::station, tag_.station, 0.7},
              {"record", tag_words::record, fmt::format("{}", tag_.journal_sequence), 0.8}}},
            left(), y, room(), style_);
        return y + gap_;
    }

    // At the foot of the label, in a frame, always the same; returns its top.
    double caution(Flow& flow) {
        const double pad = compact_ ? 0.5 : 1.0, signal = plan_.signal;
        const std::string_view words = compact_ ? tag_words::caution_in_short : tag_words::caution;
        const double sign = flow.text_width(tag_words::warning_sign, Weight::regular) * signal;
        const double word = flow.text_width(tag_words::warning, Weight::bold) * signal;
        const double panel = sign + word + 3 * pad;
        const bool beside = compact_;  // the words stand beside the signal word, or below it
        const double text_x = left() + pad + (beside ? panel : 0);
        const double text_width = room() - 2 * pad - (beside ? panel : 0);

        const auto first = page_.texts.size();
        double y = beside ? pad : line_step * signal + pad;
        y = flow.block("caution", words, Weight::regular, text_x, y, text_width, plan_.caution, smallest) + pad;
        const double height = std::max(y, line_step * signal + 2 * pad);
        const double top = format_.height - plan_.margin - height;
        for (auto i = first; i < page_.texts.size(); ++i) {
            page_.texts[i].base_line += top;
            page_.texts[i].box.y += top;
        }
        const double panel_height = beside ? height : line_step * signal;
        const double panel_width = beside ? panel : room();
        page_.frames.push_back({{left(), top, room(), height}, false});
        page_.frames.push_back({{left(), top, panel_width, panel_height}, true});
        const double word_top = top + (panel_height - line_step * signal) / 2;
        const double x = left() + (panel_width - sign - word - pad) / 2;
        flow.one_line("warning", tag_words::warning_sign, Weight::regular, x, word_top, sign + 1, signal, nullptr,
                      true);
        flow.one_line("warning", tag_words::warning, Weight::bold, x + sign + pad, word_top, word + 1, signal, nullptr,
                      true);
        return top;
    }

    const TagData& tag_;
    const FontSet& fonts_;
    int dpi_;
    const Symbol& bars_;
    const Symbol& qr_;
    bool compact_;
    Plan plan_;
    TagFormat format_;
    PageLayout page_;
    CellStyle style_;
    double scale_ = 1;
    double gap_ = 0;
    double across_ = 0;        // of the pressure's line
    double least_bottom_ = 0;  // of the codes, where the pressure stands beside them
};

}  // namespace

TagPlan tag_plan(TagSize size, double tightness) {
    const bool compact = size == TagSize::mm100x50;
    return blend(compact ? small : large, compact ? small_tight : large_tight, tightness);
}

Result<SetTag> set_tag(const TagData& tag, TagSize size, const TagPlan& plan, double scale, double extra_gap,
                       const Symbol& bars, const Symbol& qr, const FontSet& fonts, int dpi) {
    return TagSetter(tag, size, plan, fonts, dpi, bars, qr).at_scale(scale, extra_gap);
}

}  // namespace crimpgate

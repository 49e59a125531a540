#include "reports/audit_pdf_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "reports/audit_chart_marks.h"
#include "reports/audit_pdf_words.h"
#include "reports/statistics/normality.h"

namespace crimpgate {

namespace {

using audit::said;
using audit::shown_number;

constexpr double title_size = 3.0, text_size = 2.1, letter_size = 1.9;
constexpr double axis_room = 13, label_room = 27, panel_height = 40, track = 2.3;

// A rectangle on the page that shows values from low to high.
struct Frame {
    double x = 0, y = 0, width = 0, height = 0;
    double low = 0, high = 1;
    double at(double value) const { return y + height * (high - value) / (high - low); }
};

void title(PaperWriter& writer, const std::string& words, double with) {
    writer.need(line_step * title_size + 1 + with);
    writer.paragraph(words, Weight::bold, title_size);
    writer.down(0.8);
}

void value_axis(PaperWriter& writer, const Frame& f, const audit::Reader& reader) {
    const auto ticks = axis_ticks(f.low, f.high);
    for (const double tick : ticks.at) {
        writer.line(f.x, f.at(tick), f.x + f.width, f.at(tick), 0.08, 0.8);
        writer.put(shown_number(fmt::format("{:.{}f}", tick, ticks.places), reader), Weight::regular, f.x - 1.2,
                   f.at(tick) + text_size * 0.36, text_size, true);
    }
    writer.frame(f.x, f.y, f.width, f.height, 0.2, 0.3);
}

std::string chart_name(const audit::Chart& chart, const audit::Reader& reader) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 4> names{
        {{"means", "audit.chart.means"},
         {"spreads", "audit.chart.spreads"},
         {"reasons", "audit.chart.reasons"},
         {"normality", "audit.chart.normality"}}};
    const auto kind = chart.id.substr(0, chart.id.find(':'));
    const auto known = std::find_if(names.begin(), names.end(), [&](const auto& n) { return n.first == kind; });
    auto name = known == names.end() ? kind : audit::word_for(known->second, kind, reader);
    if (!chart.unit.empty()) name += ", " + chart.unit;
    return chart.stream.empty() ? name : name + " \u00B7 " + chart.stream;
}

class ControlChart {
  public:
    ControlChart(PaperWriter& writer, const audit::Chart& chart, const audit::Reader& reader)
        : writer_(writer), chart_(chart), reader_(reader) {
        for (const auto& point : chart.points) {
            values_.push_back(place_of(point.value));
            for (const auto& rule : point.signals)
                if (std::find(rules_.begin(), rules_.end(), rule) == rules_.end()) rules_.push_back(rule);
        }
        look_around();
    }

    void set() {
        title(writer_, chart_name(chart_, reader_), panel_height + 14);
        captions();
        const std::size_t n = chart_.points.size();
        const std::size_t panels = std::clamp<std::size_t>((n + 109) / 110, 1, 4);
        const std::size_t each = (n + panels - 1) / panels;
        for (std::size_t from = 0; from < n; from += each)
            panel(from, std::min(n, from + each));
        writer_.down(3);
    }

  private:
    void widen(std::optional<double> value) {
        if (!value) return;
        low_ = seen_ ? std::min(low_, *value) : *value;
        high_ = seen_ ? std::max(high_, *value) : *value;
        seen_ = true;
    }

    void look_around() {
        for (const auto& value : values_)
            widen(value);
        for (const auto* line : {&chart_.centre, &chart_.lower, &chart_.upper})
            widen(place_of(*line));
        // A band much wider than everything else would press the points into one line: then it is told in words.
        const auto below = place_of(chart_.band_lower), above = place_of(chart_.band_upper);
        double low = low_, high = high_;
        for (const auto& edge : {below, above}) {
            if (!edge) continue;
            low = std::min(low, *edge);
            high = std::max(high, *edge);
        }
        band_shown_ = seen_ && high - low <= 4 * (high_ - low_);
        if (band_shown_) {
            low_ = low;
            high_ = high;
        }
        double margin = (high_ - low_) * 0.06;
        if (margin <= 0) margin = std::max(std::abs(high_) * 0.001, 0.001);
        low_ -= margin;
        high_ += margin;
    }

    std::string letter(const std::string& rule) const {
        const auto i = static_cast<std::size_t>(std::find(rules_.begin(), rules_.end(), rule) - rules_.begin());
        return i < 26 ? std::string(1, static_cast<char>('A' + i)) : fmt::format("A{}", i);
    }

    void captions() {
        if (!chart_.centre.empty())
            writer_.paragraph(
                said(chart_.frozen ? message("audit.paper.limits_frozen") : message("audit.paper.limits_own"), reader_),
                Weight::regular, text_size, 0, 0.2);
        if (!band_shown_ && !(chart_.band_lower.empty() && chart_.band_upper.empty()))
            writer_.paragraph(said(message("audit.paper.band_outside")
                                       .with("lower", shown_number(chart_.band_lower, reader_))
                                       .with("upper", shown_number(chart_.band_upper, reader_)),
                                   reader_),
                              Weight::regular, text_size, 0, 0.2);
        for (const auto& note : chart_.notes)
            writer_.paragraph(said(note, reader_), Weight::regular, text_size, 0, 0.2);
        std::string legend;
        for (const auto& rule : rules_)
            legend += fmt::format("{}{} = {}", legend.empty() ? "" : ";  ", letter(rule),
                                  audit_words::rule_name(rule, reader_));
        if (legend.empty() && chart_.points.size() > 1) legend = said(message("audit.paper.no_signals"), reader_);
        const bool left_out =
            std::any_of(chart_.points.begin(), chart_.points.end(), [](const auto& p) { return p.left_out; });
        if (left_out) legend += (legend.empty() ? "" : ";  ") + said(message("audit.paper.left_out"), reader_);
        if (chart_.restarts.size() > 1)
            legend += (legend.empty() ? "" : ";  ") + said(message("audit.paper.restarts"), reader_);
        if (!legend.empty()) writer_.paragraph(legend, Weight::regular, text_size, 0, 0.2);
        writer_.down(0.8);
    }

    void limit(const Frame& f, const std::string& text, Message name, double width, double dash,
               std::vector<LineLabel>& labels) {
        const auto value = place_of(text);
        if (!value || *value < f.low || *value > f.high) return;
        writer_.line(f.x, f.at(*value), f.x + f.width, f.at(*value), width, 0, dash);
        labels.push_back({said(name, reader_) + " " + shown_number(text, reader_), f.at(*value)});
    }

    void panel(std::size_t from, std::size_t to) {
        const auto signalled = rules_of(from, to);
        const double tracks = static_cast<double>(signalled.size()) * track;
        if (panel_height + 10 + tracks > writer_.room()) {
            writer_.new_page();
            writer_.paragraph(
                said(message("audit.paper.continued").with("sheet", chart_name(chart_, reader_)), reader_),
                Weight::bold, 2.4);
        }
        Frame f{writer_.left() + axis_room,
                writer_.y() + 2.4 + tracks,
                writer_.width() - axis_room - label_room,
                panel_height,
                low_,
                high_};
        value_axis(writer_, f, reader_);
        std::vector<LineLabel> labels;
        if (band_shown_) {
            limit(f, chart_.band_upper, message("audit.paper.band_upper"), 0.45, 0, labels);
            limit(f, chart_.band_lower, message("audit.paper.band_lower"), 0.45, 0, labels);
        }
        limit(f, chart_.upper, message("audit.paper.upper"), 0.25, 1.6, labels);
        limit(f, chart_.centre, message("audit.paper.centre"), 0.2, 0, labels);
        limit(f, chart_.lower, message("audit.paper.lower"), 0.25, 1.6, labels);
        put_line_labels(writer_, std::move(labels), f.x + f.width + 1.2, f.y - 1, f.y + f.height + 1, text_size);

        const double step = f.width / static_cast<double>(to - from + 1);
        const auto x_of = [&](std::size_t i) { return f.x + step * (static_cast<double>(i - from) + 1); };
        for (const auto restart : chart_.restarts) {
            const auto i = static_cast<std::size_t>(std::max<std::int64_t>(restart, 0));
            if (restart <= 0 || i < from || i >= to) continue;
            const double x = x_of(i) - step / 2;
            writer_.line(x, f.y - tracks, x, f.y + f.height, 0.2, 0.35, 0.7);
            writer_.put(std::string_view("\u2193"), Weight::regular, x - 0.9, f.y - tracks - 0.3, text_size);
        }
        joined(from, to, f, x_of);
        for (std::size_t i = from; i < to; ++i)
            mark(i, f, x_of(i), step > 0.7);
        // A track a rule above the points: its letter, and its shape over each point at which it signals.
        for (std::size_t t = 0; t < signalled.size(); ++t) {
            const double y = f.y - track * (static_cast<double>(t) + 0.5);
            writer_.put(letter(rules_[signalled[t]]), Weight::bold, f.x - 1.2, y + letter_size * 0.36, letter_size,
                        true);
            writer_.line(f.x, y, f.x + f.width, y, 0.08, 0.8);
            for (std::size_t i = from; i < to; ++i) {
                const auto& signals = chart_.points[i].signals;
                if (std::find(signals.begin(), signals.end(), rules_[signalled[t]]) != signals.end())
                    put_signal(writer_, signalled[t], x_of(i), y);
            }
        }
        writer_.go_to(f.y + f.height);
        below(from, to, f, x_of);
    }

    // Which of the chart's rules signal at these points.
    std::vector<std::size_t> rules_of(std::size_t from, std::size_t to) const {
        std::vector<std::size_t> out;
        for (std::size_t r = 0; r < rules_.size(); ++r)
            for (std::size_t i = from; i < to; ++i) {
                const auto& signals = chart_.points[i].signals;
                if (std::find(signals.begin(), signals.end(), rules_[r]) == signals.end()) continue;
                out.push_back(r);
                break;
            }
        return out;
    }

    template <class X>
    void joined(std::size_t from, std::size_t to, const Frame& f, const X& x_of) {
        PaperPath path;
        path.width = 0.15;
        path.shade = 0.45;
        const auto flush = [&] {
            if (path.points.size() > 1) writer_.page().paths.push_back(path);
            path.points.clear();
        };
        for (std::size_t i = from; i < to; ++i) {
            const bool anew = std::find(chart_.restarts.begin(), chart_.restarts.end(), static_cast<std::int64_t>(i)) !=
                              chart_.restarts.end();
            const bool apart = chart_.points[i].left_out;  // no moving range has a part in the limits that it touches
            if (anew || apart || !values_[i]) flush();
            if (values_[i] && !apart) path.points.push_back({x_of(i), f.at(*values_[i])});
        }
        flush();
    }

    void mark(std::size_t i, const Frame& f, double x, bool room_for_points) {
        if (!values_[i]) return;
        const auto& point = chart_.points[i];
        const double y = f.at(*values_[i]);
        if (point.left_out) put_left_out(writer_, x, y);
        if (point.signals.empty()) {
            if (room_for_points && !point.left_out) put_point(writer_, x, y);
            return;
        }
        const auto rule = std::find(rules_.begin(), rules_.end(), point.signals.front()) - rules_.begin();
        put_signal(writer_, static_cast<std::size_t>(rule), x, y);
    }

    // Numbers of points, and between which assemblies and times they lie.
    template <class X>
    void below(std::size_t from, std::size_t to, const Frame& f, const X& x_of) {
        const double base = f.y + f.height + ascent * text_size + 0.4;
        const std::size_t every = to - from > 600 ? 500 : to - from > 120 ? 50 : to - from > 30 ? 10 : 5;
        for (std::size_t i = from; i < to; ++i) {
            if ((i + 1) % every != 0) continue;
            const auto number = fmt::format("{}", i + 1);
            writer_.line(x_of(i), f.y + f.height, x_of(i), f.y + f.height + 0.7, 0.15);
            writer_.put(number, Weight::regular, x_of(i) - writer_.text_width(number, Weight::regular, text_size) / 2,
                        base + 0.4, text_size);
        }
        const auto name = [this](const audit::ChartPointText& p) {
            std::string out = p.serial;
            if (!p.end.empty()) out += " " + audit::word_for("audit.value." + p.end, p.end, reader_);
            if (p.ms > 0) out += (out.empty() ? "" : ", ") + audit_words::time_of(p.ms, reader_);
            return out;
        };
        const double second = base + line_step * text_size + 0.3;
        writer_.put(name(chart_.points[from]), Weight::regular, f.x, second, text_size);
        if (to - from > 1)
            writer_.put(name(chart_.points[to - 1]), Weight::regular, f.x + f.width, second, text_size, true);
        writer_.go_to(second + 2.2);
    }

    PaperWriter& writer_;
    const audit::Chart& chart_;
    const audit::Reader& reader_;
    std::vector<std::optional<double>> values_;
    std::vector<std::string> rules_;
    double low_ = 0, high_ = 1;
    bool seen_ = false, band_shown_ = false;
};

void pareto(PaperWriter& writer, const audit::Chart& chart, const audit::Sheet* reasons, const audit::Reader& reader) {
    constexpr double row = 5.2;
    const std::size_t n = std::min<std::size_t>(chart.points.size(), 20);
    title(writer, chart_name(chart, reader), static_cast<double>(n) * row + 10);
    writer.paragraph(said(message("audit.paper.pareto"), reader), Weight::regular, text_size, 0, 0.2);
    writer.down(1);
    double label = 20, most = 1;
    for (std::size_t i = 0; i < n; ++i) {
        const auto name = audit_words::rule_name(chart.points[i].serial, reader);
        label = std::max(label, writer.text_width(name, Weight::regular, text_size));
        most = std::max(most, place_of(chart.points[i].value).value_or(0));
    }
    label = std::min(label, 62.0) + 2;
    const double x = writer.left() + label, width = writer.width() - label - 4;
    const double top = writer.y();
    const double height = row * static_cast<double>(n);
    for (int percent = 0; percent <= 100; percent += 20) {
        const double at = x + width * percent / 100;
        PaperPath grid;
        grid.points = {{at, top}, {at, top + height}};
        grid.width = 0.1;
        grid.shade = 0.8;
        writer.page().under.push_back(grid);
        const auto text = fmt::format("{} %", percent);
        writer.put(text, Weight::regular, at + writer.text_width(text, Weight::regular, text_size) / 2,
                   top + height + ascent * text_size + 0.3, text_size, true);
    }
    PaperPath sum;
    sum.width = 0.3;
    for (std::size_t i = 0; i < n; ++i) {
        const auto& point = chart.points[i];
        const double y = top + row * static_cast<double>(i);
        const double middle = y + row / 2 + text_size * 0.36;
        const auto name =
            writer.wrapped(audit_words::rule_name(point.serial, reader), Weight::regular, label - 1, text_size).lines;
        writer.put(name.size() > 1 ? name.front() + U"\u2026" : name.front(), Weight::regular, x - 1.5, middle,
                   text_size, true);
        const double bar = width * place_of(point.value).value_or(0) / most * 0.5;
        writer.ground(x, y + 0.7, bar, row - 1.4, 0.55);
        writer.put(point.value, Weight::bold, x + bar + 1, middle, text_size);
        if (reasons == nullptr) continue;
        for (const auto& cells : reasons->rows) {
            if (cells.empty() || cells[0] != point.serial) continue;
            for (std::size_t c = 0; c < reasons->columns.size(); ++c)
                if (reasons->columns[c].id == "cumulative_pct")
                    if (const auto share = place_of(cells[c])) {
                        sum.points.push_back({x + width * *share / 100, y + row / 2});
                        put_point(writer, sum.points.back().x, sum.points.back().y);
                    }
        }
    }
    if (sum.points.size() > 1) writer.page().paths.push_back(sum);
    writer.frame(x, top, width, height, 0.2, 0.3);
    writer.go_to(top + height + 6);
    if (chart.points.size() > n) {
        writer.paragraph(
            said(message("audit.paper.more_reasons").with("count", std::to_string(chart.points.size() - n)), reader),
            Weight::regular, text_size, 0, 0.2);
        writer.down(2);
    }
}

void probability(PaperWriter& writer, const audit::Chart& chart, const audit::Reader& reader) {
    constexpr double height = 62;
    std::vector<statistics::NormalPoint> points;
    for (const auto& point : chart.points) {
        const auto value = place_of(point.value), score = place_of(point.serial);
        if (value && score) points.push_back({*value, 0, *score});
    }
    if (points.size() < 2) return;
    title(writer, chart_name(chart, reader), height + 12);
    writer.paragraph(said(message("audit.paper.probability"), reader), Weight::regular, text_size, 0, 0.2);
    for (const auto& note : chart.notes)
        writer.paragraph(said(note, reader), Weight::regular, text_size, 0, 0.2);
    writer.down(1);
    writer.need(height + 8);
    double low = points.front().value, high = points.back().value;
    const double margin = high > low ? (high - low) * 0.05 : 0.001;
    low -= margin;
    high += margin;
    const double tall = std::max(2.6, points.back().score + 0.2);
    const Frame f{writer.left() + axis_room, writer.y(), writer.width() - axis_room - label_room, height, -tall, tall};
    const auto x_of = [&](double value) { return f.x + f.width * (value - low) / (high - low); };
    const auto ticks = axis_ticks(low, high);
    for (const double tick : ticks.at) {
        writer.line(x_of(tick), f.y, x_of(tick), f.y + f.height, 0.08, 0.8);
        const auto text = shown_number(fmt::format("{:.{}f}", tick, ticks.places), reader);
        writer.put(text, Weight::regular, x_of(tick) - writer.text_width(text, Weight::regular, text_size) / 2,
                   f.y + f.height + ascent * text_size + 0.5, text_size);
    }
    // Standard normal values of these shares, to four places (any table of the normal distribution).
    for (const auto& [percent, score] : {std::pair{1, -2.3263},
                                         {5, -1.6449},
                                         {10, -1.2816},
                                         {25, -0.6745},
                                         {50, 0.0},
                                         {75, 0.6745},
                                         {90, 1.2816},
                                         {95, 1.6449},
                                         {99, 2.3263}}) {
        writer.line(f.x, f.at(score), f.x + f.width, f.at(score), 0.08, 0.8);
        writer.put(fmt::format("{} %", percent), Weight::regular, f.x - 1.2, f.at(score) + text_size * 0.36, text_size,
                   true);
    }
    const auto mean = place_of(chart.centre), sd = place_of(chart.sigma);
    if (mean && sd && *sd > 0) {
        // From edge to edge, cut where it leaves the frame.
        const double z_low = std::max(-tall, (low - *mean) / *sd), z_high = std::min(tall, (high - *mean) / *sd);
        if (z_low < z_high)
            writer.line(x_of(*mean + z_low * *sd), f.at(z_low), x_of(*mean + z_high * *sd), f.at(z_high), 0.3, 0.3);
    }
    writer.frame(f.x, f.y, f.width, f.height, 0.2, 0.3);
    for (const auto& point : points)
        put_point(writer, x_of(point.value), f.at(point.score));
    std::vector<LineLabel> labels;
    if (!chart.centre.empty())
        labels.push_back(
            {said(message("audit.paper.centre"), reader) + " " + shown_number(chart.centre, reader), f.y + 2});
    if (!chart.sigma.empty())
        labels.push_back(
            {said(message("audit.paper.sigma"), reader) + " " + shown_number(chart.sigma, reader), f.y + 5});
    put_line_labels(writer, std::move(labels), f.x + f.width + 1.2, f.y, f.y + f.height, text_size);
    writer.go_to(f.y + f.height + 8);
}

}  // namespace

AxisTicks axis_ticks(double from, double to) {
    AxisTicks out;
    if (!(to > from) || !std::isfinite(from) || !std::isfinite(to)) return out;
    const double rough = (to - from) / 7;
    const int power = static_cast<int>(std::floor(std::log10(rough)));
    const double ten = std::pow(10.0, power);
    const double step = rough <= ten ? ten : rough <= 2 * ten ? 2 * ten : rough <= 5 * ten ? 5 * ten : 10 * ten;
    out.places = std::clamp(step >= 10 * ten ? -power - 1 : -power, 0, 9);
    for (double n = std::ceil(from / step - 1e-9); n * step <= to + step * 1e-9; ++n)
        out.at.push_back(n == 0 ? 0.0 : n * step);  // never -0.00
    return out;
}

bool set_chart(PaperWriter& writer, const audit::Chart& chart, const audit::Sheet* reasons,
               const audit::Reader& reader) {
    if (chart.points.empty()) return false;
    if (chart.kind == "control")
        ControlChart(writer, chart, reader).set();
    else if (chart.kind == "pareto")
        pareto(writer, chart, reasons, reader);
    else if (chart.kind == "probability")
        probability(writer, chart, reader);
    else
        return false;
    return true;
}

}  // namespace crimpgate

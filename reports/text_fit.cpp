#include "reports/text_fit.h"

#include <algorithm>

namespace crimpgate {

namespace {

constexpr double least_shrink = 0.8;
// Widths are sums of whole thousandths; this only keeps binary rounding from breaking a line that fits exactly.
constexpr double hair = 1e-9;

bool combining(char32_t c) {
    return (c >= 0x300 && c <= 0x36F) || (c >= 0x483 && c <= 0x489) || (c >= 0x1AB0 && c <= 0x1AFF) ||
           (c >= 0x20D0 && c <= 0x20FF) || c == 0x3099 || c == 0x309A;
}

bool wide_script(char32_t c) {
    return c >= 0x2E80 && c <= 0xFFEF;
}

// May a line end between a and b? Blanks are dealt with apart.
bool may_break(char32_t a, char32_t b) {
    if (combining(b)) return false;
    return a == U'-' || a == U'/' || a == U',' || a == U';' || wide_script(a) || wide_script(b);
}

std::vector<std::u32string> wrap(std::u32string_view text, Weight weight, double width_in_sizes, const FontSet& fonts) {
    std::vector<std::u32string> lines;
    while (!text.empty()) {
        double used = 0;
        std::size_t fits = 0;  // characters that fit
        std::size_t good = 0;  // the last good place to end the line
        for (; fits < text.size(); ++fits) {
            if (fits > 0 && (text[fits] == U' ' || may_break(text[fits - 1], text[fits]))) good = fits;
            const double w = fonts.width(text.substr(fits, 1), weight);
            if (fits > 0 && used + w > width_in_sizes + hair) break;
            used += w;
        }
        std::size_t end = fits;
        if (fits < text.size()) {
            if (good > 0) {
                end = good;
            } else {
                while (end > 1 && combining(text[end]))
                    --end;
            }
        }
        std::u32string_view line = text.substr(0, end);
        text.remove_prefix(end);
        while (!text.empty() && text.front() == U' ')
            text.remove_prefix(1);
        while (line.size() > 1 && line.back() == U' ')
            line.remove_suffix(1);
        lines.emplace_back(line);
    }
    return lines;
}

}  // namespace

FittedText fit_text(std::u32string_view text, Weight weight, double width, double size, double smallest,
                    const FontSet& fonts) {
    // One face for the whole text even where it is wrapped: a line of a mixed name must not come out bold by itself.
    const auto runs = fonts.runs(text, weight);
    if (weight == Weight::bold && (runs.size() != 1 || runs.front().face != FontSet::bold)) weight = Weight::regular;

    const double natural = fonts.width(text, weight);
    const double floor_size = std::max(smallest, size * least_shrink);
    FittedText out;
    out.weight = weight;
    if (natural * size <= width + hair) {
        out.size = size;
    } else if (natural * floor_size <= width + hair) {
        out.size = width / natural;
    } else {
        out.size = floor_size;
        out.lines = wrap(text, weight, width / floor_size, fonts);
        // As large again as the same number of lines allows.
        for (const double larger : {size, size * 0.95, size * 0.9, size * 0.85}) {
            if (larger <= floor_size) break;
            auto lines = wrap(text, weight, width / larger, fonts);
            if (lines.size() > out.lines.size()) continue;
            out.size = larger;
            out.lines = std::move(lines);
            break;
        }
    }
    if (out.lines.empty()) out.lines.emplace_back(text);
    for (const auto& line : out.lines)
        out.width = std::max(out.width, fonts.width(line, weight) * out.size);
    return out;
}

}  // namespace crimpgate

#include "reports/paper.h"

#include <fmt/format.h>

#include <algorithm>

#include "specs/shown_text.h"

namespace crimpgate {

Paper blank_paper(PaperSize size) {
    Paper out;
    out.width = size == PaperSize::a4 ? 210 : 8.5 * 25.4;
    out.height = size == PaperSize::a4 ? 297 : 11 * 25.4;
    return out;
}

std::u32string settable(std::string_view utf8, const FontSet& fonts) {
    std::u32string out;
    const auto spelt = [&out](const std::string& ascii) { out.append(ascii.begin(), ascii.end()); };
    while (!utf8.empty()) {
        const std::size_t size = utf8_character(utf8);
        const std::string_view one = utf8.substr(0, std::max<std::size_t>(size, 1));
        utf8.remove_prefix(one.size());
        if (size == 0) {
            spelt(fmt::format("[0x{:02X}]", static_cast<unsigned char>(one[0])));
            continue;
        }
        const char32_t c = decode_utf8(one).value().front();
        if (c == U'\n' || c == U'\r' || c == U'\t')
            out += U' ';
        else if (unprintable_characters({&c, 1}, fonts).empty())
            out += c;
        else
            spelt(fmt::format("[U+{:04X}]", static_cast<std::uint32_t>(c)));
    }
    return out;
}

}  // namespace crimpgate

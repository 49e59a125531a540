#include "reports/barcode.h"

#include <zint.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace crimpgate {

namespace {

struct Delete {
    void operator()(zint_symbol* s) const { ZBarcode_Delete(s); }
};

bool dark_at(const zint_symbol& s, int x, int y) {
    return (s.encoded_data[y][x / 8] >> (x % 8) & 1) != 0;
}

// Runs of a row, each grown downwards while the rows below have just the same run: fewer rectangles, smaller files.
std::vector<DarkArea> areas(const zint_symbol& s) {
    std::vector<DarkArea> out;
    std::vector<std::size_t> open;  // areas that reach the row above
    for (int y = 0; y < s.rows; ++y) {
        std::vector<std::size_t> now;
        for (int x = 0; x < s.width;) {
            if (!dark_at(s, x, y)) {
                ++x;
                continue;
            }
            const int start = x;
            while (x < s.width && dark_at(s, x, y))
                ++x;
            const auto above = std::find_if(open.begin(), open.end(), [&](std::size_t i) {
                return out[i].x == start && out[i].width == x - start;
            });
            if (above != open.end()) {
                ++out[*above].height;
                now.push_back(*above);
            } else {
                now.push_back(out.size());
                out.push_back({start, y, x - start, 1});
            }
        }
        open = std::move(now);
    }
    return out;
}

Result<Symbol> encode(int symbology, int level, std::string_view text, int quiet) {
    const auto refused = [](std::string_view why) { return refuse(message("tag.bad_payload").with("why", why)); };
    if (text.empty()) return refused("it is empty");
    if (!std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c <= '~'; }))
        return refused("it holds a character that is not printable ASCII");
    const std::unique_ptr<zint_symbol, Delete> zint(ZBarcode_Create());
    if (!zint) throw std::bad_alloc();
    zint->symbology = symbology;
    zint->input_mode = DATA_MODE;
    zint->show_hrt = 0;
    if (level > 0) zint->option_1 = level;
    const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
    if (ZBarcode_Encode(zint.get(), bytes, static_cast<int>(text.size())) >= ZINT_ERROR) return refused(zint->errtxt);
    return Symbol{zint->width, zint->rows, quiet, areas(*zint)};
}

}  // namespace

Result<Symbol> code_128(std::string_view text) {
    return encode(BARCODE_CODE128, 0, text, 10);
}

Result<Symbol> qr_code(std::string_view text, QrLevel level) {
    return encode(BARCODE_QRCODE, static_cast<int>(level), text, 4);
}

int dots_per_module(const Symbol& symbol, double width, double finest, double coarsest, int dpi) {
    const double dots_per_mm = dpi / 25.4;
    const int room = static_cast<int>(std::floor(width * dots_per_mm / symbol.columns_with_quiet() + 1e-9));
    const int most = std::max(1, static_cast<int>(std::floor(coarsest * dots_per_mm)));
    const int least = std::max(2, static_cast<int>(std::ceil(finest * dots_per_mm)));
    const int dots = std::min(room, most);
    return dots < least ? 0 : dots;
}

}  // namespace crimpgate

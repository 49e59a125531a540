// Bar codes as modules, and their place on a page in whole printer dots.
//
// A thermal head prints dots: a module of 1.7 dots becomes one dot here and two there and nothing reads it, so a module
// is always a whole number of dots. Encoding is libzint's; the drawing is rectangles.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

// A rectangle of dark modules, in modules from the top left corner of the symbol.
struct DarkArea {
    int x = 0;
    int y = 0;
    int width = 0;
    int height = 0;
    bool operator==(const DarkArea&) const = default;
};

// A symbol without its quiet zone.
struct Symbol {
    int columns = 0;
    int rows = 0;                // 1 for a linear code
    int quiet = 0;               // modules to be left white: all around a 2-D code, left and right of a linear one
    std::vector<DarkArea> dark;  // disjoint

    int columns_with_quiet() const { return columns + 2 * quiet; }
};

// ISO/IEC 15417; printable ASCII. Quiet zone 10 modules.
Result<Symbol> code_128(std::string_view text);
// Error correction of a QR code: M bears that about 15 % of its data is lost, Q 25 %, H 30 %.
enum class QrLevel { m = 2, q = 3, h = 4 };
// ISO/IEC 18004. Quiet zone 4 modules. Printable ASCII; capitals, digits and "$%*+-./: " alone need the least room.
Result<Symbol> qr_code(std::string_view text, QrLevel level = QrLevel::m);

// Dots a module for a symbol that may take `width` millimetres with its quiet zone; 0 when that is less than `finest`
// millimetres a module, which a reader could not tell apart. Never more than `coarsest` millimetres.
int dots_per_module(const Symbol& symbol, double width, double finest, double coarsest, int dpi);

}  // namespace crimpgate

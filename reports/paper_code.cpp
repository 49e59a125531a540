#include "reports/paper_code.h"

#include <cmath>
#include <stdexcept>

namespace crimpgate {

namespace {

constexpr double dot = 25.4 / paper_dpi;
constexpr double finest = 0.25, coarsest = 0.6;

}  // namespace

double code_side(const Symbol& symbol, double room) {
    const int dots = dots_per_module(symbol, room, finest, coarsest, paper_dpi);
    if (dots == 0) throw std::domain_error("a code that its place cannot hold");
    return dots * dot * symbol.columns_with_quiet();
}

void put_code(PaperPage& page, const Symbol& symbol, double left, double top, double side) {
    const double module = side / symbol.columns_with_quiet();
    // On the printer's dots, inwards of the corner that was asked for.
    const double x0 = std::ceil(left / dot - 1e-6) * dot, y0 = std::ceil(top / dot - 1e-6) * dot;
    for (const auto& area : symbol.dark) {
        const double x = x0 + module * (area.x + symbol.quiet), y = y0 + module * (area.y + symbol.quiet);
        PaperPath path;
        path.points = {{x, y},
                       {x + module * area.width, y},
                       {x + module * area.width, y + module * area.height},
                       {x, y + module * area.height}};
        path.closed = path.filled = true;
        page.paths.push_back(std::move(path));
    }
}

}  // namespace crimpgate

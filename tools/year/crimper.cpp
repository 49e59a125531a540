#include "tools/year/crimper.h"

#include <cmath>

namespace crimpgate::year {

void Crimper::mount() {
    mounted_ = dice_.normal(8);
    setting_ = 0;
    if (dice_.chance(0.04)) setting_ = (dice_.chance(0.5) ? 1 : -1) * (200 + 60 * dice_.uniform());
}

void Crimper::turn(double correction_um) {
    setting_ += correction_um;
    // Set wrong by a misread scale: back at the right mark, not wherever one piece happened to come out.
    if (std::abs(setting_) < 60) setting_ = 0;
    mounted_ = dice_.normal(8);
}

Piece Crimper::crimp(const Affairs& affairs, bool set_up_piece) {
    Piece piece;
    piece.level = mounted_ + setting_ + affairs.wear + affairs.bump;
    piece.level += affairs.bad_lot ? affairs.lot + dice_.normal(14) : dice_.normal(6);
    piece.depth = 200 + dice_.normal(110);
    if (set_up_piece) return piece;
    const double luck = dice_.uniform();
    const double oversize = affairs.bad_lot ? 0.025 : 0.0015;
    if (luck < oversize) {
        piece.mishap = Mishap::oversize;
        piece.level += 250 + 60 * dice_.uniform();
    } else if (luck < oversize + 0.0007) {
        piece.mishap = Mishap::undersize;
        piece.level -= 250 + 60 * dice_.uniform();
    } else if (luck < oversize + 0.0022) {
        piece.mishap = Mishap::short_mark;
        piece.depth = -900 + dice_.normal(80);
    } else if (luck < oversize + 0.0027) {
        piece.mishap = Mishap::moved;
    }
    return piece;
}

double Crimper::flat(Piece& piece, std::int64_t flat, bool bad_lot) {
    const auto known = piece.flats.find(flat);
    if (known != piece.flats.end()) return known->second;
    return piece.flats[flat] = piece.level + dice_.normal(bad_lot ? 12 : 5);
}

Length Crimper::shown(Length nominal, double off_um, double gauge_um, double repeatability_um) {
    constexpr double step_um = 10;
    const double um = static_cast<double>(nominal.nm()) / 1000 + off_um + gauge_um + dice_.normal(repeatability_um);
    return Length::from_um(std::llround(um / step_um) * std::llround(step_um));
}

}  // namespace crimpgate::year

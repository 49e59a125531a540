#include "specs/crimp_geometry.h"

#include <cmath>
#include <numbers>

namespace crimpgate {

namespace {

constexpr double lowest_usual_percent = 20;
constexpr double highest_usual_percent = 50;

double square(double x) {
    return x * x;
}

double mm(Length length) {
    return static_cast<double>(length.nm()) / static_cast<double>(Length::nm_per_mm);
}

tl::unexpected<Message> impossible(std::string_view why) {
    return refuse(message("geometry.impossible").with("why", why));
}

Result<void> sizes_agree(const CrimpSizes& s) {
    if (!(s.stem_bore_after > 0 && s.stretch > 0)) return impossible("stem_bore_after > 0, stretch > 0");
    if (!(s.stem_bore_after <= s.stem_bore)) return impossible("stem_bore_after <= stem_bore");
    if (!(s.stem_bore < s.stem_od)) return impossible("stem_bore < stem_od");
    if (!(s.shell_id < s.shell_od)) return impossible("shell_id < shell_od");
    if (!(s.stem_od < s.shell_id)) return impossible("stem_od < shell_id");
    if (!(s.hose_id > 0 && s.hose_id < s.hose_od)) return impossible("0 < hose_id < hose_od");
    return {};
}

double shell_metal(const CrimpSizes& s) {
    return (square(s.shell_od) - square(s.shell_id)) / s.stretch;
}

double stem_od_after(const CrimpSizes& s) {
    return std::sqrt(square(s.stem_bore_after) + square(s.stem_od) - square(s.stem_bore));
}

std::string tenths(double value) {
    return to_decimal_text(static_cast<std::int64_t>(std::llround(value * 10)), 10, 1);
}

}  // namespace

CrimpSizes crimp_sizes(const ShellAndStem& g) {
    CrimpSizes s;
    s.shell_od = mm(g.shell_od);
    s.shell_id = mm(g.shell_id);
    s.stem_od = mm(g.stem_od);
    s.stem_bore = mm(g.stem_bore);
    s.stem_bore_after = mm(g.stem_bore_after);
    s.hose_id = mm(g.hose_id);
    s.hose_od = mm(g.hose_od);
    return s;
}

Result<PressedWall> pressed_wall(const CrimpSizes& s, double crimp_mm) {
    if (const auto agree = sizes_agree(s); !agree) return refuse(agree.error());
    if (!(crimp_mm > 0 && crimp_mm < s.shell_od)) return impossible("0 < crimp < shell_od");
    const double hole = square(crimp_mm) - shell_metal(s);
    if (!(hole > 0)) return impossible("crimp^2 > shell_od^2 - shell_id^2");
    PressedWall w;
    w.shell_id_after = std::sqrt(hole);
    w.stem_od_after = stem_od_after(s);
    if (!(w.shell_id_after > w.stem_od_after)) return impossible("shell_id after > stem_od after");
    w.free_wall = (s.hose_od - s.hose_id) / 2;
    w.pressed_wall = (w.shell_id_after - w.stem_od_after) / 2;
    w.compression_by_wall = 100 * (1 - w.pressed_wall / w.free_wall);
    w.compression_by_area =
        100 * (1 - (square(w.shell_id_after) - square(w.stem_od_after)) / (square(s.hose_od) - square(s.hose_id)));
    w.percent_per_mm = -100 * (crimp_mm / w.shell_id_after) / (2 * w.free_wall);
    return w;
}

Result<double> crimp_at_compression(const CrimpSizes& s, double percent_by_wall) {
    if (const auto agree = sizes_agree(s); !agree) return refuse(agree.error());
    const double pressed = (s.hose_od - s.hose_id) / 2 * (1 - percent_by_wall / 100);
    if (!(pressed > 0)) return impossible("compression < 100 %");
    const double crimp = std::sqrt(square(2 * pressed + stem_od_after(s)) + shell_metal(s));
    if (!(crimp < s.shell_od)) return impossible("crimp < shell_od");
    return crimp;
}

std::optional<Message> implausible(const SpecRow& row) {
    if (!row.geometry) return std::nullopt;
    const auto wall = pressed_wall(crimp_sizes(*row.geometry), mm(row.crimp.nominal));
    if (!wall) return wall.error();
    // Compared in whole tenths, as shown: a warning must not say that 20.0 is less than 20.
    const auto percent_tenths = std::llround(wall->compression_by_wall * 10);
    if (percent_tenths >= std::llround(lowest_usual_percent * 10) &&
        percent_tenths <= std::llround(highest_usual_percent * 10))
        return std::nullopt;
    return message("geometry.unusual_compression")
        .with("spec", row.spec_id)
        .with("percent", tenths(wall->compression_by_wall))
        .with("lowest", tenths(lowest_usual_percent))
        .with("highest", tenths(highest_usual_percent))
        .with("crimp", row.crimp.nominal.to_mm_text(3));
}

double separating_force_n(Pressure pressure, double bore_mm) {
    const double newton_per_mm2 = static_cast<double>(pressure.kpa()) / 1000;
    return newton_per_mm2 * std::numbers::pi * square(bore_mm) / 4;
}

}  // namespace crimpgate

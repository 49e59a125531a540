#include "specs/spec_checks.h"

#include <algorithm>

#include "specs/hose_tables.h"

namespace crimpgate {

namespace {

constexpr std::int64_t inch_per_mm_tenths = 254;  // 25.4 as a fraction over 10

Length bore_of(std::int64_t dash) {
    return Length::from_nm(dash * (Length::nm_per_inch / 16));
}

// value x 25.4 or value / 25.4, to the nanometre below; for telling units apart only.
Length times_25_4(Length value) {
    return Length::from_nm(value.nm() * inch_per_mm_tenths / 10);
}
Length over_25_4(Length value) {
    return Length::from_nm(value.nm() * 10 / inch_per_mm_tenths);
}

// "12.7..40.6 mm", in the unit that the column is in.
std::string shown(const Band& band, LengthUnit unit) {
    if (unit == LengthUnit::mm) return band.lower.to_mm_text(1) + ".." + band.upper.to_mm_text(1) + " mm";
    return band.lower.to_inch_text(2) + ".." + band.upper.to_inch_text(2) + " in";
}

void check_crimp_unit(const SpecRow& row, SpecCells& cells, LengthUnit unit) {
    const Band plausible = plausible_crimp(row.hose.dash);
    const Length crimp = row.crimp.nominal;
    if (plausible.holds(crimp)) return;
    if (plausible.holds(times_25_4(crimp)) || plausible.holds(over_25_4(crimp)))
        cells.error("crimp", shown(plausible, unit),
                    message("table.unit_mixed_up").with("dash", std::to_string(row.hose.dash)));
}

void check_geometry(const SpecRow& row, SpecCells& cells) {
    if (!row.geometry) return;
    const auto& g = *row.geometry;
    const auto smaller = [&](std::string_view inner, Length inner_size, std::string_view outer, Length outer_size) {
        if (cells.good({inner, outer}) && inner_size >= outer_size)
            cells.error(inner, "< " + std::string(cells.cell(outer)),
                        message("table.sizes_contradict").with("other", outer));
    };
    smaller("shell_id", g.shell_id, "shell_od", g.shell_od);
    smaller("stem_bore", g.stem_bore, "stem_od", g.stem_od);
    smaller("hose_id", g.hose_id, "hose_od", g.hose_od);
    smaller("crimp", row.crimp.nominal, "shell_od", g.shell_od);
    smaller("stem_od", g.stem_od, "shell_id", g.shell_id);
    if (cells.good({"stem_bore_after", "stem_bore"}) && g.stem_bore_after > g.stem_bore)
        cells.error("stem_bore_after", "<= " + std::string(cells.cell("stem_bore")),
                    message("table.sizes_contradict").with("other", "stem_bore"));
}

}  // namespace

Band plausible_crimp(std::int64_t dash) {
    std::optional<Band> range;
    for (const auto& hose : published_hoses()) {
        if (hose.dash != dash) continue;
        if (!range) range = Band{hose.wire_min, hose.od_max};
        range->lower = std::min(range->lower, hose.wire_min);
        range->upper = std::max(range->upper, hose.od_max);
    }
    if (!range) return {bore_of(dash), bore_of(dash) * 2 + 25'000_um};
    return {Length::from_nm(range->lower.nm() / 10 * 8), Length::from_nm(range->upper.nm() / 10 * 16)};
}

Band plausible_depth(std::int64_t dash) {
    return {Length::from_nm(bore_of(dash).nm() / 10 * 6), bore_of(dash) * 4 + 40'000_um};
}

void check_row(const SpecRow& row, SpecCells& cells) {
    if (cells.good({"hose_dash", "fitting_dash"}) && row.hose.dash != row.fitting.dash)
        cells.error("fitting_dash", std::to_string(row.hose.dash), message("table.dash_mismatch"));
    if (cells.good({"hose_maker", "fitting_maker"}) && row.hose.maker != row.fitting.maker &&
        !cells.filled("pairing_approval"))
        cells.error("pairing_approval", "not empty",
                    message("table.pairing_not_approved")
                        .with("hose_maker", row.hose.maker)
                        .with("fitting_maker", row.fitting.maker));
    if (cells.good({"temperature_min_c", "temperature_max_c"}) &&
        row.hose.temperature_min_c >= row.hose.temperature_max_c)
        cells.error("temperature_max_c", "> " + std::to_string(row.hose.temperature_min_c),
                    message("table.limits_wrong_way_round"));
    if (cells.good({"hose_dash", "crimp"})) check_crimp_unit(row, cells, cells.length_unit("crimp"));
    check_geometry(row, cells);
}

}  // namespace crimpgate

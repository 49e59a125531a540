// What a person must have seen before a table is used: rows that contradict a published hose standard, rows that
// contradict each other, and figures that are possible but odd. None of it refuses a table: a maker may rate a hose
// above the standard, and the published figures here are themselves of differing certainty (hose_tables.h).
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "specs/crimp_geometry.h"
#include "specs/hose_tables.h"
#include "specs/spec_checks.h"
#include "specs/spec_table.h"

namespace crimpgate {

namespace {

using Warnings = std::vector<TableWarning>;

void warn(Warnings& all, const SpecRow& row, Message what) {
    all.push_back({row.spec_id, std::move(what.code), std::move(what.details)});
}

std::string mm(Length length) {
    return length.to_mm_text(length.nm() % Length::nm_per_mm == 0 ? 0 : 3);
}

std::string mm(const Band& band) {
    return band.lower.to_mm_text(1) + ".." + band.upper.to_mm_text(1);
}

std::string bar(Pressure pressure) {
    return pressure.to_bar_text(pressure.kpa() % 100 == 0 ? 0 : 2);
}

void against_standard(Warnings& all, const SpecRow& row) {
    if (row.hose.standard.empty()) return;
    const auto standard = published_standard(row.hose.standard);
    if (standard.empty()) {
        warn(all, row, message("table.warn.standard_unknown").with("standard", row.hose.standard));
        return;
    }
    const auto published = find_hose(standard, row.hose.dash);
    const auto about = [&, standard](Message what) {
        return std::move(what.with("standard", standard).with("dash", std::to_string(row.hose.dash)));
    };
    if (!published) {
        warn(all, row, about(message("table.warn.size_not_in_standard")));
        return;
    }
    if (row.hose.working_pressure.pressure > published->working_pressure_highest)
        warn(all, row,
             about(message("table.warn.pressure_above_standard"))
                 .with("found", row.hose.working_pressure.as_given)
                 .with("found_bar", bar(row.hose.working_pressure.pressure))
                 .with("standard_bar", bar(published->working_pressure_highest))
                 .with("mark", std::string(1, mark_of(published->working_pressure_mark))));
    if (row.hose.bend_radius < published->bend_radius)
        warn(all, row,
             about(message("table.warn.bend_below_standard"))
                 .with("found_mm", mm(row.hose.bend_radius))
                 .with("standard_mm", mm(published->bend_radius))
                 .with("mark", std::string(1, mark_of(published->bend_mark))));
    if (row.hose.temperature_min_c < published->temperature_min_c ||
        row.hose.temperature_max_c > published->temperature_max_c)
        warn(all, row,
             about(message("table.warn.temperature_beyond_standard"))
                 .with("found_min", std::to_string(row.hose.temperature_min_c))
                 .with("found_max", std::to_string(row.hose.temperature_max_c))
                 .with("standard_min", std::to_string(published->temperature_min_c))
                 .with("standard_max", std::to_string(published->temperature_max_c)));
}

void within_row(Warnings& all, const SpecRow& row) {
    if (const auto range = plausible_crimp(row.hose.dash); !range.holds(row.crimp.nominal))
        warn(all, row,
             message("table.warn.crimp_unlikely")
                 .with("found_mm", mm(row.crimp.nominal))
                 .with("expected_mm", mm(range))
                 .with("dash", std::to_string(row.hose.dash)));
    if (const auto range = plausible_depth(row.hose.dash); !range.holds(row.depth.nominal))
        warn(all, row,
             message("table.warn.depth_unlikely")
                 .with("found_mm", mm(row.depth.nominal))
                 .with("expected_mm", mm(range))
                 .with("dash", std::to_string(row.hose.dash)));
    if (row.flats.size() == 1) warn(all, row, message("table.warn.one_place"));
    if (row.spread_limit > row.crimp.band().width())
        warn(all, row,
             message("table.warn.spread_wider_than_band")
                 .with("found_mm", mm(row.spread_limit))
                 .with("band_mm", mm(row.crimp.band().width())));
    if (row.geometry && row.bore_pin && *row.bore_pin > row.geometry->stem_bore_after)
        warn(all, row,
             message("table.warn.pin_wider_than_bore")
                 .with("pin_mm", mm(*row.bore_pin))
                 .with("bore_mm", mm(row.geometry->stem_bore_after)));
    if (auto unusual = implausible(row)) warn(all, row, *std::move(unusual));  // where shell and stem are given
}

}  // namespace

std::vector<TableWarning> warnings_of(const SpecTable& table) {
    Warnings all;
    std::map<std::string, const SpecRow*> first_of_hose;
    for (const auto& row : table.rows) {
        against_standard(all, row);
        within_row(all, row);
        const auto& hose = row.hose;
        const std::string key = hose.maker + '\x1F' + hose.type + '\x1F' + std::to_string(hose.dash);
        const auto* first = first_of_hose.emplace(key, &row).first->second;
        // One hose has one rating, whatever sits on its ends; how the rating was written does not matter.
        const bool same = hose.standard == first->hose.standard && hose.bend_radius == first->hose.bend_radius &&
                          hose.working_pressure.pressure == first->hose.working_pressure.pressure &&
                          hose.temperature_min_c == first->hose.temperature_min_c &&
                          hose.temperature_max_c == first->hose.temperature_max_c;
        if (!same) warn(all, row, message("table.warn.hose_differs").with("other", first->spec_id));
    }
    return all;
}

}  // namespace crimpgate

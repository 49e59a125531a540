// How the hose runs: bend radius, straight leads, the length that a bend takes, and what is left when pressure shortens
// the hose (application.h).
#include <algorithm>
#include <string>
#include <utility>

#include "specs/application_topics.h"
#include "specs/hose_tables.h"

namespace crimpgate {

namespace {

constexpr std::int64_t bore_nm_per_dash = Length::nm_per_inch / 16;  // 1 587 500, exact

// Of positive figures.
constexpr std::int64_t divided_up(std::int64_t value, std::int64_t by) {
    return (value + by - 1) / by;
}

constexpr Length share_up(Length of, std::int64_t permille) {
    return Length::from_nm(divided_up(std::max<std::int64_t>(of.nm(), 0) * permille, 1000));
}

}  // namespace

Length straight_lead(Length hose_od, std::int64_t dash) {
    return Length::from_nm(std::max(divided_up(hose_od.nm() * 3, 2), 2 * dash * bore_nm_per_dash));
}

std::optional<HoseDiameter> hose_diameter(const SpecRow& row) {
    // Over the cover only where the cover stays on (spec_row.h).
    if (row.geometry && row.skive == Skive::none) return HoseDiameter{row.geometry->hose_od, true};
    if (const auto published = find_hose(row.hose.standard, row.hose.dash))
        return HoseDiameter{published->od_max, false};
    return std::nullopt;
}

Length arc_length(Length radius, Length hose_od, std::int64_t angle_deg) {
    // pi (r + d/2) angle/180 = (2 r + d) pi angle / 360, with pi as 355/113.
    const auto exact = divided_up((2 * radius.nm() + hose_od.nm()) * 355 * angle_deg, std::int64_t{113} * 360);
    constexpr std::int64_t step = Length::nm_per_mm / 10;
    return Length::from_nm(divided_up(exact, step) * step);
}

LengthChange length_change(std::string_view standard) {
    const auto published = published_standard(standard);
    // R15 is in none of the tables here, only its change of length is.
    const bool stiff =
        published == "EN 856 R12" || published == "EN 856 R13" || standard.find("R15") != std::string_view::npos;
    if (stiff) return {20, 20, SourceMark::from_memory, "EN 856, SAE J517"};
    return {};
}

namespace application {

namespace {

constexpr std::string_view lead_sources = "DGUV Regel 113-020 (figure 9); trade page";

std::string row_source(const SpecRow& row) {
    return row.spec_id + ", " + row.revision;
}

SourceMark mark_of_table(Confidence confidence) {
    switch (confidence) {
        case Confidence::several_pages:
            return SourceMark::several_pages;
        case Confidence::one_page:
            return SourceMark::one_page;
        case Confidence::from_memory:
        case Confidence::computed:
            break;
    }
    return SourceMark::from_memory;
}

// The stricter of two rows about one hose.
const SpecRow& wider_bend(const AssemblyFacts& assembly) {
    return assembly.row_b.hose.bend_radius > assembly.row_a.hose.bend_radius ? assembly.row_b : assembly.row_a;
}

std::optional<HoseDiameter> diameter_of(const AssemblyFacts& assembly) {
    const auto a = hose_diameter(assembly.row_a);
    const auto b = hose_diameter(assembly.row_b);
    if (!a || !b) return a ? a : b;
    if (a->from_row != b->from_row) return a->from_row ? a : b;
    return b->od > a->od ? b : a;
}

bool straight_run(const Application& wanted) {
    return wanted.bend_angle_deg && *wanted.bend_angle_deg == 0;
}

void lead_of(Findings& out, std::string_view end, const std::optional<Length>& found, const AssemblyFacts& assembly) {
    const auto dash = assembly.row_a.hose.dash;
    const auto by_bore = straight_lead(Length{}, dash);
    const auto diameter = diameter_of(assembly);
    const auto needed = diameter ? straight_lead(diameter->od, dash) : by_bore;
    const auto about = [&](Message what) {
        return std::move(what.with("end", end).with("needed", mm(needed)).with("by_bore", mm(by_bore)));
    };
    if (!found) return out.not_checked(about(message("application.lead_not_stated")));
    if (!diameter) {
        if (*found < by_bore)
            out.stop(about(message("application.lead_below_bores")).with("found", mm(*found)), lead_sources,
                     SourceMark::one_page);
        else
            out.not_checked(about(message("application.lead_no_diameter")).with("found", mm(*found)));
        return;
    }
    const auto both = [&](Message what) {
        return std::move(about(std::move(what)).with("found", mm(*found)).with("od", mm(diameter->od)));
    };
    // A diameter from memory may warn and not stop; below twice the bore no diameter is needed to say so.
    const auto mark = diameter->from_row ? SourceMark::several_pages : SourceMark::from_memory;
    if (*found >= needed)
        out.holds(both(message("application.lead_holds")), lead_sources, mark);
    else if (*found < by_bore)
        out.stop(both(message("application.lead_too_short")), lead_sources, SourceMark::one_page);
    else if (diameter->from_row)
        out.stop(both(message("application.lead_too_short")), lead_sources, mark);
    else
        out.warn(both(message("application.lead_too_short")), lead_sources, mark);
}

// What is left of the hose beyond the way that it takes: as stated, or from the distance of its ends.
struct Spare {
    Length length;
    bool at_most = false;  // the way is longer than the distance by an unknown amount: it bends
};

std::optional<Spare> spare_of(const Application& wanted, const AssemblyFacts& assembly) {
    if (wanted.slack) return Spare{*wanted.slack, false};
    if (!wanted.distance) return std::nullopt;
    return Spare{assembly.shortest - *wanted.distance, !straight_run(wanted)};
}

}  // namespace

void bend_radius(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    if (straight_run(wanted))
        return out.holds(message("application.bend_none"), "common practice", SourceMark::common_practice);
    const auto& row = wider_bend(assembly);
    const auto limit = row.hose.bend_radius;
    if (!wanted.bend_radius) return out.not_checked(message("application.bend_not_stated").with("limit", mm(limit)));
    const auto found = *wanted.bend_radius;
    if (found < limit)
        return out.stop(message("application.bend_below_row").with("found", mm(found)).with("limit", mm(limit)),
                        row_source(row), SourceMark::spec_row);
    const auto published = find_hose(row.hose.standard, row.hose.dash);
    if (published && found < published->bend_radius)
        return out.warn(message("application.bend_below_published")
                            .with("found", mm(found))
                            .with("limit", mm(published->bend_radius))
                            .with("standard", published->standard),
                        published->standard, mark_of_table(published->bend_mark));
    out.holds(message("application.bend_holds").with("found", mm(found)).with("limit", mm(limit)), row_source(row),
              SourceMark::spec_row);
}

void straight_leads(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    if (straight_run(wanted))
        return out.holds(message("application.lead_not_needed"), "common practice", SourceMark::common_practice);
    lead_of(out, "A", wanted.straight_a, assembly);
    lead_of(out, "B", wanted.straight_b, assembly);
}

void bend_length(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    constexpr std::string_view source = "SAE J343:2016, ISO 6803; DGUV Regel 113-020 (figure 9)";
    if (!wanted.bend_angle_deg) return out.not_checked(message("application.bend_length_not_stated"));
    if (straight_run(wanted))
        return out.holds(message("application.bend_length_not_needed"), source, SourceMark::one_page);
    const auto radius = wanted.bend_radius.value_or(wider_bend(assembly).hose.bend_radius);
    const auto diameter = diameter_of(assembly);
    const auto needed_with = [&](Length od) {
        const auto lead = straight_lead(od, assembly.row_a.hose.dash);
        return arc_length(radius, od, *wanted.bend_angle_deg) + std::max(wanted.straight_a.value_or(lead), lead) +
               std::max(wanted.straight_b.value_or(lead), lead);
    };
    const auto least = needed_with(Length{});  // whatever the hose's diameter
    const auto needed = diameter ? needed_with(diameter->od) : least;
    const auto about = [&](Message what) {
        return std::move(what.with("free", mm(assembly.free()))
                             .with("needed", mm(needed))
                             .with("radius", mm(radius))
                             .with("angle", std::to_string(*wanted.bend_angle_deg)));
    };
    const auto mark = diameter && diameter->from_row ? SourceMark::one_page : SourceMark::from_memory;
    if (assembly.free() < least)
        out.stop(about(message("application.bend_length_short")), source, SourceMark::one_page);
    else if (!diameter)
        out.not_checked(about(message("application.bend_length_no_diameter")));
    else if (assembly.free() >= needed)
        out.holds(about(message("application.bend_length_holds")), source, mark);
    else if (diameter->from_row)
        out.stop(about(message("application.bend_length_short")), source, mark);
    else
        out.warn(about(message("application.bend_length_short")), source, mark);
}

void length_under_pressure(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    const auto change = length_change(assembly.row_a.hose.standard);
    const auto shorter = share_up(assembly.free(), change.shorter_permille);
    const auto about = [&](Message what) {
        return std::move(
            what.with("shorter", mm(shorter)).with("longer", mm(share_up(assembly.free(), change.longer_permille))));
    };
    const auto spare = spare_of(wanted, assembly);
    if (!spare) return out.not_checked(about(message("application.length_not_stated")));
    const auto with_spare = [&](Message what) {
        return std::move(about(std::move(what)).with("spare", mm(spare->length)));
    };
    if (spare->length < shorter)
        out.stop(with_spare(message("application.length_tight")), change.source, change.mark);
    else if (spare->at_most)
        out.not_checked(with_spare(message("application.length_bent")));
    else
        out.holds(with_spare(message("application.length_holds")), change.source, change.mark);
}

void slack(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    constexpr std::string_view source = "US Army aviation training manual AL0907";
    const auto needed = share_up(assembly.cut, 50);  // at least 5 % of the hose
    const auto spare = spare_of(wanted, assembly);
    if (!spare) return out.not_checked(message("application.slack_not_stated").with("needed", mm(needed)));
    const auto about = [&](Message what) {
        return std::move(what.with("spare", mm(spare->length)).with("needed", mm(needed)));
    };
    if (spare->length < needed)
        out.warn(about(message("application.slack_too_small")), source, SourceMark::one_page);
    else if (spare->at_most)
        out.not_checked(about(message("application.slack_bent")));
    else
        out.holds(about(message("application.slack_holds")), source, SourceMark::one_page);
}

}  // namespace application
}  // namespace crimpgate

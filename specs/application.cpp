#include "specs/application.h"

#include <algorithm>
#include <utility>

#include "specs/application_topics.h"

namespace crimpgate {

namespace application {

void Findings::add(FindingSeverity severity, Message what, std::string_view source, SourceMark mark) {
    all_.push_back({std::move(what), severity, std::string(source), mark});
}
void Findings::stop(Message what, std::string_view source, SourceMark mark) {
    add(FindingSeverity::stop, std::move(what), source, mark);
}
void Findings::warn(Message what, std::string_view source, SourceMark mark) {
    add(FindingSeverity::warn, std::move(what), source, mark);
}
void Findings::holds(Message what, std::string_view source, SourceMark mark) {
    add(FindingSeverity::holds, std::move(what), source, mark);
}
void Findings::not_checked(Message what) {
    add(FindingSeverity::note, std::move(what), "", SourceMark::common_practice);
}

std::string mm(Length length) {
    int places = 0;
    for (auto unit = Length::nm_per_mm; places < 3 && length.nm() % unit != 0; unit /= 10)
        ++places;
    return length.to_mm_text(places);
}

std::string bar(Pressure pressure) {
    return pressure.to_bar_text(pressure.kpa() % 100 == 0 ? 0 : 2);
}

namespace {

std::string_view name_of(Component component) {
    switch (component) {
        case Component::fitting_a:
            return "fitting_a";
        case Component::fitting_b:
            return "fitting_b";
        case Component::hose:
            break;
    }
    return "hose";
}

// "Lower of hose and connector values" (SAE J517), and spikes count: the highest peak has to be covered.
void pressure(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    constexpr std::string_view source = "SAE J517, DGUV Regel 113-020";
    if (!wanted.highest_pressure) return out.not_checked(message("application.pressure_not_stated"));
    const auto& rating = assembly.rating;
    const auto about = [&](Message what) {
        return std::move(what.with("found", bar(*wanted.highest_pressure))
                             .with("rating", bar(rating.rating.pressure))
                             .with("governs", name_of(rating.governs)));
    };
    if (*wanted.highest_pressure > rating.rating.pressure)
        out.stop(about(message("application.pressure_above_rating")), source, SourceMark::several_pages);
    else
        out.holds(about(message("application.pressure_holds")), source, SourceMark::several_pages);
}

// A guide value, to be put on the certificate: 6 years with at most 2 of them in storage, 2 years on hard duty.
void duty(Findings& out, const Application& wanted) {
    constexpr std::string_view source = "DGUV Regel 113-020, DIN 20066:2002";
    if (!wanted.duty) return out.not_checked(message("application.duty_not_stated"));
    if (*wanted.duty == Duty::hard)
        out.warn(message("application.duty_hard").with("years", "2"), source, SourceMark::several_pages);
    else
        out.holds(message("application.duty_normal").with("years", "6").with("storage", "2"), source,
                  SourceMark::several_pages);
}

// No vacuum figure in print could be relied on, so only the maker's own counts.
void vacuum(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    constexpr std::string_view maker = "maker's sheet";
    if (!wanted.vacuum) return out.not_checked(message("application.vacuum_not_stated"));
    if (*wanted.vacuum == Pressure{})
        return out.holds(message("application.vacuum_none"), "common practice", SourceMark::common_practice);
    const auto found = bar(*wanted.vacuum);
    if (!wanted.hose_vacuum)
        return out.warn(
            message("application.vacuum_no_figure").with("found", found).with("hose", assembly.row_a.hose.type),
            "common practice", SourceMark::common_practice);
    const auto limit = bar(*wanted.hose_vacuum);
    if (*wanted.vacuum > *wanted.hose_vacuum)
        out.stop(message("application.vacuum_beyond").with("found", found).with("limit", limit), maker,
                 SourceMark::one_page);
    else
        out.holds(message("application.vacuum_holds").with("found", found).with("limit", limit), maker,
                  SourceMark::one_page);
}

void movement(Findings& out, const Application& wanted) {
    constexpr std::string_view source = "DGUV Regel 113-020, SAE J1273";
    if (!wanted.planes) return out.not_checked(message("application.movement_not_stated"));
    if (*wanted.planes == 0)
        out.holds(message("application.movement_none"), source, SourceMark::several_pages);
    else if (*wanted.planes == 1)
        out.holds(message("application.movement_one_plane"), source, SourceMark::several_pages);
    else
        out.warn(message("application.movement_planes").with("planes", std::to_string(*wanted.planes)), source,
                 SourceMark::several_pages);
}

bool bent(const SpecRow& row) {
    for (const std::string_view word : {"elbow", "Elbow", "bent", "Bent"})
        if (row.fitting.end_form.find(word) != std::string::npos) return true;
    return false;
}

// Read by one rule, so that two figures can be held against each other: +-3 degrees up to 24 in, +-5 above.
void orientation(Findings& out, const Application& wanted, const AssemblyFacts& assembly) {
    constexpr std::string_view source = "MIL-DTL-83796/5, SAE J517";
    const bool both_bent = bent(assembly.row_a) && bent(assembly.row_b);
    if (!both_bent && !wanted.orientation_deg && !assembly.orientation_deg)
        return out.holds(message("application.orientation_not_needed"), "common practice", SourceMark::common_practice);
    if (both_bent && !assembly.orientation_deg)
        return out.warn(message("application.orientation_not_ordered"), source, SourceMark::several_pages);
    if (!wanted.orientation_deg) return out.not_checked(message("application.orientation_not_stated"));
    if (!assembly.orientation_deg)  // wanted, though no order can say it without two bent ends
        return out.warn(message("application.orientation_not_ordered"), source, SourceMark::several_pages);
    const auto apart = std::abs(*wanted.orientation_deg - *assembly.orientation_deg) % 360;
    const auto off = std::min(apart, 360 - apart);
    const auto limit = orientation_tolerance_degrees(assembly.overall);
    const auto about = [&](Message what) {
        return std::move(what.with("wanted", std::to_string(*wanted.orientation_deg))
                             .with("ordered", std::to_string(*assembly.orientation_deg))
                             .with("limit", std::to_string(limit)));
    };
    if (off > limit)
        out.stop(about(message("application.orientation_differs")), source, SourceMark::several_pages);
    else
        out.holds(about(message("application.orientation_holds")), source, SourceMark::several_pages);
}

void hose_age(Findings& out, const AssemblyFacts& assembly) {
    const bool usual = assembly.hose_age_limit_years == usual_hose_age_limit_years;
    const std::string_view source = usual ? "ISO 8331:1991, DIN 20066:2002" : "shop's own limit";
    const auto mark = usual ? SourceMark::several_pages : SourceMark::common_practice;
    const auto limit = std::to_string(assembly.hose_age_limit_years);
    if (assembly.hose_lots.empty()) out.not_checked(message("application.hose_age_no_lot"));
    for (const auto& lot : assembly.hose_lots) {
        if (!lot.made) {
            out.not_checked(message("application.hose_age_not_stated").with("lot", lot.number));
            continue;
        }
        const auto about = [&](Message what) {
            return std::move(what.with("lot", lot.number)
                                 .with("made", lot.made->text())
                                 .with("assembled", to_text(assembly.day))
                                 .with("limit", limit));
        };
        if (check_hose_age(*lot.made, assembly.day, assembly.hose_age_limit_years))
            out.holds(about(message("application.hose_age_holds")), source, mark);
        else
            out.stop(about(message("application.hose_age_beyond")), source, mark);
    }
}

}  // namespace
}  // namespace application

std::string_view text_of(SourceMark mark) {
    switch (mark) {
        case SourceMark::spec_row:
            return "row";
        case SourceMark::several_pages:
            return "A";
        case SourceMark::one_page:
            return "B";
        case SourceMark::from_memory:
            return "M";
        case SourceMark::common_practice:
            break;
    }
    return "common practice";
}

std::vector<ApplicationFinding> check_application(const Application& wanted, const AssemblyFacts& assembly) {
    application::Findings out;
    application::pressure(out, wanted, assembly);
    application::duty(out, wanted);
    application::fluid(out, wanted, assembly);
    application::temperatures(out, wanted, assembly);
    application::vacuum(out, wanted, assembly);
    application::bend_radius(out, wanted, assembly);
    application::straight_leads(out, wanted, assembly);
    application::bend_length(out, wanted, assembly);
    application::length_under_pressure(out, wanted, assembly);
    application::slack(out, wanted, assembly);
    application::movement(out, wanted);
    application::orientation(out, wanted, assembly);
    application::hose_age(out, assembly);
    return out.take();
}

bool has_stop(const std::vector<ApplicationFinding>& findings) {
    return std::any_of(findings.begin(), findings.end(),
                       [](const ApplicationFinding& f) { return f.severity == FindingSeverity::stop; });
}

}  // namespace crimpgate

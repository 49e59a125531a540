// What the application adds to a cause's sum, and what of record and application is missing.
//
// Figures and their sources: straight lead the larger of 1.5 x hose OD (DGUV Regel 113-020, figure 9, and an
// installation page: A) and 2 x bore (one page on failures: B); slack at least 5 % (Army manual: B) for up to 4 %
// shortening under pressure (two pages: A); 7 degrees of twist (popular figure, no test data found); 10 C above the
// rating may halve a hose's life (one page: B); the highest peak counts against the rating (A).
#include <algorithm>

#include "specs/failure_ranking.h"

namespace crimpgate {

namespace {

struct Adder {
    std::vector<ArithmeticLine>& lines;
    void operator()(Message what, std::int64_t weight) const {
        lines.push_back({LineOf::application, std::move(what), weight, {}});
    }
};

void pressure_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.pressure_with_spikes || !a.rating) return;
    const bool over = *a.pressure_with_spikes > *a.rating;
    auto said = over ? message("returned.application.pressure_over") : message("returned.application.pressure_within");
    add(std::move(said)
            .with("pressure", a.pressure_with_spikes->to_bar_text(1))
            .with("rating", a.rating->to_bar_text(1)),
        over ? telling : against);
}

void heat_lines(const ApplicationEvidence& a, const Adder& add) {
    if (!a.temperature_max_c || !a.rated_max_c) return;
    const auto said = [&](Message m) {
        return std::move(m)
            .with("temperature", std::to_string(*a.temperature_max_c))
            .with("rating", std::to_string(*a.rated_max_c));
    };
    if (*a.temperature_max_c <= *a.rated_max_c) return add(said(message("returned.application.heat_within")), against);
    add(said(message("returned.application.heat_over")), telling);
    if (*a.temperature_max_c - 10 >= *a.rated_max_c)
        add(said(message("returned.application.heat_ten_over")), supporting);
}

void cold_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.temperature_min_c || !a.rated_min_c) return;
    const bool colder = *a.temperature_min_c < *a.rated_min_c;
    auto said = colder ? message("returned.application.cold_under") : message("returned.application.cold_within");
    add(std::move(said)
            .with("temperature", std::to_string(*a.temperature_min_c))
            .with("rating", std::to_string(*a.rated_min_c)),
        colder ? telling : against);
}

void bend_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.bend_radius || !a.bend_radius_min) return;
    const bool tight = *a.bend_radius < *a.bend_radius_min;
    auto said = tight ? message("returned.application.bend_tight") : message("returned.application.bend_enough");
    add(std::move(said).with("radius", a.bend_radius->to_mm_text(0)).with("least", a.bend_radius_min->to_mm_text(0)),
        tight ? telling : against);
}

void lead_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.straight_lead || (!a.hose_od && !a.bore)) return;
    // The larger rule holds; 1.5 x OD in whole nanometres, rounded up.
    Length least;
    if (a.hose_od) least = Length::from_nm(a.hose_od->nm() + (a.hose_od->nm() + 1) / 2);
    if (a.bore) least = std::max(least, *a.bore * 2);
    const bool is_short = *a.straight_lead < least;
    auto said = is_short ? message("returned.application.lead_short") : message("returned.application.lead_enough");
    add(std::move(said).with("lead", a.straight_lead->to_mm_text(1)).with("least", least.to_mm_text(1)),
        is_short ? telling : against);
}

void slack_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.slack || !a.free_length || *a.free_length <= Length{}) return;
    const auto said = [&](Message m) {
        return std::move(m).with("slack", a.slack->to_mm_text(1)).with("length", a.free_length->to_mm_text(1));
    };
    // slack < n % of the length, without a product of the whole length: whole hundreds and the rest apart, rounded up.
    const auto under = [&](std::int64_t n) {
        const auto nm = a.free_length->nm();
        return a.slack->nm() < nm / 100 * n + (nm % 100 * n + 99) / 100;
    };
    if (under(4))
        add(said(message("returned.application.slack_short")), telling);
    else if (under(5))
        add(said(message("returned.application.slack_scarce")), hint);
    else
        add(said(message("returned.application.slack_enough")), against);
}

void twist_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.twist_degrees) return;
    const auto said = [&](Message m) { return std::move(m).with("degrees", std::to_string(*a.twist_degrees)); };
    if (*a.twist_degrees >= 7 || *a.twist_degrees <= -7)
        add(said(message("returned.application.twist_seven")), telling);
    else if (*a.twist_degrees != 0)
        add(said(message("returned.application.twist_some")), hint);
    else
        add(message("returned.application.twist_none"), against);
}

void vacuum_line(const ApplicationEvidence& a, const Adder& add) {
    if (!a.vacuum || !a.vacuum_rating) return;
    const bool over = *a.vacuum > *a.vacuum_rating;
    auto said = over ? message("returned.application.vacuum_over") : message("returned.application.vacuum_within");
    add(std::move(said).with("vacuum", a.vacuum->to_bar_text(2)).with("rating", a.vacuum_rating->to_bar_text(2)),
        over ? telling : against);
}

}  // namespace

void add_application_lines(const FailureMode& mode, const ApplicationEvidence& application,
                           std::vector<ArithmeticLine>& lines) {
    const Adder add{lines};
    if (mode.id == "over_pressure") pressure_line(application, add);
    if (mode.id == "heat") heat_lines(application, add);
    if (mode.id == "bent_cold") cold_line(application, add);
    if (mode.id == "bend_too_tight") bend_line(application, add);
    if (mode.id == "bent_at_fitting") lead_line(application, add);
    if (mode.id == "too_short") slack_line(application, add);
    if (mode.id == "twisted") twist_line(application, add);
    if (mode.id == "vacuum") vacuum_line(application, add);
    if (mode.id == "fluid_not_suited" && application.fluid_suits_tube)
        add(*application.fluid_suits_tube ? message("returned.application.fluid_suits")
                                          : message("returned.application.fluid_suits_not"),
            *application.fluid_suits_tube ? against : telling);
}

void add_unknown(const ReturnEvidence& evidence, std::span<const Answered> answers, std::vector<Message>& out) {
    const auto& record = evidence.record;
    const auto& a = evidence.application;
    if (!record.known) {
        out.push_back(message("returned.unknown.no_record"));
    } else {
        if (record.ends.size() > 1 && !answered(answers, "end", "a") && !answered(answers, "end", "b"))
            out.push_back(message("returned.unknown.which_end"));
        for (const auto& end : record.ends) {
            if (end.crimps.empty()) out.push_back(message("returned.unknown.crimps").with("end", end_name(end.end)));
            if (!end.depth) out.push_back(message("returned.unknown.depth").with("end", end_name(end.end)));
            if (!end.mark_after) out.push_back(message("returned.unknown.mark").with("end", end_name(end.end)));
            if (!end.crimps.empty() && !end.gauge.proved_after && !end.gauge.withdrawn)
                out.push_back(
                    message("returned.unknown.proof_after").with("end", end_name(end.end)).with("gauge", end.gauge.id));
            if (!end.crimps.empty() &&
                std::ranges::none_of(end.crimps, [](const CrimpEvidence& c) { return c.siblings_mean.has_value(); }))
                out.push_back(message("returned.unknown.siblings").with("end", end_name(end.end)));
        }
        if (!record.proof_test) out.push_back(message("returned.unknown.proof_test"));
        if (!record.hose_age_at_assembly_days) out.push_back(message("returned.unknown.hose_age"));
        if (!record.age_at_failure_days) out.push_back(message("returned.unknown.life"));
    }
    if (evidence.measured.empty()) out.push_back(message("returned.unknown.not_measured"));
    if (!a.pressure_with_spikes || !a.rating) out.push_back(message("returned.unknown.pressure"));
    if (!a.temperature_max_c || !a.rated_max_c || !a.temperature_min_c || !a.rated_min_c)
        out.push_back(message("returned.unknown.temperature"));
    if (!a.bend_radius || !a.bend_radius_min) out.push_back(message("returned.unknown.bend"));
    if (!a.straight_lead || (!a.hose_od && !a.bore)) out.push_back(message("returned.unknown.lead"));
    if (!a.slack || !a.free_length) out.push_back(message("returned.unknown.slack"));
    if (!a.twist_degrees) out.push_back(message("returned.unknown.twist"));
    if (!a.vacuum || !a.vacuum_rating) out.push_back(message("returned.unknown.vacuum"));
    if (!a.fluid_suits_tube) out.push_back(message("returned.unknown.fluid"));
    out.push_back(message("returned.unknown.after_shipping"));
}

}  // namespace crimpgate

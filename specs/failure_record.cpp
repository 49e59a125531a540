// What an assembly's own record, and its crimp measured again, add to a cause's sum.
#include <algorithm>
#include <functional>

#include "specs/failure_ranking.h"

namespace crimpgate {

namespace {

using Lines = std::vector<ArithmeticLine>;

constexpr int places = 3;
// Four years with their leap day are 1461 days.
constexpr std::int64_t days_of(std::int64_t years) {
    return years * 1461 / 4;
}
constexpr std::int64_t life_years = 6, young_years = 2;

std::string mm(Length length) {
    return length.to_mm_text(places);
}

// part < whole / n, exactly and without a product that could overflow.
bool less_than_share(Length part, Length whole, std::int64_t n) {
    return part.nm() <= (whole.nm() - 1) / n;
}

bool usable(const BandedEvidence& reading) {
    return reading.lower < reading.upper;
}

Length margin_to(const BandedEvidence& reading, bool upper) {
    return upper ? reading.upper - reading.value : reading.value - reading.lower;
}

struct Adder {
    LineOf kind;
    Lines& lines;
    void operator()(Message what, std::int64_t weight) const { lines.push_back({kind, std::move(what), weight, {}}); }
};

bool gauge_holds(const GaugeEvidence& gauge) {
    return gauge.in_date != false && gauge.proved_before != false && gauge.proved_after != false && !gauge.withdrawn;
}

// The reading with the least margin to that side's limit; nullptr without any.
const CrimpEvidence* least_margin(const std::vector<CrimpEvidence>& crimps, bool upper) {
    const CrimpEvidence* out = nullptr;
    for (const auto& crimp : crimps)
        if (usable(crimp.reading) &&
            (out == nullptr || margin_to(crimp.reading, upper) < margin_to(out->reading, upper)))
            out = &crimp;
    return out;
}

Message about(Message m, std::string_view end, const CrimpEvidence& crimp, bool upper) {
    return std::move(m)
        .with("end", end_name(end))
        .with("flat", std::to_string(crimp.flat))
        .with("value", mm(crimp.reading.value))
        .with("limit", mm(upper ? crimp.reading.upper : crimp.reading.lower))
        .with("margin", mm(margin_to(crimp.reading, upper).abs()));
}

void margin_lines(const EndEvidence& end, bool upper, const Adder& add) {
    const auto* worst = least_margin(end.crimps, upper);
    if (worst == nullptr) return;
    const Length width = worst->reading.upper - worst->reading.lower;
    const Length margin = margin_to(worst->reading, upper);
    const auto said = [&](Message m) { return about(std::move(m), end.end, *worst, upper); };
    if (margin < Length{}) {
        add(said(upper ? message("returned.record.crimp_over") : message("returned.record.crimp_under")), telling);
    } else if (less_than_share(margin, width, 10)) {
        add(said(upper ? message("returned.record.crimp_near_upper") : message("returned.record.crimp_near_lower")),
            supporting);
    } else if (less_than_share(margin, width, 4)) {
        add(said(upper ? message("returned.record.crimp_below_upper") : message("returned.record.crimp_above_lower")),
            0);
    } else {
        add(said(upper ? message("returned.record.crimp_well_below_upper")
                       : message("returned.record.crimp_well_above_lower")),
            gauge_holds(end.gauge) ? against : 0);
    }
    // Apart from its siblings counts only towards the limit that it lies near to.
    for (const auto& crimp : end.crimps) {
        if (!crimp.siblings_mean || !usable(crimp.reading)) continue;
        const Length band = crimp.reading.upper - crimp.reading.lower;
        const Length apart =
            upper ? crimp.reading.value - *crimp.siblings_mean : *crimp.siblings_mean - crimp.reading.value;
        if (!less_than_share(margin_to(crimp.reading, upper), band, 4) || less_than_share(apart, band, 4)) continue;
        add(message("returned.record.apart_from_siblings")
                .with("end", end_name(end.end))
                .with("flat", std::to_string(crimp.flat))
                .with("distance", mm(apart))
                .with("mean", mm(*crimp.siblings_mean)),
            hint);
        break;
    }
}

void gauge_lines(const EndEvidence& end, const Adder& add) {
    const auto said = [&](Message m) {
        return std::move(m).with("end", end_name(end.end)).with("gauge", end.gauge.id);
    };
    if (end.gauge.proved_after == false) add(said(message("returned.record.gauge_failed_after")), supporting);
    if (end.gauge.withdrawn) add(said(message("returned.record.gauge_withdrawn")), hint);
    if (end.gauge.proved_before == false) add(said(message("returned.record.gauge_not_proved")), hint);
    if (end.gauge.in_date == false) add(said(message("returned.record.gauge_out_of_date")), hint);
}

void crimp_lines(const EndEvidence& end, bool too_large, const Adder& add) {
    margin_lines(end, too_large, add);
    if (end.spread && end.spread_limit) {
        const auto said = [&](Message m) {
            return std::move(m)
                .with("end", end_name(end.end))
                .with("spread", mm(*end.spread))
                .with("limit", mm(*end.spread_limit));
        };
        if (*end.spread > *end.spread_limit)
            add(said(message("returned.record.spread_over")), supporting);
        else if (end.spread->nm() <= end.spread_limit->nm() / 2)
            add(said(message("returned.record.spread_small")), gauge_holds(end.gauge) ? -hint : 0);
    }
    if (end.uncertain_readings > 0)
        add(message("returned.record.uncertain")
                .with("end", end_name(end.end))
                .with("count", std::to_string(end.uncertain_readings)),
            hint);
    if (end.recrimps > 0)
        add(message("returned.record.recrimped")
                .with("end", end_name(end.end))
                .with("count", std::to_string(end.recrimps)),
            hint);
    if (std::ranges::find(end.concessions, Characteristic::crimp_diameter) != end.concessions.end() ||
        std::ranges::find(end.concessions, Characteristic::spread) != end.concessions.end())
        add(message("returned.record.crimp_conceded").with("end", end_name(end.end)), hint);
    if (end.drift_warned == true) add(message("returned.record.drift").with("end", end_name(end.end)), hint);
    if (end.setup_good == false) add(message("returned.record.setup_bad").with("end", end_name(end.end)), supporting);
    if (!too_large && end.pin_passed)
        add(*end.pin_passed ? message("returned.record.pin_passed").with("end", end_name(end.end))
                            : message("returned.record.pin_stopped").with("end", end_name(end.end)),
            *end.pin_passed ? against : telling);
}

void depth_lines(const EndEvidence& end, const Adder& add) {
    if (end.depth && usable(*end.depth)) {
        const Length margin = margin_to(*end.depth, false);
        const Length width = end.depth->upper - end.depth->lower;
        const auto said = [&](Message m) {
            return std::move(m)
                .with("end", end_name(end.end))
                .with("value", mm(end.depth->value))
                .with("limit", mm(end.depth->lower))
                .with("margin", mm(margin.abs()));
        };
        if (margin < Length{})
            add(said(message("returned.record.depth_short")), telling);
        else if (less_than_share(margin, width, 10))
            add(said(message("returned.record.depth_near_lower")), hint);
        else if (less_than_share(margin, width, 4))
            add(said(message("returned.record.depth_inside")), 0);
        else
            add(said(message("returned.record.depth_well_inside")), gauge_holds(end.gauge) ? against : 0);
    }
    if (end.mark_after == MarkSeen::at_edge)
        add(message("returned.record.mark_at_edge").with("end", end_name(end.end)), against);
    if (end.mark_after == MarkSeen::gap)
        add(message("returned.record.mark_gap").with("end", end_name(end.end)), telling);
    if (end.mark_after == MarkSeen::hidden)
        add(message("returned.record.mark_hidden").with("end", end_name(end.end)), supporting);
    for (const auto what : {Characteristic::depth, Characteristic::mark_before, Characteristic::mark_after})
        if (std::ranges::find(end.concessions, what) != end.concessions.end()) {
            add(message("returned.record.depth_conceded").with("end", end_name(end.end)), supporting);
            break;
        }
}

std::int64_t sum_of(const Lines& lines) {
    std::int64_t out = 0;
    for (const auto& line : lines)
        out += line.weight;
    return out;
}

bool looked_at(std::string_view end, std::span<const Answered> answers) {
    const bool other = (end == "a" && answered(answers, "end", "b")) || (end == "b" && answered(answers, "end", "a"));
    return !other;
}

// Of the ends that may have failed, the lines of the one that says more for the cause.
template <class End>
void worse_end(LineOf kind, std::span<const End> ends, std::span<const Answered> answers, Lines& out,
               const std::function<void(const End&, const Adder&)>& lines_of) {
    Lines worst;
    bool first = true;
    for (const auto& end : ends) {
        if (!looked_at(end.end, answers)) continue;
        Lines lines;
        lines_of(end, Adder{kind, lines});
        if (first || sum_of(lines) > sum_of(worst)) worst = std::move(lines);
        first = false;
    }
    out.insert(out.end(), worst.begin(), worst.end());
}

void age_lines(const RecordEvidence& record, const Adder& add) {
    if (record.hose_age_at_assembly_days) {
        const bool old = *record.hose_age_at_assembly_days > days_of(record.hose_age_limit_years);
        auto said = old ? message("returned.record.hose_old") : message("returned.record.hose_fresh");
        add(std::move(said)
                .with("days", std::to_string(*record.hose_age_at_assembly_days))
                .with("years", std::to_string(record.hose_age_limit_years)),
            old ? supporting : -hint);
    }
    if (record.age_at_failure_days) {
        const auto days = *record.age_at_failure_days;
        const auto said = [&](Message m) { return std::move(m).with("days", std::to_string(days)); };
        if (days > days_of(life_years))
            add(said(message("returned.record.life_over")), supporting);
        else if (days <= days_of(young_years))
            add(said(message("returned.record.life_young")), against);
        else
            add(said(message("returned.record.life_within")), 0);
    }
}

void proof_lines(const RecordEvidence& record, std::int64_t weight, const Adder& add) {
    if (!record.proof_test || !record.proof_test->held) return;
    add(message("returned.record.proof_held")
            .with("pressure", record.proof_test->pressure.to_bar_text(1))
            .with("seconds", std::to_string(record.proof_test->hold_s)),
        weight);
}

void other_return_lines(std::int64_t count, Message said, std::int64_t weight, const Adder& add) {
    if (count > 0) add(std::move(said).with("count", std::to_string(count)), weight);
}

}  // namespace

bool readings_hold(const RecordEvidence& record, std::span<const Answered> answers) {
    if (!record.known) return true;  // nothing of it is used
    return std::ranges::all_of(
        record.ends, [&](const EndEvidence& end) { return !looked_at(end.end, answers) || gauge_holds(end.gauge); });
}

void add_record_lines(const FailureMode& mode, std::span<const Answered> answers, const RecordEvidence& record,
                      Lines& lines) {
    if (!record.known) return;
    const Adder add{LineOf::record, lines};
    const auto each_end = [&](const std::function<void(const EndEvidence&, const Adder&)>& of) {
        worse_end<EndEvidence>(LineOf::record, record.ends, answers, lines, of);
    };
    const auto& others = record.other_returns;
    if (mode.id == "not_pushed_home") {
        each_end([](const EndEvidence& end, const Adder& to) {
            depth_lines(end, to);
            gauge_lines(end, to);
        });
        proof_lines(record, against, add);
    } else if (mode.id == "crimp_too_large" || mode.id == "crimp_too_small") {
        const bool large = mode.id == "crimp_too_large";
        each_end([large](const EndEvidence& end, const Adder& to) {
            crimp_lines(end, large, to);
            gauge_lines(end, to);
        });
        proof_lines(record, large ? against : -hint, add);
        other_return_lines(others.of_setups, message("returned.record.others_of_setup"), supporting, add);
        other_return_lines(others.of_fitting_lots, message("returned.record.others_of_fitting_lot"), hint, add);
    } else if (mode.id == "wrong_parts") {
        if (record.parts_matched)
            add(*record.parts_matched ? message("returned.record.parts_matched")
                                      : message("returned.record.parts_not_matched"),
                *record.parts_matched ? against : telling);
        proof_lines(record, against, add);
        other_return_lines(others.of_fitting_lots, message("returned.record.others_of_fitting_lot"), hint, add);
    } else if (mode.id == "dry_assembly") {
        each_end([](const EndEvidence& end, const Adder& to) {
            if (end.lubricated)
                to(*end.lubricated ? message("returned.record.lubricated").with("end", end_name(end.end))
                                   : message("returned.record.not_lubricated").with("end", end_name(end.end)),
                   *end.lubricated ? against : supporting);
        });
    } else if (mode.id == "old_age") {
        age_lines(record, add);
    } else if (mode.id == "poor_adhesion") {
        other_return_lines(others.of_hose_lot, message("returned.record.others_of_hose_lot"), supporting, add);
    }
}

void add_measured_lines(const FailureMode& mode, std::span<const Answered> answers,
                        std::span<const ReturnedEnd> measured, Lines& lines) {
    const bool large = mode.id == "crimp_too_large", small = mode.id == "crimp_too_small";
    if (large || small)
        worse_end<ReturnedEnd>(LineOf::measured, measured, answers, lines,
                               [&](const ReturnedEnd& end, const Adder& add) {
                                   const auto* worst = least_margin(end.crimps, large);
                                   if (worst == nullptr) return;
                                   const bool out = margin_to(worst->reading, large) < Length{};
                                   Message said = !out    ? message("returned.measured.crimp_inside")
                                                  : large ? message("returned.measured.crimp_over")
                                                          : message("returned.measured.crimp_under");
                                   add(about(std::move(said), end.end, *worst, large), out ? telling : against);
                               });
    // A mark away from the edge on the returned part: never pushed home, or the hose has slipped since.
    if (large || mode.id == "not_pushed_home")
        worse_end<ReturnedEnd>(
            LineOf::measured, measured, answers, lines, [&](const ReturnedEnd& end, const Adder& add) {
                if (!end.mark_from_edge || !end.mark_edge_limit) return;
                const bool away = *end.mark_from_edge > *end.mark_edge_limit;
                auto said = away ? message("returned.measured.mark_away") : message("returned.measured.mark_at_edge");
                add(std::move(said)
                        .with("end", end_name(end.end))
                        .with("distance", mm(*end.mark_from_edge))
                        .with("limit", mm(*end.mark_edge_limit)),
                    away ? supporting : (large ? 0 : against));
            });
}

}  // namespace crimpgate

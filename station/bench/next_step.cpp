#include "station/bench/next_step.h"

#include <algorithm>

#include "specs/serial.h"
#include "station/bench/application_steps.h"
#include "station/bench/return_steps.h"
#include "station/bench/sample_steps.h"

namespace crimpgate {

Band middle_half(const Band& band) {
    const std::int64_t width = band.width().nm();
    const std::int64_t quarter = width / 4 + (width % 4 == 0 ? 0 : 1);
    return {Length::from_nm(band.lower.nm() + quarter), Length::from_nm(band.upper.nm() - quarter)};
}

Result<void> gauge_ready(const GaugeState& gauge, const Now& now) {
    const auto& id = gauge.registered.gauge;
    if (!gauge.connected) return refuse(message("bench.gauge_gone").with("gauge", id));
    if (gauge.registered.calibration_due < now.local_date)
        return refuse(
            message("bench.calibration_over").with("gauge", id).with("due", gauge.registered.calibration_due));
    if (gauge.needs_proof) return refuse(message("bench.gauge_not_proved").with("gauge", id));
    if (now.utc_ms > gauge.valid_until_utc_ms) return refuse(message("bench.proof_over").with("gauge", id));
    return {};
}

bool conceded(const EndState& end, const Finding& finding) {
    return std::any_of(end.conceded.begin(), end.conceded.end(), [&](const Finding& c) {
        return c.what == finding.what && c.flat == finding.flat && c.value == finding.value && c.seen == finding.seen;
    });
}

EndJudgement judged(const AssemblyState& assembly, End end) {
    auto judgement = judge_end(assembly.row(end), readings_of(assembly.at(end)));
    if (assembly.at(end).conceded.empty()) return judgement;
    judgement.verdict = Verdict::conforms;
    for (const auto& f : judgement.findings) {
        if (conceded(assembly.at(end), f)) continue;
        if (f.verdict == Verdict::fails) judgement.verdict = Verdict::fails;
        if (f.verdict == Verdict::uncertain && judgement.verdict == Verdict::conforms)
            judgement.verdict = Verdict::uncertain;
    }
    return judgement;
}

namespace {

std::int64_t times_taken(const EndState& end, const StepRecord& r) {
    const auto voided = end.voided_uncertain.find({r.what, r.flat});
    return (voided == end.voided_uncertain.end() ? 0 : voided->second) +
           std::count_if(end.records.begin(), end.records.end(),
                         [&](const StepRecord& o) { return o.what == r.what && o.flat == r.flat; });
}

// An uncertain reading that may be repeated is open until it has been.
const StepRecord* open_question(const SpecRow& row, const EndState& end, const BenchRules& rules) {
    if (end.records.empty()) return nullptr;
    const auto& last = end.records.back();
    if (last.verdict != Verdict::uncertain || !last.measured) return nullptr;
    const auto finding = judge_length(row, last.what, last.flat, *last.measured);
    if (finding && conceded(end, *finding)) return nullptr;
    return times_taken(end, last) <= rules.repeats_allowed ? &last : nullptr;
}

std::int64_t missing_flat(const SpecRow& row, const std::vector<StepRecord>& records) {
    for (const auto flat : row.flats)
        if (std::none_of(records.begin(), records.end(), [&](const StepRecord& r) {
                return r.what == Characteristic::crimp_diameter && r.flat == flat;
            }))
            return flat;
    return 0;
}

bool measured_with_gauge(const SpecRow& row, Characteristic what) {
    return band_of(row, what).has_value();
}

// A study's own gauge must be fit to measure, whatever the others are.
NextStep study_step(const BenchState& s, const Now& now) {
    const auto& study = s.studies.at(s.study);
    NextStep step;
    step.gauge = study.plan.gauge;
    const auto gauge = s.gauges.find(step.gauge);
    if (gauge == s.gauges.end() || !gauge->second.connected) {
        step.ask = Ask::gauge;
        return step;
    }
    if (!gauge_ready(gauge->second, now)) {
        step.ask = Ask::proof;
        return step;
    }
    step.ask = Ask::study;
    for (std::size_t i = 0; i < study.plan.turns.size(); ++i) {
        const auto turn = static_cast<std::int64_t>(i) + 1;
        if (study.measured.contains(turn)) continue;
        step.turn = turn;
        step.piece = study.plan.turns[i].piece;
        step.person = study.plan.turns[i].person;
        break;
    }
    return step;
}

std::optional<NextStep> sample_step(const BenchState& s) {
    const auto place = next_of_sample(s, s.samples.at(s.sample));
    if (!place) return std::nullopt;
    NextStep step;
    step.ask = Ask::sample;
    step.serial = place->serial;
    step.end = place->end;
    step.flat = place->flat;
    step.what = Characteristic::crimp_diameter;
    step.band = s.assemblies.at(place->serial).row(place->end).crimp.band();
    return step;
}

// It waits for any gauge that may measure, and is no part of a shift or an order.
NextStep returned_step(const BenchState& s) {
    const auto& returned = s.record.returns.at(s.record.returned);
    NextStep step;
    step.ask = Ask::returned;
    step.serial = returned.opened.serial;
    const auto place = next_of_return(s, returned);
    if (!place) return step;
    const auto places = places_of_return(s, returned);
    step.turn = std::count_if(places.begin(), places.end(),
                              [&](const ReturnPlace& p) { return measured_at(returned, p) != nullptr; }) +
                1;
    step.end = place->end;
    step.what = place->what;
    step.flat = place->flat;
    step.band = band_of_return(assembly_of(s, returned), *place);
    return step;
}

std::optional<NextStep> before_the_work(const BenchState& s, const Now& now) {
    NextStep step;
    step.end = end_in_work(s);
    auto stop_at = [&](Ask ask) {
        step.ask = ask;
        return step;
    };
    if (s.clock_doubted) return stop_at(Ask::clock);
    if (s.person.empty()) return stop_at(Ask::sign_in);
    if (!s.stopped.empty()) {
        step.serial = s.stopped;
        return stop_at(Ask::quarantine);
    }
    // A study is no part of a shift, and neither is a hose that came back.
    if (s.shift.empty() && s.study.empty() && s.record.returned.empty()) return stop_at(Ask::shift);
    if (s.proof) {
        step.gauge = s.proof->gauge;
        return stop_at(Ask::proof_reading);
    }
    if (!s.study.empty()) return study_step(s, now);
    bool connected = false;
    bool ready = false;
    for (const auto& [id, gauge] : s.gauges) {
        connected = connected || gauge.connected;
        ready = ready || gauge_ready(gauge, now).has_value();
    }
    if (!ready) return stop_at(connected ? Ask::proof : Ask::gauge);
    if (!s.record.returned.empty()) return returned_step(s);
    if (!s.sample.empty()) return sample_step(s);
    return std::nullopt;
}

}  // namespace

NextStep next_step(const BenchState& s, const BenchRules& configured, const Now& now) {
    const BenchRules rules = rules_in_force(configured, s);
    if (auto blocked = before_the_work(s, now)) return *blocked;
    NextStep step;
    const AssemblyState* assembly = nullptr;
    if (!s.current.empty()) {
        assembly = &s.assemblies.at(s.current);
        step.serial = s.current;
    } else {
        if (s.order.empty()) {
            step.ask = Ask::order;
            return step;
        }
        const auto& order = s.orders.at(s.order);
        if (!order.may_start_another()) {
            step.ask = Ask::order_done;
            return step;
        }
        if (!s.lots) {
            step.ask = Ask::lots;
            return step;
        }
        step.begins = true;
        step.serial = next_serial(rules.serial_prefix, s.serial_counter).value().serial.text();
    }

    static const EndState untouched;
    step.end = end_in_work(s);
    const SpecRow& row = *row_in_work(s);
    const EndState& end = assembly != nullptr ? assembly->at(step.end) : untouched;

    if (assembly != nullptr && assembly->at(End::a).done && assembly->at(End::b).done && proof_test_due(*assembly)) {
        step.ask = Ask::proof_test;
        return step;
    }
    if (!end.crimped) {
        const auto mounted = s.mounted.find(row.crimper);
        if (mounted == s.mounted.end() || mounted->second != row.die_set) {
            step.ask = Ask::die;
            return step;
        }
        const std::string key = setup_key(row, hose_lot_in_work(s));
        if (!s.setups.contains(key)) {
            step.ask = Ask::setup;
            step.what = Characteristic::crimp_diameter;
            const bool begun = s.setup && s.setup->key == key;
            step.flat = begun ? missing_flat(row, s.setup->records) : row.flats.front();
            step.band = middle_half(row.crimp.band());
            return step;
        }
    }

    if (const auto* question = open_question(row, end, rules)) {
        step.ask = Ask::again;
        step.what = question->what;
        step.flat = question->flat;
        step.band = band_of(row, step.what);
        return step;
    }
    const auto judgement = judge_end(row, readings_of(end));
    // An end with nothing missing is done, on hold, or about to be judged: the decision never leaves it like that.
    step.what = judgement.missing.empty() ? Characteristic::bore_pin : judgement.missing.front();
    if (measured_with_gauge(row, step.what)) {
        step.ask = Ask::measure;
        step.band = band_of(row, step.what);
        if (step.what == Characteristic::crimp_diameter) step.flat = missing_flat(row, end.records);
    } else {
        step.ask = Ask::confirm;
    }
    return step;
}

}  // namespace crimpgate

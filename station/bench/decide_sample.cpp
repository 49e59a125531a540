// A sample of a shift's output, drawn by a published plan and measured again with another gauge.
#include <algorithm>
#include <cmath>

#include "reports/statistics/agreement.h"
#include "reports/statistics/operating_characteristic.h"
#include "reports/statistics/random_pick.h"
#include "reports/statistics/sampling_plan.h"
#include "station/bench/decider.h"
#include "station/bench/sample_steps.h"

namespace crimpgate {

using namespace entries;

namespace {

using statistics::InspectionLevel;

std::optional<InspectionLevel> level_of(std::string_view text) {
    using enum InspectionLevel;
    static constexpr std::pair<std::string_view, InspectionLevel> all[] = {
        {"S-1", S1}, {"S-2", S2}, {"S-3", S3}, {"S-4", S4}, {"I", I}, {"II", II}, {"III", III}};
    for (const auto& [name, level] : all)
        if (name == text) return level;
    return std::nullopt;
}

std::optional<statistics::Severity> severity_of(std::string_view text) {
    using enum statistics::Severity;
    if (text == "normal") return normal;
    if (text == "tightened") return tightened;
    if (text == "reduced") return reduced;
    return std::nullopt;
}

Message no_such(const char* field, const std::string& found) {
    return message("bench.no_such_choice").with("field", field).with("found", found);
}

// How many of the lot, and how many of those may fail.
Result<void> plan_size(SampleDrawn& drawn, std::int64_t& size) {
    if (drawn.plan == "zero_acceptance") {
        if (drawn.quality_ppm < 1 || drawn.quality_ppm > 999'999)
            return refuse(
                message("bench.out_of_range").with("field", "quality_ppm").with("least", "1").with("most", "999999"));
        if (drawn.confidence_permille < 500 || drawn.confidence_permille > 999)
            return refuse(message("bench.out_of_range")
                              .with("field", "confidence_permille")
                              .with("least", "500")
                              .with("most", "999"));
        size = statistics::zero_acceptance_size_in_lot(drawn.lot_size, drawn.quality_ppm,
                                                       drawn.confidence_permille * 1000);
        drawn.accept = 0;
        drawn.reject = 1;
        return {};
    }
    if (drawn.plan != "mil_std_105e") return refuse(no_such("plan", drawn.plan));
    const auto level = level_of(drawn.level);
    if (!level) return refuse(no_such("level", drawn.level));
    const auto severity = severity_of(drawn.severity);
    if (!severity) return refuse(no_such("severity", drawn.severity));
    // An AQL of 1.0 % is 10 000 ppm; the tables have thousandths of a percent.
    const auto plan = statistics::plan_for(drawn.lot_size, *level, static_cast<int>(drawn.quality_ppm / 10), *severity);
    if (!plan) return refuse(plan.error());
    size = plan->sample_size;
    drawn.accept = plan->accept;
    drawn.reject = plan->reject;
    return {};
}

}  // namespace

const StepRecord* first_reading(const AssemblyState& a, End end, std::int64_t flat) {
    const StepRecord* found = nullptr;
    for (const auto& r : a.at(end).records)
        if (r.what == Characteristic::crimp_diameter && r.flat == flat && r.measured) found = &r;
    return found;
}

std::int64_t places_of_sample(const BenchState& s, const SampleState& sample) {
    std::int64_t count = 0;
    for (const auto& serial : sample.drawn.serials) {
        const auto& a = s.assemblies.at(serial);
        for (const End end : {End::a, End::b})
            for (const auto flat : a.row(end).flats)
                if (first_reading(a, end, flat) != nullptr) ++count;
    }
    return count;
}

std::optional<SampleStep> next_of_sample(const BenchState& s, const SampleState& sample) {
    for (const auto& serial : sample.drawn.serials) {
        const auto& a = s.assemblies.at(serial);
        for (const End end : {End::a, End::b})
            for (const auto flat : a.row(end).flats) {
                const bool done = std::any_of(sample.measured.begin(), sample.measured.end(), [&](const auto& m) {
                    return m.serial == serial && m.end == end && m.flat == flat;
                });
                if (!done && first_reading(a, end, flat) != nullptr) return SampleStep{serial, end, flat};
            }
    }
    return std::nullopt;
}

Result<void> Decider::operator()(const commands::DrawSample& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    SampleDrawn drawn = c.sample;
    if (!s_.known_shifts.contains(drawn.shift))
        return refuse(message("bench.no_such_shift").with("shift", drawn.shift));
    std::vector<std::string> lot;
    for (const auto& serial : s_.assemblies.of_shift(drawn.shift))
        if (s_.assemblies.at(serial).stage == Stage::passed) lot.push_back(serial);
    if (lot.empty()) return refuse(message("bench.nothing_to_sample").with("shift", drawn.shift));
    drawn.lot_size = static_cast<std::int64_t>(lot.size());
    std::int64_t size = 0;
    if (drawn.lot_size == 1) {
        size = 1;  // the tables begin with two
        drawn.accept = 0;
        drawn.reject = 1;
    } else if (auto ok = plan_size(drawn, size); !ok) {
        return ok;
    }
    const auto seed = statistics::parse_seed(drawn.seed);
    if (!seed) return refuse(seed.error());
    size = std::min(size, drawn.lot_size);
    auto picked = statistics::pick_serials(lot, static_cast<std::size_t>(size), *seed);
    if (!picked) return refuse(picked.error());
    drawn.sample = "RM-" + std::to_string(s_.samples.size() + 1);
    drawn.serials = std::move(*picked);
    emit(std::move(drawn));
    return {};
}

Result<void> Decider::operator()(const commands::BeginSample& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    if (!s_.stopped.empty()) return refuse(message("bench.quarantine_first").with("serial", s_.stopped));
    if (!s_.study.empty()) return refuse(message("bench.study_running").with("study", s_.study));
    if (!s_.record.returned.empty()) return refuse(message("returned.running").with("return", s_.record.returned));
    const auto sample = s_.samples.find(c.sample);
    if (sample == s_.samples.end()) return refuse(message("bench.no_sample").with("sample", c.sample));
    if (sample->second.judged) return refuse(message("bench.sample_judged").with("sample", c.sample));
    emit(SampleBegun{c.sample});
    return {};
}

Result<void> Decider::operator()(const commands::LeaveSample&) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.sample.empty()) return refuse(message("bench.no_sample_running"));
    emit(SampleLeft{s_.sample});
    return {};
}

void Decider::sample_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& next) {
    const auto& a = s_.assemblies.at(next.serial);
    const auto* first = first_reading(a, next.end, next.flat);
    // The same gauge would only agree with itself.
    if (first->gauge == c.gauge)
        return refuse_reading(c, reading, message("bench.sample_same_gauge").with("gauge", c.gauge));
    const SpecRow& row = a.row(next.end);
    const Length uncertainty = s_.gauges.at(c.gauge).registered.uncertainty;
    std::vector<GaugeChoice> others;
    for (const auto& [id, gauge] : s_.gauges)
        if (id != c.gauge) others.push_back({id, gauge.registered.uncertainty});
    if (auto suits = gauge_suits(row, {c.gauge, uncertainty}, others); !suits)
        return refuse_reading(c, reading, std::move(suits.error()));
    const auto finding =
        judge_length(row, Characteristic::crimp_diameter, next.flat, Measured{reading.value, uncertainty});
    const auto t = taken(c, reading);
    SampleMeasured m;
    m.sample = s_.sample;
    m.serial = next.serial;
    m.end = next.end;
    m.flat = next.flat;
    m.gauge = t.gauge;
    m.proof_seq = t.proof_seq;
    m.value = t.value;
    m.unit = t.unit;
    m.resolution = t.resolution;
    m.raw_hex = t.raw_hex;
    m.arrived_utc_ms = t.arrived_utc_ms;
    m.lower = finding->lower.value_or(Length{});
    m.upper = finding->upper.value_or(Length{});
    m.guard = finding->guard.value_or(Length{});
    m.uncertainty = uncertainty;
    m.verdict = finding->verdict;
    m.first_seq = first->seq;
    m.first_gauge = first->gauge;
    m.first_value = first->measured->value;
    m.first_verdict = first->verdict;
    emit(std::move(m));
    const auto& sample = s_.samples.at(s_.sample);
    if (!next_of_sample(s_, sample)) judge_sample(sample);
}

// Overturned: it fails where it conformed. Too close to call is not the same as wrong, and overturns nothing.
void Decider::judge_sample(const SampleState& sample) {
    SampleJudged judged_sample;
    judged_sample.sample = sample.drawn.sample;
    judged_sample.compared = static_cast<std::int64_t>(sample.measured.size());
    std::vector<statistics::MeasuredTwice> pairs;
    std::map<std::string, SampleMeasured> worst;  // of each serial that is overturned
    for (const auto& m : sample.measured) {
        pairs.push_back({static_cast<double>(m.first_value.nm()), static_cast<double>(m.value.nm())});
        if (m.verdict != Verdict::fails || m.first_verdict != Verdict::conforms) continue;
        auto [at, added] = worst.emplace(m.serial, m);
        if (!added && (m.value - m.first_value).abs() > (at->second.value - at->second.first_value).abs())
            at->second = m;
    }
    for (const auto& [serial, m] : worst)
        judged_sample.overturned.push_back(serial);
    judged_sample.accepted = static_cast<std::int64_t>(worst.size()) <= sample.drawn.accept;
    const auto nm = [](double value) { return Length::from_nm(std::llround(value)); };
    if (const auto agreement = statistics::agreement_of(pairs)) {
        judged_sample.mean_difference = nm(agreement->mean_difference);
        judged_sample.sd = nm(agreement->sd_of_differences);
        judged_sample.lower_agreement = nm(agreement->lower_limit);
        judged_sample.upper_agreement = nm(agreement->upper_limit);
    } else if (!pairs.empty()) {
        judged_sample.mean_difference = nm(pairs.front().again - pairs.front().first);
    }
    for (const auto& [serial, m] : worst) {
        const auto& a = s_.assemblies.at(serial);
        if (a.stage == Stage::scrapped || a.stage == Stage::on_hold) continue;
        AssemblyHeld held;
        held.serial = serial;
        held.cause = HoldCause::overturned;
        held.end = m.end;
        held.gauge = m.first_gauge;
        held.gauge_error = m.first_value - m.value;
        held.made_by = a.measured_by.empty() ? std::string() : *a.measured_by.begin();
        emit_as({}, held);
    }
    emit_as({}, std::move(judged_sample));
}

}  // namespace crimpgate
